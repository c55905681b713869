"""Lengthening: several lines, measured lengths, drawn lines, and which pieces and sizes follow."""

import pathlib

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.lengthen import lengthen
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import DART, DRILL, INNER, LENGTHEN, LEVEL, NOTCH, Mark, On
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from tests.operations.length_pieces import coat, picked, shapely
from tests.operations.pieces import bare_piece, dense, named, named_outline, outline

MASTER = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat" / "master.svg"


def heights(pattern, name="coat"):
    return {m.name: float(m.middle[1]) for m in pattern.piece(name).marks if m.kind == LEVEL}


def panel(name, x=0.0, marks=(), sizes=("",)):
    """A rectangle 100 wide and 400 high for every size, each 10 wider."""
    lines = []
    for number, size in enumerate(sizes):
        right = x + 100 + 10 * number
        lines.append(
            named_outline(outline((x, 0), (right, 0), (right, 400), (x, 400)), "top side hem centre", size)
        )
    piece = named(lines[0].path, "top side hem centre", name)
    return piece._replace(outlines=tuple(lines), marks=tuple(marks))


def line(kind, y, name="", x=0.0):
    return Mark(kind, name, "", Path.through([(x, y), (x + 100.0, y)]))


def hole(y, x=50.0):
    return Mark(DRILL, "", "", Path.through([(x - 1, y), (x + 1, y)]))


# -- measured lengths: what is asked comes out --------------------------------------------


@pytest.mark.parametrize(
    "values, waist, hip",
    [
        # chest 150, waist 400, hip 600: 250 and 450 as drawn
        ({"measured": {"chest/waist": 260.0, "chest/hip": 480.0}}, 260.0, 480.0),
        ({"measured": {"chest/hip": 480.0}, "each": {"waist": 10.0}}, None, 480.0),
        ({"measured": {"chest/waist": 260.0}, "each": {"chest/waist": 5.0}}, 260.0, 460.0),
        ({"measured": {"waist/chest": 260.0, "chest/waist": 260.0}}, 260.0, 460.0),
        ({"measured": {"chest/waist": 240.0}}, 240.0, 440.0),
    ],
)
def test_a_measured_length_comes_out_as_asked(values, waist, hip):
    found = heights(lengthen(Pattern((coat(False),)), **values).pattern)

    assert found["hip"] - found["chest"] == pytest.approx(hip, abs=1e-6)
    if waist is not None:
        assert found["waist"] - found["chest"] == pytest.approx(waist, abs=1e-6)


@pytest.mark.parametrize(
    "values, code",
    [
        ({"measured": {"chest/waist": 260.0, "waist/chest": 270.0}}, "sum"),
        ({"measured": {"chest/hip": 480.0}, "at": "waist", "amount": 50.0}, "sum"),
        ({"measured": {"waist/waist": 10.0}}, "value"),
        ({"measured": {"waist": 10.0}}, "value"),
        ({"measured": {"chest/waist": 0.0}}, "value"),
    ],
)
def test_measured_lengths_that_cannot_be(values, code):
    with pytest.raises(InputError) as told:
        lengthen(Pattern((coat(False),)), **values)
    assert told.value.code == code


def test_lines_at_one_height_are_one_line():
    once = lengthen(Pattern((coat(False),)), amount=30.0, at="waist chest/hip")
    twice = lengthen(Pattern((coat(False),)), amount=30.0, at="waist waist+0 chest/hip")

    assert twice.pattern == once.pattern


def test_a_decimal_comma_in_a_place():
    comma = lengthen(Pattern((coat(False),)), amount=30.0, at="waist+1,5, chest")
    point = lengthen(Pattern((coat(False),)), amount=30.0, at="waist+1.5 chest")

    assert comma.pattern == point.pattern


def test_a_total_that_nobody_used_is_told():
    told = lengthen(Pattern((coat(False),)), amount=50.0, each={"waist": 30.0}).report.findings

    assert [f.text for f in told if f.code == "not-used"][0].startswith("The 50 mm")


# -- drawn lines -----------------------------------------------------------------------------


def shapes_with(*lines):
    """Two bare rectangles beside each other, and drawn lines, all picked."""
    pieces = [
        bare_piece(outline((x, 0), (x + 100, 0), (x + 100, 400), (x, 400)), name)
        for x, name in ((0.0, "a"), (200.0, "b"))
    ]
    pieces += [bare_piece(Path.through(points), "line-{}".format(n)) for n, points in enumerate(lines)]
    return Pattern(tuple(pieces)), picked(*((piece.name, "") for piece in pieces))


