"""Everything checked at once: right drawings, drawings moved by hand, and one in which all is wrong."""

import io
import json
import math
import re

import numpy as np
import pytest

from sewkit.batch.folder import check_folder, folder_report
from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.job import run_job
from sewkit.files.recipe import RecipeStep
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.operation import Step, find
from sewkit.operations.check import check
from sewkit.pattern.chosen import EVERYTHING
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level
from tests.operations.boxes import pair
from tests.operations.hostile import hostile
from tests.operations.pieces import grain, named

# The side of the front bulges by 10 mm, 70 below its upper end and 230 above its lower one.
BULGED = ("M 20,20 H 220 L 220.0,320 H 20 Z", "M 20,20 H 220 L 230,90 L 220,320 H 20 Z")


def opened(text, **picks):
    return open_drawing(io.BytesIO(text.encode()), **picks)


def checked(text, action="show", **picks):
    drawing, chosen = opened(text, **picks)
    return check(drawing.with_beside(drawing.pattern), chosen, action=action)


def codes(outcome):
    return [finding.code for finding in outcome.report.findings if finding.level > Level.PASS]


# -- right and moved by hand ---------------------------------------------------------------


def test_a_sound_pair_is_told_as_such_and_draws_nothing():
    outcome = checked(pair())
    assert codes(outcome) == [] and outcome.pattern.shown == ()
    assert outcome.report.worst is Level.PASS and outcome.report.findings
    assert outcome.report.summary == "2 pieces checked. Everything is as it should be."


def test_a_node_moved_by_hand_is_caught_on_its_edge_seam_and_cut_line():
    """The hem goes down by 2 mm: side and centre are 2 mm longer, the cut line is 8 mm away, not 10."""
    outcome = checked(pair(bottom=322))
    found = {(f.code, f.where): f for f in outcome.report.findings}

    seam = found["seam", "front/side to back/side"]
    assert seam.level is Level.WARN and "front/side is 2.0 mm longer" in seam.text
    assert "They were equal before an edge was moved by hand." in seam.text and "partner" in seam.cure
    edited = [f for f in outcome.report.findings if f.code == "edge-edited"]
    assert ["'side'" in edited[0].text, "'centre'" in edited[1].text] == [True, True]
    assert "2.00 mm longer" in edited[0].text and "back/side" in edited[0].cure
    assert "8.0 mm from 'hem'" in found["cut-stale", "front"].text


def test_a_bulge_leaves_its_cut_line_and_its_notch_behind():
    text = pair()
    assert text.count(BULGED[0]) == 1
    outcome = checked(text.replace(*BULGED))
    found = {f.code: f for f in outcome.report.findings}

    upper, lower = math.hypot(70.0, 10.0), math.hypot(230.0, 10.0)
    assert "now {:.2f}".format(upper + lower) in found["edge-edited"].text
    assert "{:.1f} mm longer".format(upper + lower - 300.0) in found["seam"].text
    # The tip of the bulge lies on the cut line; the measured places near it lie less than 3 mm away.
    assert found["cut-stale"].level is Level.FAIL and "'side'" in found["cut-stale"].text
    # The notch belongs 100 mm down the line, and its tick is drawn at a height of
    # 120: seen straight across that is 0.74 mm on, seen square to the line up to 0.1 mm more.
    off = upper + 30.0 * lower / 230.0 - 100.0
    told = float(re.search(r"drawn ([0-9.]+) mm", found["notch-off"].text).group(1))
    assert off - 0.05 <= told <= off + 0.15


def test_kept_lengths_tell_how_a_seam_was_before_anybody_began():
    drawing, chosen = opened(pair())
    kept = check(drawing.pattern, chosen, action="keep")
    assert "8 edges" in kept.report.summary
    drawing.put(kept.pattern)
    data = drawing.as_bytes().decode()
    assert data.count("front/side,300") == 1

    again = checked(data.replace("L 220.0,320 H", "L 220.0,322 H"))
    (seam,) = (f for f in again.report.findings if f.code == "seam")
    assert seam.text.endswith("They were equal before you began.")
    (table,) = (t for t in again.report.tables if "since you began" in t.title)
    assert [row[0] for row in table.rows] == ["front/side", "front/centre"]


