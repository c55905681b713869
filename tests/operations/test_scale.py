"""Putting a drawing of the wrong size right.

Factors: what it should be divided by what it measures; 100 / 97 = 1.030928 is the job's
reference number.
"""

import io
import pathlib

import numpy as np
import pytest

from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.path import Path
from sewkit.operations.scale import scale
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import GRAIN, LABEL, LEVEL, Mark
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.report import Level
from sewkit.sheet.scale_words import signed
from tests.operations.pieces import bare, bare_piece, named, notch
from tests.sheet.proofs import corners

BOX = Path.through([(0, 0), (100, 0), (100, 50), (0, 50)], closed=True)


def line(length):
    return bare(Path.through([(10, 10), (10 + length, 10)]))


def box(width, height, turn=0.0):
    return bare(Path.through(corners(20, 30, width, height, turn), closed=True))


def one(pattern):
    return Chosen((PickedOutline(pattern.pieces[0].name, ""),))


def codes(outcome):
    return {finding.code for finding in outcome.report.findings}


# -- the factor -----------------------------------------------------------------------------


def test_a_line_of_97_that_should_be_100():
    pattern = line(97.0)

    after = scale(pattern, one(pattern), is_long=100.0, action="change").pattern

    assert after.scale == pytest.approx((1.030928, 1.030928), abs=5e-7)
    assert path_length(after.pieces[0].outlines[0].path) == pytest.approx(100, abs=1e-9)


@pytest.mark.parametrize("known", ["100mm=97.0", "10cm=97", "1 in = 24.638"])
def test_both_lengths_in_words_need_no_line(known):
    assert scale(Pattern(), EVERYTHING, known=known, action="change").pattern.scale == pytest.approx(
        (100 / 97,) * 2
    )


@pytest.mark.parametrize("also", [{"is_long": 100.0}, {"height": 90.0}])
def test_two_lengths_at_once_are_refused(also):
    pattern = line(500.0)

    with pytest.raises(InputError, match="Both a pair of lengths"):
        scale(pattern, one(pattern), known="100mm=97.0", **also)


def arrow():
    """A grain arrow of 160 mm with heads of 5 mm, and a level of 80 mm, on a piece in two sizes."""
    shaft = Path.through([(47, 24), (50, 20), (50, 180), (53, 176)])
    level = Path.through([(10, 100), (90, 100)])
    outlines = tuple(bare_outline(BOX, size) for size in ("1", "2"))
    marks = (Mark(GRAIN, path=shaft, key="grain"), Mark(LEVEL, "waist", path=level, key="waist"))
    return Pattern((Piece("back", outlines, marks=marks),))


@pytest.mark.parametrize("key, drawn", [("grain", 160.0), ("waist", 80.0)])
def test_a_picked_mark_is_the_line_that_is_meant(key, drawn):
    both = (PickedOutline("back", "1"), PickedOutline("back", "2"))

    after = scale(arrow(), Chosen(both, (), (key,)), action="change", is_long=100.0).pattern

    assert after.scale == pytest.approx((100 / drawn,) * 2)


def test_two_picked_marks_are_one_too_many():
    chosen = Chosen((PickedOutline("back", "1"),), (), ("grain", "waist"))

    with pytest.raises(InputError, match="2 lines"):
        scale(arrow(), chosen, is_long=100.0, action="change")


def test_unless_it_shall_be_changed_the_scale_is_only_checked():
    pattern = line(97.0)

    assert scale(pattern, EVERYTHING).pattern is pattern
    assert scale(pattern, one(pattern), is_long=100.0).pattern is pattern


def test_the_command_only_checks_unless_it_shall_be_changed(tmp_path, capsys):
    """Called as it is most simply: a file, and nothing else."""
    source = tmp_path / "sheet.svg"
    source.write_text(SVG, encoding="utf-8")

    assert main(["scale", str(source), "--dry-run"]) == 0
    assert main(["scale", str(source), "--dry-run", "--known", "100mm=97.0"]) == 0

    told = capsys.readouterr()
    assert "--action change" in " ".join((told.out + told.err).split())
    assert source.read_text(encoding="utf-8") == SVG


def test_no_error_has_no_sign():
    assert (signed(-0.0), signed(-0.049), signed(-0.06), signed(3.0)) == (
        "0.0 mm",
        "0.0 mm",
        "-0.1 mm",
        "+3.0 mm",
    )