def corners(pattern, name):
    return {tuple(np.round(node, 6)) for node in pattern.piece(name).outlines[0].path.nodes}


def test_each_shape_is_cut_at_the_line_drawn_over_it():
    pattern, chosen = shapes_with([(-5, 100), (105, 100)], [(195, 300), (305, 300)])
    after = lengthen(pattern, chosen, amount=20.0).pattern

    assert corners(after, "a") == {(0, 0), (100, 0), (100, 420), (0, 420)}
    assert corners(after, "b") == {(200, 0), (300, 0), (300, 420), (200, 420)}


def test_a_drawn_line_beside_all_shapes_is_refused():
    lines = [(-5, 100), (305, 100)], [(500, 300), (600, 300)]
    pattern, chosen = shapes_with(*lines)
    with pytest.raises(InputError) as told:
        lengthen(pattern, chosen, amount=20.0)

    assert told.value.code == "line" and "500" in str(told.value)


def test_a_line_along_the_grain_is_no_line_to_cut_at():
    grain = Mark("grain", "", "", Path.through([(50.0, 50.0), (50.0, 350.0)]))
    piece = panel("front", marks=(grain,))
    drawn = bare_piece(Path.through([(70.0, -10.0), (70.0, 410.0)]), "drawn")
    with pytest.raises(InputError) as told:
        lengthen(Pattern((piece, drawn)), picked(("front", ""), ("drawn", "")), amount=20.0)

    assert told.value.code == "line" and "90" in str(told.value)


# -- who follows, and in which sizes -------------------------------------------------------


def test_a_line_that_a_follower_has_not_is_told():
    """A lining that is sewn to the side from the top down to 200 mm: what lies below is not its."""
    front = panel("a", marks=(line(LENGTHEN, 100.0, "bodice"), line(LENGTHEN, 300.0, "skirt")))
    short = named(outline((200, 0), (300, 0), (300, 200), (200, 200)), "top side hem centre", "b")
    pattern = Pattern((front, short), parse_seams("side=b/side", "a"))
    outcome = lengthen(pattern, each={"bodice": 10.0, "skirt": 30.0})

    assert corners(outcome.pattern, "b") == {(200, 0), (300, 0), (300, 210), (200, 210)}
    assert "a is 40.0 mm" in outcome.report.summary and "b is 10.0 mm" in outcome.report.summary
    told = [f for f in outcome.report.findings if f.code == "partly-followed"]
    assert len(told) == 1 and "skirt" in told[0].text and "'b'" in told[0].text


def test_pieces_picked_together_are_cut_at_their_own_lengthen_lines():
    first = panel("a", marks=(line(LENGTHEN, 200.0), hole(150.0)))
    second = panel("b", 200.0, (line(LENGTHEN, 120.0, "", 200.0), hole(150.0, 250.0)))
    outcome = lengthen(Pattern((first, second)), picked(("a", ""), ("b", "")), amount=20.0)
    holes = [next(m for m in p.marks if m.kind == DRILL).middle[1] for p in outcome.pattern.pieces]

    assert holes == [150.0, 170.0]


def test_a_picked_lengthen_line_counts_by_its_name():
    first = panel("a", marks=(line(LENGTHEN, 200.0, "bodice")._replace(key="ak"),))
    second = panel("b", 200.0, (line(LENGTHEN, 120.0, "bodice", 200.0), hole(150.0, 250.0)))
    pattern = Pattern((first, second))
    by_pick = lengthen(pattern, Chosen(picked(("a", "")).outlines, (), ("ak",)), amount=20.0)
    by_name = lengthen(pattern, picked(("a", "")), amount=20.0, at="bodice")

    assert by_pick.pattern == by_name.pattern
    assert by_pick.pattern.piece("b") != second


def test_only_the_sizes_picked_on_each_piece_change():
    levels = [line(LEVEL, 200.0, "waist")._replace(size=size) for size in ("4", "6")]
    front = panel("front", marks=levels, sizes=("4", "6"))
    back = panel("back", 300.0, levels, sizes=("4", "6"))
    outcome = lengthen(Pattern((front, back)), picked(("front", "4"), ("back", "6")), amount=20.0, at="waist")
    changed = {
        (piece.name, new.size)
        for piece, was in zip(outcome.pattern.pieces, (front, back))
        for new, old in zip(piece.outlines, was.outlines)
        if new != old
    }

    assert changed == {("front", "4"), ("back", "6")}