def test_an_old_fault_of_the_master_is_told_as_one():
    text = pair(bottom=321.2, baseline="edge,\nfront/side,301.2\nback/side,300")
    (seam,) = (f for f in checked(text).report.findings if f.code == "seam")
    assert "1.2 mm longer" in seam.text and seam.text.endswith("It was so before you began.")


def test_keeping_one_piece_leaves_the_others_as_they_were_kept():
    text = pair(baseline="edge,\nfront/side,301.2\nback/side,299.5")
    kept = checked(text, action="keep", pieces=["front"]).pattern.baseline
    assert "front/side,300\n" in kept and "back/side,299.5" in kept


def test_lengths_are_those_of_scipy():
    """Edges of random curves, as kept in the baseline and walked by the seams."""
    integrate = pytest.importorskip("scipy.integrate")
    from sewkit.geometry.path import Path, derivative
    from sewkit.pattern.baseline_text import lengths_of
    from tests.operations.pieces import bare_piece

    random = np.random.default_rng(11)
    for _ in range(8):
        corners = np.array([(0, 0), (300, 0), (320, 250), (-20, 240)]) + random.normal(0, 15, (4, 2))
        ends = np.roll(corners, -1, axis=0)
        third = (ends - corners) / 3.0
        inner = [corners + third + random.normal(0, 12, (4, 2)), ends - third + random.normal(0, 12, (4, 2))]
        curves = np.stack([corners, inner[0], inner[1], ends], axis=1)
        piece = bare_piece(Path(curves, True), "front")._replace(named=True)

        lengths = lengths_of(Pattern((piece,)))

        def speed(t, curve):
            return float(np.hypot(*derivative(curve[None], t)[0]))

        judged = sorted(integrate.quad(speed, 0, 1, args=(curve,))[0] for curve in curves)
        assert sorted(lengths.values()) == pytest.approx(judged, abs=0.002)


# -- everything wrong at once ---------------------------------------------------------------


WRONG = {
    "path-data", "corners", "empty", "piece-twice", "not-a-group", "unit",  # unreadable
    "scale-unit", "no-piece", "no-edge", "open", "crosses-itself", "nest-order", "seam", "notch-off",
    "notch-lone", "grain-crooked", "no-grain", "cut-stale", "cut-missing", "mark-outside", "scaled",
}  # fmt: skip


def test_all_that_is_wrong_is_told_and_not_only_the_first():
    outcome = checked(hostile())
    found = codes(outcome)
    assert WRONG - set(found) == set()
    broken = [f for f in outcome.report.findings if f.where == "sleeve"]
    assert len(broken) == 3  # every fault of the piece, not the one on which reading ended
    assert outcome.report.worst is Level.FAIL and "4 that cannot be read" in outcome.report.summary
    assert all(f.cure or f.level < Level.WARN or f.code in WRONG for f in outcome.report.findings)
    # What cannot be read comes first, then what was found in the order of the checks.
    assert found.index("scale-unit") < found.index("open") < found.index("seam") < found.index("cut-stale")


def test_the_same_drawing_gives_the_same_bytes_and_the_next_check_draws_anew():
    drawing, chosen = opened(hostile())
    drawing.put(check(drawing.pattern, chosen).pattern)
    once = drawing.as_bytes()
    drawing.put(check(drawing.pattern, EVERYTHING).pattern)
    assert drawing.as_bytes() == once
    other, chosen = opened(hostile())
    other.put(check(other.pattern, chosen).pattern)
    assert other.as_bytes() == once
    again, chosen = open_drawing(io.BytesIO(once))
    again.put(check(again.pattern, chosen).pattern)
    assert again.as_bytes() == once

    again.put(check(again.pattern, action="hide").pattern)
    plain, _ = opened(hostile())
    assert again.as_bytes() == plain.as_bytes()


