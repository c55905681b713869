"""Printing as a person asks for it: sizes, lines, layers, labels, and what is told."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.print_ import print_
from sewkit.paper.line_kinds import SEAM, line_kind
from sewkit.paper.moved import room_of
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import DRILL, GRAIN, LABEL, LEVEL, NOTCH, NOTE, OVERLAY, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from tests.files.sheets import front, opened
from tests.operations.pieces import named_outline
from tests.paper.sheets import rectangle

EDGES = "top side hem centre"


def nest(**more):
    """A front in three sizes, each 10 mm larger, with cut lines 10 mm outside but for size 3."""
    sizes = {"1": 120.0, "2": 130.0, "3": 140.0}
    outlines = tuple(
        named_outline(rectangle(0.0, 0.0, width, width + 40.0), EDGES, size) for size, width in sizes.items()
    )
    cuts = tuple(
        CutLine(size, rectangle(-10.0, -10.0, width + 20.0, width + 60.0))
        for size, width in sizes.items()
        if size != "3"
    )
    marks = (
        Mark(GRAIN, path=Path.through([(30, 30), (30, 120)])),
        Mark(LEVEL, "waist", "1", Path.through([(0, 80), (120, 80)])),
        Mark(LEVEL, "waist", "2", Path.through([(0, 85), (130, 85)])),
        Mark(NOTCH, "", "2", Path(np.concatenate([p.curves for p in double_tick()]))),
        Mark(DRILL, path=rectangle(50, 50, 3, 3)),
        Mark(OVERLAY, "slash", path=Path.through([(0, 0), (50, 50)])),
        Mark(NOTE, path=Path.through([(0, 0), (50, 51)])),
    )
    piece = Piece("front", outlines, cuts, marks, **dict({"cut": 2, "allowance": {"": 10.0}}, **more))
    return Pattern((piece,), title="Waistcoat")


def double_tick():
    return [Path.through([(60, 170), (60, 165)]), Path.through([(64, 170), (64, 165)])]


def document(pattern, chosen=None, **values):
    extra = {} if chosen is None else {"chosen": chosen}
    return print_(pattern, **extra, **dict({"lay": "as-drawn"}, **values)).prints[0]


def widths(strokes):
    return sorted(round(float(np.ptp(stroke.path.nodes[:, 0])), 3) for stroke in strokes)


def on(document, *layers):
    return [stroke for stroke in document.artwork.strokes if set(layers) <= set(stroke.layers)]


def test_each_size_and_each_kind_of_line_is_a_layer():
    made = document(nest())

    assert [(layer.name, layer.group) for layer in made.layers] == [
        ("Size 1", "Sizes"),
        ("Size 2", "Sizes"),
        ("Size 3", "Sizes"),
        ("Cut lines", "Lines"),
        ("Seam lines", "Lines"),
        ("Notches", "Lines"),
        ("Grain", "Lines"),
        ("Marks", "Lines"),
        ("Words", "Lines"),
        ("Page marks", "Pages"),
    ]
    assert widths(on(made, "Size 2", "Seam lines")) == [130.0]
    assert widths(on(made, "Size 2", "Cut lines")) == [150.0]
    assert widths(on(made, "Seam lines")) == [120.0, 130.0, 140.0]


@pytest.mark.parametrize(
    "lines, seams, cuts",
    [
        ("both", [120.0, 130.0, 140.0], [140.0, 150.0]),
        ("seam", [120.0, 130.0, 140.0], []),
        ("cut", [140.0], [140.0, 150.0]),  # size 3 has no cut line: its seam line stands for it
    ],
)
def test_the_lines_asked_for_are_printed(lines, seams, cuts):
    made = document(nest(), lines=lines)

    assert (widths(on(made, "Seam lines")), widths(on(made, "Cut lines"))) == (seams, cuts)


def test_a_missing_cut_line_is_told():
    findings = {finding.code: finding for finding in print_(nest(), lines="cut").report.findings}

    assert "front" in findings["no-cut-line"].text and findings["no-cut-line"].cure


@pytest.mark.parametrize("way", ["named", "picked"])
def test_one_size_comes_with_its_own_marks_and_those_of_all(way):
    chosen = Chosen((PickedOutline("front", "2"),)) if way == "picked" else None
    made = document(nest(), chosen, print_sizes="2" if way == "named" else "")

    assert widths(on(made, "Seam lines")) == [130.0]
    assert widths(on(made, "Marks")) == [3.0, 130.0]  # the drill mark, and the level of size 2
    assert len(on(made, "Notches")) == 2  # a double notch is two lines, not one across both
    assert len(on(made, "Grain")) == 1
    assert len(made.artwork.fills) == 2  # the grain's arrow has two heads


def test_overlays_and_notes_are_not_printed():
    made = document(nest())

    assert 50.0 not in widths(made.artwork.strokes)


def test_sizes_differ_in_dashes_from_each_other_and_in_ink_from_their_neighbours():
    outlines = tuple(named_outline(rectangle(0.0, 0.0, 100.0 + k, 100.0), EDGES, str(k)) for k in range(1, 9))
    made = document(Pattern((Piece("front", outlines),)))
    looks = [(stroke.dashes, stroke.ink) for stroke in on(made, "Seam lines")]

    assert len({dashes for dashes, _ in looks}) == 8
    # Lightness as ITU-R BT.709 weighs the colours: a tenth apart is seen in grey.
    grey = [0.2126 * red + 0.7152 * green + 0.0722 * blue for _, (red, green, blue) in looks]
    assert max(grey) < 0.5
    assert all(one != other for (_, one), (_, other) in zip(looks, looks[1:]))
    names = {words.text for words in made.artwork.words if "Size 5" in words.layers}
    assert names == {"5"}


def test_a_cut_line_is_solid_and_wide_a_seam_line_broken_and_fine():
    made = document(nest(), print_sizes="1", weight="0.4mm")
    (seam,), (cut,) = on(made, "Seam lines"), on(made, "Cut lines")

    assert seam.width == pytest.approx(0.4) and seam.dashes
    assert cut.width > seam.width and not cut.dashes


def test_a_piece_without_a_label_gets_one_with_its_cut_count():
    text = " ".join(words.text for words in document(nest(), print_sizes="2", person="P03").artwork.words)

    # A rectangle is its own mirror image, so its two are cut alike.
    assert "Waistcoat, front (1 of 1) P03: size 2 cut 2 alike, main cloth allowance 10 mm" in text


def test_the_words_of_a_drawing_stay_as_they_stand_and_the_label_keeps_off_them():
    """Letters of 14 mm round (70, 90), turned by a quarter: they run upwards."""
    look = 'transform="rotate(-90 70 90)" style="font-size:14px;text-anchor:middle" sewkit:role="label"'
    drawing, _ = opened(front(more='<text x="70" y="90" {}>front</text>'.format(look)))
    shapely = pytest.importorskip("shapely")
    made = document(drawing.with_beside(drawing.pattern))
    texts, corner = made.artwork.words, on(made, "Seam lines")[0].path.nodes.min(axis=0)  # (0, 20) in the SVG
    (found,) = [one for one in texts if one.text == "front"]

    assert found.place - corner == pytest.approx([70.0, 70.0], abs=1e-6)
    assert found.along == pytest.approx((0.0, -1.0), abs=1e-9)
    assert (found.height, found.anchor) == (pytest.approx(14.0), 0.5)
    rooms = [room_of(one) for one in texts]
    shapes = [shapely.Polygon(room) for room in rooms]
    mine = shapes[texts.index(found)]
    assert len(shapes) > 2 and all(one is mine or one.distance(mine) > 0 for one in shapes)


CARED_FOR = (
    "Copyright R. T., for personal use. Add 10 mm allowance all round.",
    "Buttons 80 mm apart.",
    "waist",
)


@pytest.mark.parametrize("lines, cared", [("both", CARED_FOR[0][:34]), ("seam", CARED_FOR[0])])
def test_the_front_repeats_what_a_maker_allows_and_asks_for_no_allowance_twice(lines, cared):
    beside = tuple(Mark(LABEL, path=Path.through([(0, 0), (0, 0)]), text=text) for text in CARED_FOR)
    done = print_(nest()._replace(beside=beside), lines=lines, lay="as-drawn")
    said = " ".join(one.text for one in done.prints[0].pages[0].own.words)
    told = [finding.text for finding in done.report.findings if finding.code == "words-not-printed"]

    assert said.endswith("made from " + cared)
    assert "Buttons" in told[0] and ("Add 10 mm" in told[0]) is (lines == "both")


def test_the_cut_list_stands_on_the_front_page_unless_it_is_not_wanted():
    front, bare = (document(nest(), cut_list=wanted).pages[0] for wanted in (True, False))

    assert "Cut list" in [words.text for words in front.own.words]
    assert "Cut list" not in [words.text for words in bare.own.words]


def test_sizes_that_leave_one_out_are_not_called_a_row():
    """Of sizes 1, 2 and 3 the first and the last are printed: they are not "1 to 3"."""
    said = " ".join(word.text for word in document(nest(), print_sizes="3 1").artwork.words)

    assert "sizes 1 and 3" in said
    assert "1 to 3" not in said
    every = " ".join(word.text for word in document(nest()).artwork.words)
    assert "sizes 1 to 3" in every


def test_edges_on_the_fold_say_so():
    texts = [words.text for words in document(nest(folds=("centre",)), print_sizes="1").artwork.words]

    assert texts.count("place on the fold") == 1


def test_the_report_says_how_many_pages_and_what_to_measure():
    report = print_(nest(), lay="as-drawn", turn="portrait").report

    # 160 x 190 mm with the cut line fit on one page of 190 x 277.
    assert "One page of A4" in report.summary and "210 x 297 mm" in report.summary
    (measure,) = [finding for finding in report.findings if finding.code == "measure"]
    assert "100 mm" in measure.text and "0.25 %" in measure.text
    assert report.tables[0].rows == (("1", "1", "1", "0"),)


def test_the_pattern_is_not_changed():
    pattern = nest()

    assert print_(pattern).pattern is pattern


@pytest.mark.parametrize(
    "values, words",
    [
        ({"print_sizes": "9"}, "no size '9'"),
        ({"paper": "A9"}, "no paper"),
        ({"margin": 100.0}, "too little|nothing"),
        ({"paper": "A5", "overlap": 100.0}, "too little"),
        ({"weight": "thick"}, "no line weight"),
        ({"weight": "9mm"}, "printed well"),
        ({"only": "C7"}, "no page C7"),
    ],
)
def test_what_cannot_be_printed_is_refused_with_a_cure(values, words):
    with pytest.raises(InputError, match=words) as error:
        print_(nest(), **values)

    assert error.value.cure


def test_an_empty_pattern_is_refused():
    with pytest.raises(InputError, match="nothing to print"):
        print_(Pattern())


def test_sixty_four_sizes_look_different():
    """No two of them have width, dashes and ink in common."""
    looks = [line_kind(SEAM, number, 64, 0.35) for number in range(64)]

    assert len(set(looks)) == 64


def test_a_page_that_is_named_twice_is_printed_once():
    pages = document(nest(), only="a1 A1, A1", front=False).pages

    assert [page.label for page in pages] == ["A1"]


def test_without_a_front_the_maker_s_few_words_stand_on_every_page():
    beside = (Mark(LABEL, path=Path.through([(0, 0), (0, 0)]), text="Copyright R. T."),)
    pages = document(nest()._replace(beside=beside), front=False).pages

    assert all(any("Copyright R. T." in one.text for one in page.own.words) for page in pages)


def test_the_legend_names_each_kind_of_mark_that_occurs_and_no_other():
    texts = [one.text for one in document(nest()).pages[0].own.words]

    assert {"straight grain", "level, such as the waist", "notch: meets that of its seam"} <= set(texts)
    assert "dart" not in texts and "gather here" not in texts and "button" not in texts
    assert "place to mark: dart, button, pocket" in texts