@pytest.mark.parametrize("as_one", [False, True])
@pytest.mark.parametrize("amount", [30.0, -30.0])
def test_a_pair_of_lengthen_lines_is_one_place_again_and_again(as_one, amount):
    """There and back at a printed pair is the identity, whether it is drawn as one mark or two."""
    upper, lower = line(LENGTHEN, 195.0), line(LENGTHEN, 205.0)
    both = Mark(LENGTHEN, "", "", Path(np.concatenate([upper.path.curves, lower.path.curves])))
    before = Pattern((panel("a", marks=(both,) if as_one else (upper, lower)),))
    there = lengthen(before, amount=amount).pattern
    back = lengthen(there, amount=-amount).pattern.piece("a")

    assert corners(there, "a") == {(0, 0), (100, 0), (100, 400 + amount), (0, 400 + amount)}
    for new, old in zip(back.marks, before.piece("a").marks):
        np.testing.assert_allclose(new.path.curves, old.path.curves, atol=1e-9)
    np.testing.assert_allclose(
        back.outlines[0].path.nodes, before.piece("a").outlines[0].path.nodes, atol=1e-9
    )


@pytest.mark.parametrize("low, told", [(150.0, True), (90.0, False)])
def test_a_drawn_dart_that_the_line_crosses_is_told(low, told):
    """Its mouth lies on the top edge, its point at ``low``; the line is at 100."""
    dart = Mark(DART, "", "", Path.through([(40.0, 0.0), (50.0, low), (60.0, 0.0)]))
    piece = panel("a", marks=(line(LENGTHEN, 100.0), dart))
    outcome = lengthen(Pattern((piece,)), amount=20.0)

    assert ("dart-drawn" in [f.code for f in outcome.report.findings]) == told


@pytest.mark.parametrize(
    ("amount", "now", "change"), [(20.0, 24.0, "4.0 mm shorter"), (-30, 14, "6.0 mm longer")]
)
def test_a_wider_drawn_dart_is_told_once_with_what_it_does_to_its_edge(amount, now, change):
    """Half a width of 10 on 100 is 12 on 120 and 7 on 70, in three sizes alike."""
    dart = Mark(DART, "waist-dart", "", Path.through([(40.0, 0.0), (50.0, 100.0), (60.0, 0.0)]))
    piece = panel("a", marks=(line(LENGTHEN, 50.0), dart), sizes=("4", "6", "8"))
    outcome = lengthen(Pattern((piece,)), amount=amount)

    (told,) = [f.text for f in outcome.report.findings if f.code == "dart-drawn"]
    assert told.startswith("a sizes 4 to 8: the dart 'waist-dart' ") and change in told
    assert "{:.1f} mm wide now, before 20.0 mm".format(now) in told and "dart-change" in told


def test_a_longer_dart_with_two_points_is_told():
    ring = Mark(DART, "mid", "", Path.through([(50.0, 60.0), (55, 100), (50, 140), (45, 100), (50, 60)]))
    piece = panel("a", marks=(line(LENGTHEN, 80.0), ring))
    outcome = lengthen(Pattern((piece,)), amount=20.0)

    (told,) = [f.text for f in outcome.report.findings if f.code == "dart-drawn"]
    assert "'mid'" in told and "100.0 mm long now, before 80.0 mm" in told


def test_sizes_that_change_by_different_amounts_are_told_from_least_to_most():
    levels = [
        line(LEVEL, y, name)._replace(size=size)
        for size, low in (("4", 300.0), ("6", 310.0))
        for name, y in (("chest", 100.0), ("waist", low))
    ]
    piece = panel("front", marks=levels, sizes=("4", "6"))
    outcome = lengthen(Pattern((piece,)), measured={"chest/waist": 215.0})

    # 215 - 200 and 215 - 210
    assert "5.0 to 15.0 mm longer (by size)" in outcome.report.summary


# -- through one seam and on through the next ---------------------------------------------------


def codes(outcome):
    return [finding.code for finding in outcome.report.findings]


