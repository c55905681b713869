"""Labels by the operation: what they say, where they stand, one size and a whole nest (judged by Shapely)."""

import pathlib

import numpy as np
import pytest

from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.files.svg_words import lines_through_words
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.operations.allowance import allowance
from sewkit.operations.label import label
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.mark import OVERLAY
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from tests.operations.pieces import grain, named

shapely = pytest.importorskip("shapely")

MASTER = pathlib.Path(__file__).parents[2] / "samples" / "waistcoat" / "master.svg"


def box(wide, high, x=0.0):
    spots = [(x, 0), (x + wide, 0), (x + wide, high), (x, high)]
    return named(Path.through(spots, closed=True), "top side hem fold")


def labels(piece):
    return [mark for mark in piece.marks if mark.name == LABEL_NAME]


def said(piece):
    return [mark.text for mark in labels(piece) if mark.text]


def ground(mark):
    """The area of words, from their foot line as high as the letters."""
    way = mark.path.end - mark.path.start
    up = np.array([way[1], -way[0]]) / np.hypot(*way) * mark.height
    return shapely.Polygon([mark.path.start, mark.path.end, mark.path.end + up, mark.path.start + up])


def test_all_that_the_trade_writes_on_a_piece_stands_there():
    """Words by hand from the piece: cut once on the fold, seams 10 mm, the hem 10 mm deep as well."""
    piece = box(300, 500)._replace(
        folds=("fold",), hems=("hem",), cut=1, cloth="lining", marks=(grain(150.0, 50.0, 450.0),)
    )
    cut = allowance(Pattern((piece, box(90, 90, 400)._replace(name="tab"))), width=10.0).pattern
    done = label(
        cut,
        garment="Waistcoat",
        who="P03",
        made="chest 3, waist 5",
        show="The Miser",
        date="May 2026",
        version="2",
    )

    assert said(done.pattern.piece("front"))[:5] == [
        "Waistcoat, front (1 of 2)",
        "P03: chest 3, waist 5",
        "cut 1 on the fold, lining cloth",
        "allowance 10 mm, hem 10 mm, fold 0 mm",
        "The Miser, May 2026, version 2",
    ]
    assert done.report.summary == "2 pieces have labels. To cut in all: 1 of lining cloth, 1 of main cloth."
    assert [row[1:4] for row in done.report.tables[0].rows] == [
        ("front", "1 on the fold", "lining"),
        ("tab", "1", "main"),
    ]


def test_a_whole_nest_has_one_label_that_serves_every_size_and_touches_no_line():
    drawing, _ = open_drawing(str(MASTER))
    pattern = drawing.with_beside(drawing.pattern)
    done = label(pattern, who="P03").pattern
    over = shapely.MultiLineString([line.nodes for line in lines_through_words(drawing.root)])

    for piece in done.pieces:
        areas = [ground(mark) for mark in labels(piece) if mark.text]
        assert "P03: sizes 1 to 8" in " ".join(said(piece))
        assert all(mark.size == "" for mark in labels(piece))
        for outline in piece.outlines:
            shape = shapely.Polygon(flatten(outline.path, 0.01))
            assert all(shape.buffer(-2.0).contains(area) for area in areas)
        for mark in piece.marks:
            if mark.name != LABEL_NAME and not mark.text:
                line = shapely.LineString(flatten(mark.path, 0.01))
                assert all(line.distance(area) > 2.0 for area in areas), mark
        assert all(area.disjoint(over) for area in areas)


def test_a_label_is_replaced_and_taken_away_and_other_words_stay(tmp_path):
    first, second, third = (str(tmp_path / name) for name in ("a.svg", "b.svg", "c.svg"))
    assert main(["label", str(MASTER), "-o", first, "--size", "5", "--who", "P03"]) == 0
    assert main(["label", first, "-o", second, "--size", "5", "--who", "P04"]) == 0
    assert main(["label", second, "-o", third, "--action", "remove"]) == 0
    one, two, none, old = (open_drawing(name)[0].pattern for name in (first, second, third, str(MASTER)))

    for before, after in zip(one.pieces, two.pieces):
        assert [text.replace("P04", "P03") for text in said(after)] == said(before)
        assert any("P04: size 5" in text for text in said(after))
    assert [piece.marks for piece in none.pieces] == [piece.marks for piece in old.pieces]