def test_a_curve_is_measured_along_itself():
    """Judge: svgpathtools' arc length."""
    parse_path = pytest.importorskip("svgpathtools").parse_path
    d = "M 10,200 C 50,220 60,250 100,260"
    curve = np.array([[[10.0, 200.0], [50.0, 220.0], [60.0, 250.0], [100.0, 260.0]]])
    pattern = bare(Path(curve))

    after = scale(pattern, one(pattern), is_long=120.0, action="change").pattern

    assert after.scale[0] == pytest.approx(120 / parse_path(d).length(error=1e-10), rel=1e-9)


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0])
def test_a_square_is_measured_by_its_side(turn):
    pattern = box(97.0, 97.0, turn)

    assert scale(pattern, one(pattern), is_long=100.0, action="change").pattern.scale == pytest.approx(
        (100 / 97,) * 2
    )


def test_a_round_shape_is_measured_by_its_width():
    """Four quarter arcs as cubics touch the circle's box exactly at their ends."""
    k = 0.5522847498307936 * 40
    points = [
        [(90, 50), (90, 50 + k), (50 + k, 90), (50, 90)],
        [(50, 90), (50 - k, 90), (10, 50 + k), (10, 50)],
    ]
    points += [
        [(10, 50), (10, 50 - k), (50 - k, 10), (50, 10)],
        [(50, 10), (50 + k, 10), (90, 50 - k), (90, 50)],
    ]
    pattern = bare(Path(points, True))

    assert scale(pattern, one(pattern), is_long=100.0, action="change").pattern.scale == pytest.approx(
        (1.25, 1.25)
    )


def test_two_nodes_give_their_distance():
    pattern = bare(Path.through([(0, 0), (30, 40), (500, 0)]))
    nodes = (PickedNode("line", "", (0.0, 0.0)), PickedNode("line", "", (30.0, 40.0)))

    after = scale(pattern, one(pattern)._replace(nodes=nodes), is_long=100.0, action="change").pattern

    assert after.scale == pytest.approx((2.0, 2.0))


def test_two_lengths_of_a_square_give_two_factors():
    pattern = box(97.0, 99.0)

    after = scale(pattern, one(pattern), is_long=100.0, height=100.0, action="change").pattern

    assert after.scale == pytest.approx((100 / 97, 100 / 99))


def test_two_lengths_that_say_nearly_the_same_are_one_factor():
    pattern = box(97.0, 97.02)

    across, down = scale(pattern, one(pattern), is_long=100.0, height=100.0, action="change").pattern.scale

    assert across == down == pytest.approx(np.sqrt(100 / 97 * 100 / 97.02))


def test_a_rectangle_takes_the_factor_of_its_width():
    pattern = box(97.0, 48.5)

    assert scale(pattern, one(pattern), is_long=100.0, action="change").pattern.scale == pytest.approx(
        (100 / 97,) * 2
    )


# -- what is refused ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pattern", "values", "code"),
    [
        (box(97.0, 99.0), {"is_long": 100.0}, "scale-stretch"),
        (line(97.0), {"is_long": 100.0, "height": 100.0}, "choice"),
        (line(97.0), {}, "scale-none"),
        (line(100.0), {"is_long": 6000.0}, "scale-known"),
        (line(1000.0), {"is_long": 20.0}, "scale-known"),
        (line(0.2), {"is_long": 20.0}, "choice"),
        (line(97.0), {"known": "100mm"}, "scale-known"),
        (line(97.0), {"known": "100mm=0"}, "scale-known"),
    ],
)
def test_what_cannot_be_meant_is_refused(pattern, values, code):
    with pytest.raises(InputError) as told:
        scale(pattern, one(pattern), **values, action="change")

    assert told.value.code == code


def test_a_square_stretched_by_less_than_a_quarter_percent_is_one():
    pattern = box(97.0, 97.2)

    assert scale(pattern, one(pattern), is_long=100.0, action="change").pattern.scale == pytest.approx(
        (100 / 97,) * 2
    )


def test_nothing_selected_and_nothing_known_is_asked_for():
    with pytest.raises(InputError, match="known"):
        scale(Pattern((named(BOX, "a b c d"),)), EVERYTHING, action="change")


def test_two_lines_are_one_too_many():
    pattern = Pattern((bare_piece(BOX, "a"), bare_piece(BOX, "b")))
    both = Chosen((PickedOutline("a", ""), PickedOutline("b", "")))

    with pytest.raises(InputError, match="2 lines"):
        scale(pattern, both, is_long=100.0, action="change")