def test_a_lining_follows_a_facing_that_follows_the_front():
    """Neither has a level; each is as long as the front, so each is cut 150 mm down."""
    front = panel("front", marks=(line(LENGTHEN, 150.0), hole(140.0)))
    facing, lining = panel("facing", 200.0), panel("lining", 400.0, (hole(140.0, 450.0), hole(160.0, 450.0)))
    seams = parse_seams("side=facing/side", "front") + parse_seams("centre=lining/centre", "facing")
    outcome = lengthen(Pattern((lining, front, facing), seams), amount=20.0)
    holes = [m.middle[1] for m in outcome.pattern.piece("lining").marks]

    assert corners(outcome.pattern, "facing") == {(200, 0), (300, 0), (300, 420), (200, 420)}
    assert corners(outcome.pattern, "lining") == {(400, 0), (500, 0), (500, 420), (400, 420)}
    assert holes == pytest.approx([140.0, 180.0])
    assert "not-followed" not in codes(outcome)


def test_a_ring_of_seams_takes_each_piece_once():
    names = ("a", "b", "c", "d")
    pieces = [panel(name, 200.0 * n) for n, name in enumerate(names)]
    pieces[0] = pieces[0]._replace(marks=(line(LENGTHEN, 150.0),))
    seams = sum((parse_seams("side={}/side".format(b), a) for a, b in zip(names, names[1:] + names[:1])), ())
    outcome = lengthen(Pattern(tuple(pieces), seams), amount=20.0)

    assert all(max(y for _, y in corners(outcome.pattern, name)) == 420 for name in names)


def test_a_piece_that_another_part_of_the_seam_is_sewn_to_is_not_missed():
    """The back's line at 350 is cut in the lower front; the upper front has nothing to do with it."""
    shapes = [
        outline((x, 0), (x + 100, 0), (x + 100, h), (x, h)) for x, h in ((0, 200), (200, 400), (400, 600))
    ]
    upper, lower, back = (
        named(path, "top side hem centre", name) for path, name in zip(shapes, ("upper", "lower", "back"))
    )
    back = back._replace(marks=(line(LENGTHEN, 350.0, "", 400.0),))
    pattern = Pattern((back, upper, lower), parse_seams("side=upper/side+lower/side", "back"))
    outcome = lengthen(pattern, amount=20.0)

    assert corners(outcome.pattern, "lower") == {(200, 0), (300, 0), (300, 420), (200, 420)}
    assert outcome.pattern.piece("upper") == upper
    assert "not-followed" not in codes(outcome)


# -- there and back at the same words ------------------------------------------------------------


def curved(name="front", marks=()):
    """A side of two curves, 400 mm high, with levels chest 100 and waist 300."""
    path = outline(
        (0, 0), (100, 0), ((130, 60), (90, 150), (80, 250)), ((75, 300), (95, 350), (110, 400)), (0, 400)
    )
    levels = (line(LEVEL, 100.0, "chest"), line(LEVEL, 300.0, "waist"))
    return named(path, "top side hem centre", name, marks=levels + tuple(marks))


@pytest.mark.parametrize(
    "at", ["waist-40", "waist+40", "chest+30", "chest-40", "chest/waist", "waist-150 chest/waist"]
)
@pytest.mark.parametrize("amount", [20.0, -20.0])
def test_there_and_back_at_the_same_words_is_the_same_piece(at, amount):
    """No mark lies where -20 folds; 8 mm beyond the lines lies one that is in the way of the way back."""
    holes = [hole(y + 8.0, 20.0) for y in (60.0, 130.0, 260.0, 340.0)] if amount > 0 else []
    before = Pattern((curved(marks=holes),))
    there = lengthen(before, amount=amount, at=at).pattern
    back = lengthen(there, amount=-amount, at=at).pattern
    old, new = (dense(p.piece("front").outline("").path, 300) for p in (before, back))

    assert heights(there, "front")["waist"] - 300.0 == pytest.approx(0.0 if "waist+" in at else amount)
    for mark, was in zip(back.piece("front").marks, before.piece("front").marks):
        np.testing.assert_allclose(mark.path.curves, was.path.curves, atol=1e-9)
    assert shapely.LineString(new).hausdorff_distance(shapely.LineString(old)) < 0.05