def test_what_is_drawn_has_the_numbers_of_the_report_and_stands_in_no_piece():
    drawing, chosen = opened(hostile())
    groups = [e for e in drawing.root if e.get("{urn:sewkit:1}piece")]
    before = [len(list(group.iter())) for group in groups]
    outcome = check(drawing.pattern, chosen)
    drawing.put(outcome.pattern)

    layer = drawing.root.find("{*}g[@id='sewkit-findings']")
    assert [len(list(group.iter())) for group in groups] == before
    told = {f.number: f for f in outcome.report.findings if f.number}
    assert list(told) == list(range(1, len(told) + 1))
    words = [e.text for e in layer.iter("{*}text")]
    assert len(words) > 10
    for text in words:
        number, level = text.split(":")[0].split()
        assert told[int(number)].level.word == level
    # The scale is a matter of no place: it is in the list alone.
    numbers = {int(text.split()[0]) for text in words}
    assert {f.number for f in told.values() if f.point is not None} == numbers
    # Whoever selects all does not select the rings for pieces.
    assert drawing.choose(ids=["bow-tie-group", "sewkit-findings"]).outlines == (("bow-tie", ""),)


def test_rings_are_told_apart_without_colours():
    """A square for stop, a triangle for look; words beside them say it as well."""
    outcome = checked(hostile())
    shapes = {m.form: len(m.path) for m in outcome.pattern.shown if m.path.closed}
    assert shapes == {"stop": 4, "look": 3}


def test_words_cover_no_other_words():
    from sewkit.checks.findings_drawn import _FREE, _LETTER

    boxes = []
    for mark in checked(hostile()).pattern.shown:
        if mark.text:
            x, y = mark.path.start
            boxes.append((x, y - mark.height, x + (len(mark.text) * _LETTER - _FREE) * mark.height, y))
    crossing = [
        (a, b)
        for i, a in enumerate(boxes)
        for b in boxes[i + 1 :]
        if min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])
    ]
    assert crossing == []


SQUARE = (
    '<rect x="20" y="500" width="{0}" height="{0}"/>'
    '<text x="30" y="550">10 cm x 10 cm test square</text></svg>'
)


@pytest.mark.parametrize(("side", "wanted"), [(100.0, set()), (103.0, {"scale"})])
def test_a_test_square_in_the_drawing_proves_its_scale(side, wanted):
    outcome = checked(pair().replace("</svg>", SQUARE.format(side)))
    assert set(codes(outcome)) == wanted
    texts = [f.text for f in outcome.report.findings if f.code == "scale"]
    assert len(texts) == len(set(texts)) and all("3.00 %" in texts[0] for _ in texts[:1])


def test_a_drawing_whose_scale_was_put_right_is_not_told_to_be_odd():
    """3 % larger by our own hand; the same by a page that somebody made larger is suspicious."""
    drawing, _ = opened(pair())
    drawing.put(find("scale").function(drawing.pattern, action="change", known="103mm=100").pattern)
    data = drawing.as_bytes().decode()
    assert codes(checked(data)) == []

    larger = codes(checked(pair().replace('width="700mm" height="700mm"', 'width="721mm" height="721mm"')))
    assert larger[0] == "scale-unit" and larger[-1] == "scaled" and larger.count("scaled") == 1


def test_only_what_was_picked_is_told():
    outcome = checked(hostile(), pieces=["pocket"])
    assert set(codes(outcome)) == {"nest-order", "no-grain", "cut-missing"}
    with pytest.raises(InputError):
        opened(hostile(), pieces=["cuff"])  # it cannot be read at all


def test_a_drawing_without_pieces_has_nothing_to_check():
    with pytest.raises(InputError, match="no piece"):
        check(Pattern())


def test_notes_are_drawn_only_when_asked_for():
    text = pair().replace('sewkit:allowance="10">', 'sewkit:allowance="10" sewkit:cut="2">', 1)
    drawing, chosen = opened(text)
    assert check(drawing.pattern, chosen).pattern.shown == ()
    shown = check(drawing.pattern, chosen, notes=True).pattern.shown
    assert {mark.form for mark in shown} == {"note"}