@pytest.mark.parametrize("nodes", [[(0.0, 0.0)], [(0.0, 0.0), (0.0, 0.0)]])
def test_one_node_or_one_spot_gives_no_distance(nodes):
    pattern = line(97.0)
    picked = tuple(PickedNode("line", "", node) for node in nodes)

    with pytest.raises(InputError):
        scale(pattern, one(pattern)._replace(nodes=picked), is_long=100.0, action="change")


# -- what is told ---------------------------------------------------------------------------


def test_the_error_is_told_on_the_hip():
    """Drawn at 97 %, a hip of 1040 mm comes out 31.2 mm too small."""
    pattern = line(97.0)

    assert (
        "31.2 mm too small"
        in scale(pattern, one(pattern), is_long=100.0, hip=1040.0, action="change").report.summary
    )


@pytest.mark.parametrize("off", [0.0, 0.0004, -0.00049])
def test_a_true_drawing_is_left_alone(off):
    pattern = line(100 * (1 + off))

    outcome = scale(pattern, one(pattern), is_long=100.0, action="change")

    assert outcome.pattern is pattern
    assert outcome.report.worst == Level.PASS


@pytest.mark.parametrize(("drawn", "level"), [(100.0, Level.PASS), (99.8, Level.WARN), (97.0, Level.FAIL)])
def test_checking_changes_nothing(drawn, level):
    pattern = line(drawn)

    outcome = scale(pattern, one(pattern), action="check", is_long=100.0)

    assert outcome.pattern is pattern
    assert outcome.report.worst == level


def test_checking_all_bare_lines_guesses_from_customary_sizes():
    pattern = Pattern(
        (bare_piece(Path.through(corners(20, 30, 100.02), closed=True), "a"), bare_piece(BOX, "b"))
    )
    both = Chosen((PickedOutline("a", ""), PickedOutline("b", "")))

    outcome = scale(pattern, both, action="check", is_long=100.0)

    assert outcome.pattern is pattern
    assert codes(outcome) == {"scale-guess"}
    assert "100.02 x 100.02 mm" in outcome.report.summary


def test_checking_reads_the_labels_of_the_pattern():
    square = bare_piece(Path.through(corners(20, 30, 97.0), closed=True), "a")
    place = Path.through([(30, 80), (31, 80)])
    label = Piece(
        "words", (bare_outline(BOX, key="b"),), marks=(Mark(LABEL, path=place, text="Test square 10 cm"),)
    )

    outcome = scale(Pattern((square, label)), EVERYTHING, action="check")

    assert outcome.report.worst == Level.FAIL
    assert "97.00 x 97.00 mm" in outcome.report.summary


def test_whoever_scales_named_pieces_is_told_what_it_is_not_for():
    cut = named(BOX, "a b c d", cut_lines=(CutLine("", BOX),), allowance={"": 10.0, "c": 20.0})
    pattern = Pattern((cut, named(BOX, "a b c d", "back")))

    outcome = scale(pattern, EVERYTHING, known="100mm=97.0", action="change")

    assert codes(outcome) == {"scale-named", "scale-allowance"}
    told = next(f.text for f in outcome.report.findings if f.code == "scale-allowance")
    assert "10.31, 20.62 mm" in told  # 10 / 0.97 and 20 / 0.97


# -- the whole drawing ----------------------------------------------------------------------

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" '
    'width="300mm" height="200mm" viewBox="0 0 300 200">'
    '<rect id="test" x="10" y="10" width="97" height="97" style="stroke-width:0.35"/>'
    '<g id="front" sewkit:piece="front" sewkit:allowance="10 c=20" transform="rotate(90 150 100)">'
    '<path id="seam" sewkit:role="seam-line" sewkit:edges="a:100 b:50 c:100 d:50" '
    'd="M 150,50 H 250 V 100 H 150 V 50 Z"/>'
    '<path id="cut" sewkit:role="cut-line" d="M 140,40 H 260 V 120 H 140 Z"/>'
    '<path id="tick" sewkit:role="notch" sewkit:at="a+30" d="M 180,50 V 45"/></g>'
    '<text id="word" x="20" y="190">front</text><image id="scan" x="0" y="0" width="5" height="5"/></svg>'
)


def opened(**picks):
    drawing, chosen = open_drawing(io.BytesIO(SVG.encode()), **picks)
    return drawing, chosen