def test_what_is_in_the_way_of_the_way_back_lets_the_fold_lie_beyond_the_line():
    """10 mm before waist-40 lies a hole: 20 mm are folded out below the line, as ever."""
    after = lengthen(Pattern((curved(marks=(hole(250.0, 20.0),)),)), amount=-20.0, at="waist-40")

    assert heights(after.pattern, "front")["waist"] == pytest.approx(280.0)
    assert after.pattern.piece("front").marks[-1].middle[1] == pytest.approx(250.0)
    assert "fold-beyond" in codes(after), "40 mm before the waist lies another place now, so it is told"
    free = lengthen(Pattern((curved(),)), amount=-20.0, at="waist-40")
    assert "fold-beyond" not in codes(free)


@pytest.mark.parametrize("size", ["1", "3", "6"])
def test_a_notch_at_the_level_does_not_stop_the_way_back(size):
    """The side is redrawn a few tenths longer before the line, so that the notch comes to lie beside it."""
    pytest.importorskip("lxml")
    from sewkit.files.svg import open_drawing

    before = open_drawing(str(MASTER))[0].pattern
    before = before._replace(pieces=(before.piece("back"),), seams=())
    there = lengthen(before, picked(("back", size)), amount=20.0, at="waist").pattern
    back = lengthen(there, picked(("back", size)), amount=-20.0, at="waist").pattern
    old, new = (
        {m.name: m.on for m in p.piece("back").marks if m.kind == NOTCH and m.size in (size, "") and m.on}
        for p in (before, back)
    )

    assert set(old) == set(new) and "side" in old
    for name, on in old.items():
        assert (new[name].edge, new[name].distance) == (on.edge, pytest.approx(on.distance, abs=0.5))


def notch_at(edge, distance, from_end=False):
    return Mark(NOTCH, edge, "", on=On(edge, distance, from_end))


def notch_height(piece):
    """The height of the first notch on a straight side, whose ends give its run."""
    on, run = piece.marks[-1].on, piece.outline("").edge_path("side")
    length = float(np.hypot(*(run.end - run.start)))
    at = (length - on.distance if on.from_end else on.distance) / length
    return float(((1 - at) * run.start + at * run.end)[1])


@pytest.mark.parametrize("from_end", [False, True])
@pytest.mark.parametrize("up", [False, True], ids=["down", "up"])
@pytest.mark.parametrize("y", [200.0, 200.0004, 199.9996, 195.0])
def test_a_notch_on_or_before_the_line_stays_whichever_way_its_edge_runs(y, up, from_end):
    """A file writes it to a thousandth; its partner would go by 20 mm, and it would not."""
    piece = panel("front", marks=(line(LEVEL, 200.0, "waist"),))
    if up:
        piece = piece._replace(
            outlines=(named_outline(piece.outlines[0].path.reverse(), "centre hem side top", ""),)
        )
    notch = notch_at("side", 400.0 - y if up != from_end else y, from_end)
    before = Pattern((piece._replace(marks=piece.marks + (notch,)),))
    there = lengthen(before, amount=20.0, at="waist").pattern
    back = lengthen(there, amount=-20.0, at="waist").pattern

    for pattern in (before, there, back):
        assert notch_height(pattern.piece("front")) == pytest.approx(y, abs=1e-6)


@pytest.mark.parametrize("up", [False, True], ids=["down", "up"])
def test_longer_and_shorter_lines_on_one_edge_move_its_notches_by_what_lies_before(up):
    """20 in at 100 and 19.99 out at 300: a notch at 200 goes by 20, whatever little the sum is."""
    piece = panel("front", marks=(line(LEVEL, 100.0, "chest"), line(LEVEL, 300.0, "waist")))
    if up:
        piece = piece._replace(
            outlines=(named_outline(piece.outlines[0].path.reverse(), "centre hem side top", ""),)
        )
    before = Pattern((piece._replace(marks=piece.marks + (notch_at("side", 200.0),)),))
    after = lengthen(before, each={"chest": 20.0, "waist": -19.99}).pattern

    assert notch_height(after.piece("front")) == pytest.approx(220.0, abs=1e-6)


# -- all pieces or none --------------------------------------------------------------------------