def test_only_the_selected_pieces_are_labelled_and_numbers_count_all():
    pieces = Pattern(
        (box(200, 300), box(200, 300, 300)._replace(name="back"), box(20, 20, 600)._replace(name="tab"))
    )
    both = label(pieces).pattern
    only = label(both, Chosen((PickedOutline("back", ""),)), who="P04").pattern

    assert only.piece("front").marks == both.piece("front").marks
    assert only.piece("tab").marks == both.piece("tab").marks
    assert said(only.piece("back"))[:2] == ["back (2 of 3)", "P04"]


def test_lines_of_the_legend_belong_to_their_pieces_and_do_not_lie_on_each_other():
    pieces = Pattern(tuple(box(20, 20, 100 * n)._replace(name="tab-{}".format(n)) for n in range(3)))
    done = label(pieces)
    for _ in range(3):
        done = label(done.pattern, Chosen((PickedOutline("tab-1", ""),)), who="P05")

    legend = [mark for piece in done.pattern.pieces for mark in labels(piece) if ":" in mark.text]
    areas = [ground(mark) for mark in legend]
    assert len(areas) == 3 and all(area.bounds[1] > 20.0 for area in areas)
    assert not any(a.intersects(b) for n, a in enumerate(areas) for b in areas[n + 1 :])
    assert [finding.code for finding in done.report.findings] == ["label-legend"]


def test_words_beside_the_pieces_are_not_written_over():
    """The best place is taken by words of which only the drawing knows how wide they are."""
    free = label(Pattern((box(200, 300),))).pattern.pieces[0]
    taken = shapely.union_all([ground(mark) for mark in labels(free) if mark.text])
    left, top, right, bottom = taken.bounds
    lines = [Path.through([(left, y), (right, y)]) for y in np.arange(top, bottom, 3.0)]
    beside = tuple(labels(free)[0]._replace(kind=OVERLAY, name="words", path=line, text="") for line in lines)
    done = label(Pattern((box(200, 300),), beside=beside)).pattern.pieces[0]

    areas = [ground(mark) for mark in labels(done) if mark.text]
    assert areas and all(area.disjoint(taken) for area in areas)


def test_what_cannot_be_labelled_is_told():
    line = Piece("a", (bare_outline(Path.through([(0, 0), (100, 0), (100, 90)])),), named=False)
    with pytest.raises(InputError, match="no closed outline"):
        label(Pattern((line,)))
    with pytest.raises(InputError, match="size '9'"):
        label(Pattern((box(100, 100),)), size_cut="9")
    opened = Piece("b", (bare_outline(Path.through([(0, 0), (100, 0), (100, 90)])),))
    told = label(Pattern((box(200, 200), opened))).report
    assert [(one.code, one.where) for one in told.findings] == [("open", "b")]


def test_a_name_written_out_is_told_and_initials_are_not():
    pattern = Pattern((box(300.0, 400.0),))
    for who, codes in (("Margaret Hill", ["initials"]), ("M. H.", []), ("P03", []), ("", [])):
        assert [one.code for one in label(pattern, who=who).report.findings] == codes


def test_on_a_bias_strip_all_the_words_are_one_line():
    """600 by 20 mm: letters of 4 mm in one line need about 5 mm of its 20."""
    strip = Path.through([(0, 0), (600, 0), (600, 20), (0, 20)], closed=True)
    done = label(Pattern((named(strip, "top end-1 bottom end-2", "strip"),)), who="P03", date="May 2026")
    lines = [mark for mark in done.pattern.pieces[0].marks if mark.text and mark.text != "50 mm"]
    assert len(lines) == 1 and "strip (1 of 1)" in lines[0].text
    nodes = lines[0].path.nodes
    assert nodes[:, 0].min() > 0 and nodes[:, 0].max() < 600 and nodes[:, 1].max() < 20
    assert nodes[:, 1].min() - lines[0].height > 0
