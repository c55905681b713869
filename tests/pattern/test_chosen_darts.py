"""Which dart is meant by what a person says, picks or draws."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedNode, PickedOutline
from sewkit.pattern.chosen_darts import as_found, contours_for, darts_here, for_change
from sewkit.pattern.mark import DART, INNER, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from tests.operations.pieces import R1, bare, named, named_outline, notch, r1

APEX, UPPER, LOWER = (95.0, 265.0), (245.958, 284.851), (240.994, 308.222)
BOX = Path.through([(0, 0), (300, 0), (300, 200), (0, 200)], closed=True)
BOX_EDGES = "waist side hem centre"
LEFT = Path.through([(60, 0), (70, 90), (80, 0)])
RIGHT = Path.through([(200, 0), (215, 90), (230, 0)])
KITE = Path.through([(150, 60), (156, 110), (150, 160), (144, 110)], closed=True)


def line(name, path):
    return Piece(name, (bare_outline(path, key=name),), named=False)


def picked(*names):
    return Chosen(tuple(PickedOutline(name, "") for name in names))


def box(*marks, **more):
    return named(BOX, BOX_EDGES, "back", marks=marks, **more)


def left(**more):
    return Mark(DART, "left-dart", path=LEFT, key="k1", **more)


def right(**more):
    return Mark(DART, "right-dart", path=RIGHT, key="k2", **more)


def refused(pattern, chosen, words=""):
    with pytest.raises(InputError) as told:
        for_change(pattern, chosen, words)
    return told.value.code, str(told.value)


def test_the_only_dart_of_a_pattern_is_meant():
    ((piece, outline, dart),) = for_change(Pattern((r1(), box())), EVERYTHING)
    assert (piece.name, dart.name, outline) == ("front", "dart", piece.outlines[0])
    assert dart.angle == pytest.approx(9.0, abs=0.01)


@pytest.mark.parametrize("words, wide", [("left-dart", 20.0), ("right-dart", 30.0), ("2", 30.0)])
def test_a_drawn_dart_is_meant_by_its_name_or_number_and_is_cut_in(words, wide):
    ((piece, _, dart),) = for_change(Pattern((box(left(), right()),)), EVERYTHING, words)
    assert dart.intake == pytest.approx(wide)
    assert piece.darts == (dart.name,)
    assert len([mark for mark in piece.marks if mark.kind == DART]) == 1
    assert piece.outlines[0].as_sewn("waist") == pytest.approx(300.0 - wide)


def test_a_picked_mark_is_the_dart_that_is_meant():
    chosen = Chosen((PickedOutline("back", ""),), marks=("k2",))
    ((_, _, dart),) = for_change(Pattern((box(left(), right()),)), chosen)
    assert dart.name == "right-dart"


def test_a_dart_of_a_bare_outline_has_named_legs_until_the_change_is_done():
    ((piece, outline, dart),) = for_change(bare(R1), picked("line"))
    assert piece.darts == ("dart-1",)
    assert [edge.name for edge in outline.edges].count("dart-1") == 2
    assert [outline.edges[number].name for number in dart.edges] == ["dart-1", "dart-1"]
    assert as_found(piece) == bare(R1).pieces[0]


@pytest.mark.parametrize(
    "legs",
    [
        {"leg": LEFT},
        {"leg": Path.through([(60, 0), (70, 90)]), "other": Path.through([(70, 90), (80, 0)])},
        {"leg": Path.through([(59, -9), (70, 90)]), "other": Path.through([(79, 9), (70, 90)])},
    ],
)
def test_legs_drawn_over_a_bare_outline_are_cut_into_it(legs):
    pattern = Pattern((line("line", BOX), *(line(*leg) for leg in legs.items())))
    ((piece, _, dart),) = for_change(pattern, picked("line", *legs))
    assert dart.intake == pytest.approx(20.0) and tuple(dart.point) == (70.0, 90.0)
    assert [edge.name for edge in as_found(piece).outlines[0].edges] == [str(n) for n in range(1, 8)]


def test_legs_drawn_over_a_named_piece_get_the_name_that_is_said():
    pattern = Pattern((box(), line("leg", LEFT)))
    for words, name in (("", "dart"), ("bust-dart", "bust-dart"), ("side", "dart")):
        ((piece, _, dart),) = for_change(pattern, picked("back", "leg"), words)
        assert dart.name == name and piece.darts == (name,)


def test_three_nodes_mean_a_dart():
    nodes = tuple(PickedNode("line", "", spot) for spot in (LOWER, APEX, UPPER))
    ((piece, _, dart),) = for_change(bare(R1), picked("line")._replace(nodes=nodes))
    assert tuple(dart.point) == APEX and piece.darts == ("dart-1",)


def test_three_nodes_on_one_size_mean_the_dart_of_all_chosen_sizes():
    words = "neck shoulder armhole side 5 6 side waist centre"
    outlines = tuple(
        named_outline(Path(R1.curves * scale, closed=True), words, size)
        for size, scale in (("10", 1.0), ("12", 1.1))
    )
    pattern = Pattern((Piece("front", outlines),))
    chosen = Chosen(
        tuple(PickedOutline("front", size) for size in ("10", "12")),
        tuple(PickedNode("front", "10", spot) for spot in (APEX, UPPER, LOWER)),
    )
    found = for_change(pattern, chosen)
    assert [(outline.size, dart.name) for _, outline, dart in found] == [("10", "dart"), ("12", "dart")]
    assert found[0][0] == found[1][0] and found[0][0].darts == ("dart",)
    assert found[1][2].intake == pytest.approx(1.1 * found[0][2].intake)


def test_legs_with_numbers_for_names_get_one_and_their_notches_stay():
    words = "neck shoulder armhole side 5 6 side waist centre"
    marks = notch("5", 30.0), notch("6", 40.0), notch("5", 20.0, True), notch("6", 50.0, True)
    was = named(R1, words, marks=marks, allowance={"5": 3.0, "": 10.0}, pressed={"5": "down"})
    ((piece, outline, _),) = for_change(Pattern((was,)), EVERYTHING)
    assert (piece.darts, piece.allowance, piece.pressed) == (("dart",), {"": 10.0}, {"dart": "down"})
    for before, after in zip(marks, piece.marks):
        assert after.on.edge == "dart" and after.on.from_end == before.on.from_end
        spots = spot_of(was.outlines[0], before.on).point, spot_of(outline, after.on).point
        np.testing.assert_allclose(*spots, atol=1e-9)


def test_two_darts_of_one_name_are_meant_by_number_and_told_apart():
    path = Path.through([(0, 0), *LEFT.nodes, *RIGHT.nodes, (300, 0), (300, 200), (0, 200)], closed=True)
    names = "waist dart dart waist dart dart waist side hem centre"
    pattern = Pattern((named(path, names, "back", darts=("dart",)),))
    code, text = refused(pattern, EVERYTHING, "dart")
    assert code == "dart" and "1 dart (20.0 mm wide), 2 dart (30.0 mm wide)" in text
    ((piece, _, dart),) = for_change(pattern, EVERYTHING, "2")
    assert (dart.name, piece.darts) == ("dart-2", ("dart", "dart-2"))
    assert dart.intake == pytest.approx(30.0)


def test_a_bare_outline_with_notches_is_numbered_anew_and_they_stay():
    marks = notch("1", 30.0), notch("1", 250.0), notch("1", 20.0, True), notch("3", 10.0)
    was = line("line", BOX)._replace(marks=marks)
    pattern = Pattern((was, line("leg", LEFT)))
    ((piece, _, _),) = for_change(pattern, picked("line", "leg"))
    made = as_found(piece)
    assert [mark.on.edge for mark in made.marks] == ["1", "4", "4", "6"]
    for before, after in zip(marks, made.marks):
        spots = spot_of(was.outlines[0], before.on).point, spot_of(made.outlines[0], after.on).point
        np.testing.assert_allclose(*spots, atol=1e-9)


# -- two points ----------------------------------------------------------------------------


def test_darts_with_two_points_are_found_by_themselves():
    pattern = Pattern((box(left(), Mark(DART, "body-dart", path=KITE, key="k3"), Mark(INNER, path=KITE)),))
    assert [dart.name for _, _, dart in for_change(pattern, EVERYTHING)] == ["left-dart"]
    for words in ("", "body-dart"):
        assert [dart.name for _, _, dart in contours_for(pattern, EVERYTHING, words)] == ["body-dart"]
    assert contours_for(pattern, EVERYTHING, "left-dart") == []
    assert contours_for(pattern, Chosen((PickedOutline("back", ""),), marks=("k1",))) == []
    assert refused(pattern, EVERYTHING, "body-dart")[0] == "contour"
    only = Pattern((box(Mark(DART, "body-dart", path=KITE)),))
    assert refused(only, EVERYTHING)[0] == "contour"


def test_all_darts_of_a_piece_stand_in_path_order():
    path = Path.through([(0, 0), *LEFT.nodes, (300, 0), (300, 200), (0, 200)], closed=True)
    cut = named(path, "waist d d waist side hem centre", "back", darts=("d",))
    piece = cut._replace(marks=(Mark(DART, "body-dart", path=KITE), right()))
    here = darts_here(piece, piece.outlines[0])
    assert [dart.name for dart in here.darts] == ["d", "right-dart", "body-dart"]


# -- what is told --------------------------------------------------------------------------


def test_where_several_are_meant_all_are_listed():
    pattern = Pattern((box(left(), right()), r1()))
    for chosen in (EVERYTHING, picked("back")):
        code, text = refused(pattern, chosen)
        assert code == "dart" and "back: 1 left-dart (20.0 mm wide), 2 right-dart (30.0 mm wide)" in text
    code, text = refused(pattern, EVERYTHING, "bust-dart")
    assert code == "dart" and "called 'bust-dart'" in text and "front: 1 dart (23.9 mm wide)" in text


def test_one_dart_on_each_of_two_pieces_is_not_one_dart():
    pattern = Pattern((box(left()), r1()))
    assert refused(pattern, EVERYTHING)[0] == "dart"
    chosen = picked("back", "front")
    assert [piece.name for piece, _, _ in for_change(pattern, chosen)] == ["back", "front"]


def test_that_there_is_no_dart_is_told_with_what_to_do():
    code, text = refused(Pattern((box(),)), EVERYTHING)
    assert code == "dart" and "no dart on 'back'" in text and "legs" in text


def test_a_size_without_the_dart_is_told():
    outlines = tuple(named_outline(BOX, BOX_EDGES, size) for size in ("10", "12"))
    pattern = Pattern((Piece("back", outlines, marks=(left(size="10"),)),))
    code, text = refused(pattern, EVERYTHING)
    assert code == "dart" and "'back' size 12" in text
    assert len(for_change(pattern, Chosen((PickedOutline("back", "10"),)))) == 1


def test_lines_beside_the_piece_are_told():
    pattern = Pattern((line("line", BOX), line("leg", Path.through([(400, 0), (410, 90), (420, 0)]))))
    assert "do not lie over" in refused(pattern, picked("line", "leg"))[1]


def test_a_wide_notch_nobody_named_may_be_a_neckline():
    """A front with a V neck 140 mm wide and 160 deep, and one waist dart: only the dart is meant."""
    neck = [(130, 0), (200, 160), (270, 0)]
    waist = [(110, 500), (100, 380), (90, 500)]
    both = Path.through([(50, 20), *neck, (350, 20), (350, 500), *waist, (50, 500)], closed=True)
    pattern = Pattern((line("front", both),))
    ((_, _, dart),) = for_change(pattern, picked("front"))
    assert dart.intake == pytest.approx(20.0)
    alone = Pattern((line("front", Path.through([(50, 20), *neck, (350, 20), (350, 500), (50, 500)], True)),))
    code, text = refused(alone, picked("front"))
    assert code == "dart" and "140 mm" in text and "neckline" in text
    ((_, _, dart),) = for_change(alone, picked("front"), "1")
    assert dart.intake == pytest.approx(140.0)