# -- through the doors ------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "deep").mkdir()
    for name, text in (
        ("a.svg", pair()),
        ("deep/b.svg", hostile()),
        ("deep/c.svg", "<svg"),
        ("picture.svg", '<svg xmlns="http://www.w3.org/2000/svg"><path d="M 0,0 H 9"/></svg>'),
    ):
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_without_an_output_the_answer_goes_to_standard_output(folder, capsys):
    assert main(["check", str(folder / "a.svg")]) == 0
    told = capsys.readouterr()
    assert "Everything is as it should be." in told.out and told.err == ""

    assert main(["check", str(folder / "deep" / "b.svg"), "--fail-on", "stop"]) == 1
    assert "1. sleeve" in capsys.readouterr().out
    assert main(["check", str(folder / "a.svg"), "--action", "keep"]) == 2  # that is for a drawing
    assert "-o FILE" in capsys.readouterr().err


def test_with_an_output_the_findings_are_drawn_there(folder, capsys):
    target = folder / "found.svg"
    assert main(["check", str(folder / "deep" / "b.svg"), "-o", str(target)]) == 0
    assert capsys.readouterr().out == "" and b"Sewkit findings" in target.read_bytes()


def test_every_drawing_of_a_folder_is_checked(folder, capsys):
    pages = [folder / ("all." + kind) for kind in ("txt", "html", "json")]
    status = main(["check", str(folder), "--fail-on", "stop", *("--report=" + str(page) for page in pages)])
    told = capsys.readouterr().out

    assert status == 1
    rows = [line.split() for line in told[told.index("\nDrawings") :].splitlines()[4:]]
    assert [(row[0], row[-1]) for row in rows if row] == [
        ("a.svg", "good"),
        ("deep/b.svg", "stop"),
        ("deep/c.svg", "stop"),
        ("picture.svg", "note"),
    ]
    found = json.loads(pages[2].read_text(encoding="utf-8"))["findings"]
    assert any(one["text"].startswith("deep/b.svg: ") for one in found) and len(found) > 20
    assert "deep/b.svg" in pages[1].read_text(encoding="utf-8")


def test_a_folder_gives_no_drawing_and_an_empty_one_is_told(folder, tmp_path_factory, capsys):
    assert main(["check", str(folder), "-o", "x.svg"]) == 2
    assert "folder" in capsys.readouterr().err
    assert main(["check", str(tmp_path_factory.mktemp("empty"))]) == 2
    assert "no drawing" in capsys.readouterr().err


def test_a_folder_of_good_drawings_stops_nobody(folder):
    for name in ("deep/b.svg", "deep/c.svg"):
        (folder / name).unlink()
    report = folder_report(check_folder(str(folder), Step(find("check"), {})))
    assert report.summary == "2 drawings looked at; none that stops you."


def test_a_check_may_be_a_step_of_a_job():
    steps = [RecipeStep(Step(find("check"), {}))]
    done = run_job(io.BytesIO(pair(bottom=322).encode()), steps)
    texts = [f.text for f in done.report.findings]
    assert len(texts) == len(set(texts)) and b"sewkit-findings" in done.drawing.as_bytes()


def test_where_no_seam_is_known_none_is_called_good():
    """Two squares that nobody has paired; in what is checked of them nothing is amiss."""
    square = Path.through([(0, 0), (300, 0), (300, 300), (0, 300)], closed=True)
    pieces = []
    for name, x in (("front", 0), ("back", 400)):
        marks = (grain(x + 150, 50, 250),)
        pieces.append(named(move(x, 0).path(square), "a b c d", name, marks=marks))
    told = check(Pattern(tuple(pieces))).report

    (finding,) = [one for one in told.findings if one.code == "no-seam"]
    assert "sewkit pair --first front/side --second back/side" in finding.cure
    assert "no seam is known yet" in told.summary
    (good,) = [one for one in told.findings if one.code == "checked"]
    assert "seams" not in good.text


def test_a_single_piece_needs_no_seam():
    square = Path.through([(0, 0), (300, 0), (300, 300), (0, 300)], closed=True)
    told = check(Pattern((named(square, "a b c d", "scarf"),))).report

    assert "no-seam" not in [one.code for one in told.findings]


def test_lines_without_names_are_not_called_as_they_should_be():
    drawn = '<path id="a" d="M 20,20 H 120 V 220 H 20 Z"/>'
    report = checked('<svg xmlns="http://www.w3.org/2000/svg" width="300mm">{}</svg>'.format(drawn)).report

    assert "as it should be" not in report.summary
    assert not any("seams" in finding.text for finding in report.findings if finding.level is Level.PASS)