def test_what_is_in_the_way_on_a_piece_that_follows_stops_all_with_the_narrowest_place():
    """9 mm beyond the waist lies a hole on the front, 5 mm beyond it on the pocket."""
    waist, low = (lambda x: line(LEVEL, 200.0, "waist", x)), (lambda y, x: hole(y, x + 20.0))
    pattern = Pattern(
        (
            panel("back", marks=(waist(0.0),)),
            panel("front", 300.0, marks=(waist(300.0), low(209.0, 300.0))),
            panel("pocket", 600.0, marks=(waist(600.0), low(205.0, 600.0))),
        )
    )
    with pytest.raises(InputError) as caught:
        lengthen(pattern, amount=-20.0, at="waist")

    assert caught.value.code == "overlap"
    assert "'pocket'" in caught.value.what and "all 3 pieces" in caught.value.what
    assert "5.0 mm at most" in caught.value.cure
    done = lengthen(pattern, amount=-5.0, at="waist").pattern  # the cure cures
    assert all(max(y for _, y in corners(done, name)) == 395 for name in ("back", "front", "pocket"))


def test_marks_that_serve_all_sizes_are_not_in_the_way_of_one_that_leaves_them_where_they_are():
    """They were left where they were when the size was made longer; so the way back is open."""
    front = panel("front", marks=(line(LEVEL, 200.0, "waist"), hole(209.0, 20.0)), sizes=("4", "6"))
    there = lengthen(Pattern((front,)), picked(("front", "4")), amount=20.0, at="waist")
    back = lengthen(there.pattern, picked(("front", "4")), amount=-20.0, at="waist")

    assert "marks-stayed" in codes(there) and "marks-stayed" in codes(back)
    assert any("all sizes together, or" in finding.text for finding in there.report.findings)
    old, new = (p.piece("front").outline("4").path.curves for p in (Pattern((front,)), back.pattern))
    np.testing.assert_allclose(new, old, atol=1e-9)
    with pytest.raises(InputError, match="drill hole"):
        lengthen(Pattern((front,)), amount=-20.0, at="waist")  # in all sizes it would be folded over


@pytest.mark.parametrize("low, high, away", [(195, 205, 5.0), (150, 210, 10.0), (180, 219, 19.0)])
def test_an_inner_line_that_ends_in_the_fold_is_in_the_way(low, high, away):
    pleat = Mark(INNER, "pleat", "", Path.through([(40.0, low), (45.0, high)]))
    pattern = Pattern((panel("front", marks=(line(LEVEL, 200.0, "waist"), pleat)),))
    with pytest.raises(InputError) as caught:
        lengthen(pattern, amount=-20.0, at="waist")
    assert caught.value.code == "overlap" and "'pleat'" in caught.value.what

    after = lengthen(pattern, amount=-away, at="waist").pattern.piece("front")
    np.testing.assert_allclose(after.marks[-1].path.nodes, [(40.0, low), (45.0, high - away)], atol=1e-9)


# -- a piece that has to follow, and of which nothing tells where ---------------------------------


def test_a_piece_sewn_before_and_beyond_the_line_is_not_left_behind():
    """The yoke side and the hem side of a back are sewn to the front; at 150 none of its seams is cut."""
    front = named(
        outline((0, 0), (100, 0), (100, 100), (60, 120), (60, 180), (100, 200), (100, 400), (0, 400)),
        "top upper in armhole out lower hem centre",
        "front",
        marks=(line(LEVEL, 150.0, "chest"),),
    )
    back = panel("back", 300.0)
    seams = parse_seams("upper=back/top lower=back/side", "front")
    with pytest.raises(InputError) as caught:
        lengthen(Pattern((front, back), seams), amount=20.0, at="chest")
    assert caught.value.code == "not-followed"
    assert "'back'" in caught.value.what and "'front'" in caught.value.what

    alone = lengthen(
        Pattern((front, back), seams), picked(("front", "")), amount=20.0, at="chest", follow=False
    )
    assert alone.pattern.piece("back") == back
    collar = lengthen(Pattern((front, back), seams[:1]), amount=20.0, at="chest")
    assert collar.pattern.piece("back") == back, "sewn on above only, it need not change"


def test_a_line_through_the_mouth_of_a_dart_finds_the_place_where_the_dart_is_closed():
    """Dart legs of 50 mm from (100, 180) and (100, 220): closed, the mouth is 180 mm down the side."""
    front = named(
        outline((0, 0), (100, 0), (100, 180), (50, 200), (100, 220), (100, 440), (0, 440)),
        "top side dart dart side hem centre",
        "front",
        marks=(line(LEVEL, 210.0, "waist"),),
        darts=("dart",),
    )
    back = panel("back", 300.0, marks=(hole(179.0, 320.0), hole(181.0, 340.0)))
    pattern = Pattern((front, back), parse_seams("side=back/side", "front"))
    after = lengthen(pattern, amount=20.0, at="waist").pattern

    assert corners(after, "back") == {(300, 0), (400, 0), (400, 420), (300, 420)}
    assert [m.middle[1] for m in after.piece("back").marks] == pytest.approx([179.0, 201.0])
    assert after.piece("front").outline("").as_sewn("side") == pytest.approx(420.0)