def test_everything_in_the_drawing_grows_and_no_line_is_rewritten():
    drawing, chosen = opened(ids=["test"])

    drawing.put(scale(drawing.pattern, chosen, is_long=100.0, action="change").pattern)

    again, chosen = open_drawing(io.BytesIO(drawing.as_bytes()), ids=["test"])
    square = again.pattern.piece("test").outlines[0].path
    assert np.ptp(square.nodes, axis=0) == pytest.approx((100, 100), abs=0.05)
    assert np.ptp(square.nodes, axis=0) == pytest.approx((100, 100), abs=1e-9)
    for name in ("test", "seam", "cut", "tick", "word", "scan"):
        plain = [a for a in drawing.ids[name].attrib.items() if "urn:sewkit" not in a[0]]
        assert plain == [a for a in opened()[0].ids[name].attrib.items() if "urn:sewkit" not in a[0]]


def test_what_names_remember_goes_along():
    """Edges of 100 and 50 mm, a notch at 30 mm and a drawn allowance of 10 and 20 mm, by 100 / 97."""
    drawing, chosen = opened(ids=["test"])

    drawing.put(scale(drawing.pattern, chosen, is_long=100.0, action="change").pattern)

    namespace = "{urn:sewkit:1}"
    assert drawing.ids["seam"].get(namespace + "edges") == "a:103.09 b:51.55 c:103.09 d:51.55"
    assert drawing.ids["tick"].get(namespace + "at") == "a+30.9278"
    assert drawing.ids["front"].get(namespace + "allowance") == "{:.10g} c={:.10g}".format(
        10 / 0.97, 20 / 0.97
    )
    assert drawing.pattern.problems == ()
    piece = drawing.pattern.piece("front")
    assert piece.outlines[0].as_sewn("a") == pytest.approx(100 / 0.97, abs=1e-9)
    assert piece.allowance[""] == pytest.approx(10 / 0.97, abs=1e-9)


def test_the_function_gives_the_pattern_that_is_read_back():
    drawing, chosen = opened(ids=["test"])
    outcome = scale(drawing.pattern, chosen, is_long=100.0, height=95.0, action="change")

    drawing.put(outcome.pattern)

    for piece in outcome.pattern.pieces:
        read = drawing.pattern.piece(piece.name)
        for wanted, made in zip(piece.outlines + piece.cut_lines, read.outlines + read.cut_lines):
            np.testing.assert_allclose(made.path.curves, wanted.path.curves, atol=1e-9)
        for wanted, made in zip(piece.marks, read.marks):
            assert made.on.distance == pytest.approx(wanted.on.distance, abs=1e-4)


def test_scaling_there_and_back_gives_the_drawing_again():
    drawing, _ = opened()
    before = drawing.pattern

    drawing.put(scale(drawing.pattern, EVERYTHING, known="100mm=97.0", action="change").pattern)
    drawing.put(scale(drawing.pattern, EVERYTHING, known="97mm=100", action="change").pattern)

    after = drawing.pattern.piece("front")
    np.testing.assert_allclose(
        after.outlines[0].path.curves, before.piece("front").outlines[0].path.curves, atol=1e-9
    )
    assert after.allowance[""] == pytest.approx(10, abs=1e-6)
    assert after.marks[0].on.distance == pytest.approx(30, abs=1e-3)


def test_on_a_stretched_curve_a_notch_stays_where_it_is_drawn():
    """A quarter of an ellipse: the spot, not its share of the length, is kept."""
    k = 0.5522847498307936 * 100
    arc = [[(0, 100), (k, 100), (100, k), (100, 0)], [(100, 0), (100, 0), (0, 0), (0, 0)]]
    path = Path([*arc, [(0, 0), (0, 0), (0, 100), (0, 100)]], True)
    pattern = Pattern((named(path, "arc top side", marks=(notch("arc", 40.0),)),))
    old = pattern.pieces[0]
    where = old.outlines[0].path.part(0, 1)
    spot = point_at(where, 40.0) * [1.5, 1.0]
    square = bare_piece(Path.through(corners(0, 0, 100), closed=True), "test")
    pattern = pattern._replace(pieces=(*pattern.pieces, square))

    after = scale(pattern, Chosen((PickedOutline("test", ""),)), is_long=150.0, height=100.0, action="change")

    piece = after.pattern.piece("front")
    found = point_at(piece.outlines[0].path.part(0, 1), piece.marks[0].on.distance)
    assert found == pytest.approx(spot, abs=1e-9)


def test_a_test_square_beside_named_pieces_is_seen():
    """The square of the sample's master and the words in it; both belong to no piece."""
    from sewkit.files.job import run_job
    from sewkit.files.recipe import RecipeStep
    from sewkit.operation import Step, find

    master = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat" / "master.svg"

    told = run_job(str(master), [RecipeStep(Step(find("scale"), {"action": "check"}))]).report

    assert "100.00 x 100.00 mm" in told.summary and told.worst == Level.PASS