# -- drawn once, and in some sizes ---------------------------------------------------------------


def nest_with(*others, sizes=("4", "6")):
    marks = [line(LEVEL, 200.0, "waist")._replace(size=size) for size in sizes]
    return Pattern(
        (panel("front", marks=marks, sizes=sizes), *others), parse_seams("side=pocket/side", "front")
    )


def test_a_piece_drawn_once_follows_the_size_that_was_picked_and_is_told():
    pattern = nest_with(panel("pocket", 300.0))
    outcome = lengthen(pattern, picked(("front", "4")), amount=20.0, at="waist")

    assert corners(outcome.pattern, "pocket") == {(300, 0), (400, 0), (400, 420), (300, 420)}
    told = [f.text for f in outcome.report.findings if f.code == "drawn-once"]
    assert len(told) == 1 and "pocket" in told[0] and "4" in told[0]


def test_a_piece_drawn_once_needs_no_word_where_all_sizes_changed_alike():
    outcome = lengthen(nest_with(panel("pocket", 300.0)), amount=20.0, at="waist")

    assert "drawn-once" not in codes(outcome)
    assert max(y for _, y in corners(outcome.pattern, "pocket")) == 420


def test_a_nest_of_which_nothing_is_known_in_the_size_is_told():
    other = panel("pocket", 300.0, sizes=("4", "6"))
    pattern = nest_with(other)._replace(seams=())
    outcome = lengthen(pattern, picked(("front", "4")), amount=20.0, at="waist")

    assert outcome.pattern.piece("pocket") == other
    assert "not-followed" in codes(outcome)


def test_a_level_that_serves_all_sizes_goes_with_the_size_that_changed():
    """Else the way back would be cut 20 mm too high in that size."""
    shared = panel(
        "front", marks=(line(LEVEL, 100.0, "chest"), line(LEVEL, 300.0, "waist")), sizes=("4", "6")
    )
    outcome = lengthen(Pattern((shared,)), picked(("front", "4")), amount=20.0, at="chest/waist")
    front = outcome.pattern.piece("front")

    def levels(size):
        return {m.name: m.middle[1] for m in front.marks_for(size) if m.kind == LEVEL}

    assert levels("4") == {"chest": pytest.approx(100.0), "waist": pytest.approx(320.0)}
    assert levels("6") == {"chest": pytest.approx(100.0), "waist": pytest.approx(300.0)}
    assert "marks-stayed" not in codes(outcome)


# -- words ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "at, called, not_called",
    [
        ("chest/knee", "'knee'", "'chest'"),
        ("elbow/hip", "'elbow'", "'hip'"),
        ("elbow/knee", "'elbow' or 'knee'", "'elbow/knee'"),
        ("knee-1-1/2in", "'knee'", "1-1/2in"),
        ("chest/knee+40mm", "'knee'", "+40mm"),
    ],
)
def test_only_the_name_that_is_missing_is_told(at, called, not_called):
    with pytest.raises(InputError) as told:
        lengthen(Pattern((coat(False),)), amount=10.0, at=at)

    assert told.value.code == "no-level"
    assert "called {} on".format(called) in told.value.what and not_called not in told.value.what


@pytest.mark.parametrize("length, meant", [(26.0, "26cm"), (9.75, "9.75in")])
def test_a_measured_length_in_another_unit_is_asked_about(length, meant):
    """Chest to waist is 250 mm: 26 cm, or 9 3/4 in (247.7 mm)."""
    with pytest.raises(InputError) as told:
        lengthen(Pattern((coat(False),)), measured={"chest/waist": length})

    assert told.value.code == "unit"
    assert "chest/waist={}".format(meant) in told.value.cure and "250.0 mm" in told.value.what


def test_several_drawn_lines_are_told_apart():
    pattern, chosen = shapes_with([(-5, 300), (105, 300)], [(-5, 100), (105, 100)], [(195, 300), (305, 300)])
    summary = lengthen(pattern, chosen, amount=20.0).report.summary

    assert "mm at the first drawn line, " in summary and "mm at the second drawn line" in summary
    assert "'" not in summary
