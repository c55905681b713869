"""Notches put, moved and taken off, with their partners: plain sums on straight edges, SciPy on bent ones."""

import io

import numpy as np
import pytest

from sewkit.checks.notch_pairs import notch_findings
from sewkit.checks.seams import guard
from sewkit.errors import InputError
from sewkit.files.svg import Drawing, open_drawing, read_tree
from sewkit.geometry.path import Path
from sewkit.operations.allowance import allowance
from sewkit.operations.notch import notch as put
from sewkit.pattern.chosen import Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import Mark
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam
from tests.geometry.shapes import outline
from tests.operations.pieces import R4, dense, level, named_outline, notch, r4_piece

EDGES = "top side hem centre"


def box(name, height, marks=(), x=0.0, width=200.0):
    """``side`` runs down from its start, ``centre`` runs up."""
    corners = [(x, 0), (x + width, 0), (x + width, height), (x, height)]
    return Piece(name, (named_outline(Path.through(corners, closed=True), EDGES),), marks=tuple(marks))


def sewn(*pieces, seam="side=back/side", ease=(0.0, 0.0)):
    """The first piece's side to the back's side, or to its centre, which runs the other way."""
    other = EdgeRef("back", "centre", True) if seam == "turned" else EdgeRef("back", "side")
    return Pattern(pieces, (Seam((EdgeRef("front", "side"),), (other,), ease),))


def places(pattern, piece, edge="side", size=""):
    """Name and distance (mm) from the start of the edge, in order."""
    one = pattern.piece(piece)
    outline = one.outline(size)
    marks = [m for m in one.marks_for(size) if m.kind == "notch" and m.on.edge == edge]
    found = [(m.name, distance_from_start(outline, m.on)) for m in marks]
    return sorted(found, key=lambda pair: pair[1])


def at(pattern, piece, edge="side", size=""):
    return [distance for _, distance in places(pattern, piece, edge, size)]


def counts(pattern, piece):
    return [mark.count for mark in pattern.piece(piece).marks if mark.kind == "notch"]


# -- put ------------------------------------------------------------------------------------


def test_several_notches_with_their_partners_under_the_same_names():
    made = put(sewn(box("front", 400), box("back", 400)), edge="front/side", at="60mm 25% -30mm").pattern

    assert [name for name, _ in places(made, "front")] == ["1", "2", "3"]
    assert at(made, "front") == pytest.approx([60.0, 100.0, 370.0])
    assert [name for name, _ in places(made, "back")] == ["1", "2", "3"]
    assert at(made, "back") == pytest.approx([60.0, 100.0, 370.0])
    assert counts(made, "front") == [1, 1, 1] and counts(made, "back") == [2, 2, 2]
    assert notch_findings(made, [""]) == []


def test_the_partner_counts_from_where_the_pieces_meet():
    made = put(sewn(box("front", 400), box("back", 400), seam="turned"), edge="front/side", at="60mm").pattern

    assert at(made, "back", "centre") == pytest.approx([340.0])  # it runs up, so 400 - 60 from its start
    assert counts(made, "back") == [3]  # the centre back


def test_on_edges_end_to_end_the_partner_is_on_the_piece_that_it_meets():
    pieces = box("collar", 300), box("front", 120), box("back", 180)
    first = (EdgeRef("front", "side"), EdgeRef("back", "side"))
    pattern = Pattern(pieces, (Seam(first, (EdgeRef("collar", "side"),)),))

    made = put(pattern, edge="collar/side", at="50mm 200mm").pattern

    assert at(made, "front") == pytest.approx([50.0])
    assert at(made, "back") == pytest.approx([80.0])  # 200 - 120


def test_a_dart_is_closed_on_the_way_to_the_partner():
    corners = [(0, 0), (200, 0), (200, 100), (150, 110), (200, 120), (200, 320), (0, 320)]
    names = "top side dart dart side hem centre"
    front = Piece("front", (named_outline(Path.through(corners, closed=True), names),), darts=("dart",))

    made = put(sewn(front, box("back", 300)), edge="back/side", at="150mm").pattern

    assert at(made, "front") == pytest.approx([150.0])
    tick = made.piece("front").marks[0].path
    assert tick.nodes[:, 1] == pytest.approx(170.0)  # 150 and the mouth of 20 mm


@pytest.mark.parametrize(
    "words, ease, wanted",
    [
        ("40mm 380mm", "auto", [40.0, 374.0]),  # from the nearer end: the 6 mm lie between
        ("40mm 140mm", "between", [40.0, 134.0]),  # alike outside: 400 - 140 from the other end
        ("40mm 90mm 140mm", "between", [40.0, 87.0, 134.0]),  # the inner one half way
        ("100mm 300mm", "even", [98.5, 295.5]),  # 394/400 of it
    ],
)
def test_where_the_ease_lies(words, ease, wanted):
    made = put(sewn(box("front", 400), box("back", 394), ease=(0, 6)), edge="front/side", at=words, ease=ease)

    assert at(made.pattern, "back") == pytest.approx(wanted)
    assert notch_findings(made.pattern, [""]) == []


def test_evenly_spaced_notches_share_the_ease():
    made = put(sewn(box("front", 400), box("back", 360), ease=(40, 40)), edge="front/side", evenly=3).pattern

    assert at(made, "front") == pytest.approx([100.0, 200.0, 300.0])
    assert at(made, "back") == pytest.approx([90.0, 180.0, 270.0])


def test_between_two_pairs_a_notch_has_the_same_share_of_their_section():
    front = box("front", 400, [notch("side", 100.0, name="a"), notch("side", 200.0, name="b")])
    back = box("back", 394, [notch("side", 100.0, name="a"), notch("side", 194.0, name="b")])

    made = put(sewn(front, back, ease=(0, 6)), edge="front/side", at="150mm 250mm", called="c d").pattern

    # Half of 94 behind a; d lies 150 from the end on both.
    assert places(made, "back") == [
        ("a", 100.0),
        ("c", pytest.approx(147.0)),
        ("b", 194.0),
        ("d", pytest.approx(244.0)),
    ]


def test_every_size_of_a_nest_counts_along_its_own_bent_edge():
    """The side of a skirt: 100 mm from the waist, judged by SciPy along the curve as drawn."""
    integrate = pytest.importorskip("scipy.integrate")
    seam = Seam((EdgeRef("front", "side"),), (EdgeRef("back", "side"),))
    pattern = Pattern((r4_piece("front"), r4_piece("back")), (seam,))

    made = put(pattern, edge="front/side", at="100mm", called="hip").pattern

    for size in ("4", "6"):
        for name in ("front", "back"):
            waist, hip, _ = R4[name, size]
            curve = np.array([(waist, 0), (waist + 0.55 * (hip - waist), 70), (hip, 130), (hip, 200)], float)
            (mark,) = [m for m in made.piece(name).marks if m.kind == "notch" and m.size == size]
            foot = mark.path.curves[:, 3].mean(axis=0)  # ticks end on the seam line, at the back two
            ts = np.linspace(0, 1, 20001)[:, None]
            spots = sum(c * b for c, b in zip(curve[:, None], bernstein(ts)))
            t = float(ts[np.hypot(*(spots - foot).T).argmin()][0])
            length, _ = integrate.quad(speed, 0, t, args=(3 * np.diff(curve, axis=0),))
            assert length == pytest.approx(100.0, abs=0.02)


def speed(t, legs):
    return np.hypot(*sum(leg * part for leg, part in zip(legs, ((1 - t) ** 2, 2 * t * (1 - t), t * t))))


def bernstein(t):
    return (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3


def test_points_that_were_picked_are_places():
    pattern = sewn(box("front", 400), box("back", 400))
    chosen = Chosen((PickedOutline("front", ""),), (PickedNode("front", "", (200.0, 130.0)),))

    made = put(pattern, chosen).pattern

    assert at(made, "front") == pytest.approx([130.0]) and at(made, "back") == pytest.approx([130.0])


@pytest.mark.parametrize(
    "values, code",
    [
        ({"edge": "front/side"}, "value"),  # no place
        ({"at": "30mm"}, "choice"),  # no edge
        ({"edge": "front/sid", "at": "30mm"}, "name"),
        ({"edge": "front/side", "at": "500mm"}, "value"),
        ({"edge": "front/side", "at": "30mm 30.2mm"}, "value"),
        ({"edge": "front/side", "at": "30mm", "ease": "between"}, "value"),
        ({"edge": "front/side", "at": "30mm 60mm", "called": "a b c"}, "value"),
        ({"action": "move", "which": "9", "at": "30mm"}, "notch"),
        ({"action": "remove"}, "choice"),
    ],
)
def test_what_cannot_be_done_is_said_with_a_cure(values, code):
    with pytest.raises(InputError) as told:
        put(sewn(box("front", 400), box("back", 400)), **values)

    assert told.value.code == code


def test_a_name_or_a_place_that_is_taken_is_refused():
    pattern = put(sewn(box("front", 400), box("back", 400)), edge="front/side", at="60mm").pattern
    for values in ({"at": "90mm", "called": "1"}, {"at": "60mm"}):
        with pytest.raises(InputError, match="already"):
            put(pattern, edge="front/side", **values)


def test_an_edge_that_is_sewn_to_nothing_is_told():
    outcome = put(Pattern((box("front", 400),)), edge="side", at="60mm")

    assert [f.code for f in outcome.report.findings] == ["notch-partner"]
    assert outcome.report.findings[0].cure


# -- later -----------------------------------------------------------------------------------


def two(**more):
    return put(sewn(box("front", 400), box("back", 400)), edge="front/side", at="60mm 300mm", **more).pattern


def test_a_notch_moves_with_its_partner():
    made = put(two(), action="move", which="1", at="110mm").pattern

    assert places(made, "front") == places(made, "back") == [("1", 110.0), ("2", 300.0)]


def test_a_notch_goes_with_its_partner_or_alone():
    assert at(put(two(), action="remove", edge="front/side", which="1").pattern, "back") == [300.0]
    alone = put(two(), action="remove", edge="front/side", which="1", partner=False).pattern
    assert at(alone, "front") == [300.0] and at(alone, "back") == [60.0, 300.0]


def test_names_may_change_places():
    made = put(two(), action="rename", edge="front/side", called="2 1").pattern

    assert places(made, "front") == places(made, "back") == [("2", 60.0), ("1", 300.0)]


def test_number_and_form_change_where_they_stand():
    made = put(two(), action="change", which="1", count=3, form="wedge-in").pattern

    looks = [(m.name, m.count, m.form) for piece in made.pieces for m in piece.marks]
    assert looks == [("1", 3, "wedge-in"), ("2", 1, ""), ("1", 3, "wedge-in"), ("2", 2, "")]
    back = put(made, action="change").pattern
    assert counts(back, "front") == [1, 1] and counts(back, "back") == [2, 2]


def test_a_notch_moved_by_hand_is_settled_and_takes_its_partner_along():
    pattern = two(form="cross")
    front = pattern.piece("front")
    mark = front.marks[0]
    moved = mark._replace(path=Path(mark.path.curves + np.array([0.0, 7.0])))
    pattern = pattern.with_piece(front._replace(marks=(moved,) + front.marks[1:]))

    made = put(pattern, action="settle").pattern

    assert places(made, "front") == [("1", pytest.approx(67.0)), ("2", 300.0)]
    assert at(made, "back") == pytest.approx([67.0, 300.0])
    assert notch_findings(made, [""]) == []
    # Or it is drawn anew where its place is.
    anew = put(pattern, action="change", form="cross", which="1").pattern
    assert places(anew, "front") == [("1", 60.0), ("2", 300.0)] and notch_findings(anew, [""]) == []


def test_a_lone_notch_gets_its_partner_and_a_named_one_draws_its_partner_along():
    lone = put(two(), action="remove", edge="back/side", which="1", partner=False).pattern
    assert [f.code for f in notch_findings(lone, [""])] == ["notch-lone"]
    made = put(lone, action="match").pattern
    assert at(made, "back") == [60.0, 300.0]

    off = put(made, action="move", edge="back/side", which="2", at="310mm", partner=False).pattern
    assert put(off, action="match").pattern == off
    assert at(put(off, action="match", edge="front/side").pattern, "back") == [60.0, 300.0]
    assert at(put(off, action="match", edge="back/side").pattern, "front") == [60.0, 310.0]


def test_a_partner_that_was_there_under_the_name_is_told_when_it_moves():
    pattern = sewn(box("front", 400), box("back", 400, [notch("side", 50.0, name="z")]))

    outcome = put(pattern, edge="front/side", at="80mm", called="z")

    assert at(outcome.pattern, "back") == [80.0]
    assert [f.code for f in outcome.report.findings] == ["notch-moved"]


def test_one_mark_for_all_sizes_moves_in_one_size_only():
    one = r4_piece("front")._replace(marks=(notch("side", 100.0, name="1"),))
    chosen = Chosen((PickedOutline("front", "6"),))

    made = put(Pattern((one,)), chosen, action="move", which="1", at="150mm").pattern

    assert at(made, "front", size="4") == [100.0] and at(made, "front", size="6") == [150.0]


# -- look-alikes -----------------------------------------------------------------------------


def panels(number, height=400.0):
    """Panels round a skirt, the side of each sewn to the centre of the next, which runs up."""
    pieces = [box("panel-{}".format(n), height, x=300.0 * n) for n in range(number)]
    seams = [
        Seam(
            (EdgeRef("panel-{}".format(n), "side"),),
            (EdgeRef("panel-{}".format((n + 1) % number), "centre", True),),
        )
        for n in range(number)
    ]
    return Pattern(tuple(pieces), tuple(seams))


def test_look_alike_seams_are_told_apart_with_one_notch_less_than_there_are_seams():
    made = put(panels(6), action="apart").pattern

    spots = sorted(spot for n in range(6) for spot in at(made, "panel-{}".format(n)))
    assert len(spots) == 5
    assert sum(len(piece.marks) for piece in made.pieces) == 10
    # From one end or the other, also its own other end, each is 12 mm from every other one.
    for number, one in enumerate(spots):
        assert abs(one - (400 - one)) >= 12
        for other in spots[number + 1 :]:
            assert min(abs(one - other), abs(one - (400 - other))) >= 12
    assert notch_findings(made, [""]) == []
    assert put(made, action="apart").pattern == made


def test_many_look_alikes_get_two_notches_where_one_is_not_enough():
    """Between 30 and 170 of 200 mm there is room for five single notches, 12 mm apart from either end."""
    made = put(panels(12, 200.0), action="apart").pattern

    assert {len(at(made, "panel-{}".format(n))) for n in range(12)} == {0, 1, 2}
    assert notch_findings(made, [""]) == []


def nest():
    """Two sizes with one notch on the side that serves both."""
    big, small = box("front", 420), box("front", 400)
    outlines = (small.outlines[0]._replace(size="1"), big.outlines[0]._replace(size="2"))
    return Pattern((big._replace(outlines=outlines, marks=(notch("side", 100.0, name="a"),)),))


@pytest.mark.parametrize(
    "asked", [{"action": "change", "form": "cross"}, {"action": "rename", "called": "b"}]
)
def test_a_notch_that_serves_all_sizes_is_changed_in_the_one_that_was_chosen(asked):
    chosen = Chosen((PickedOutline("front", "2"),))
    one = put(nest(), chosen, edge="side", **asked).pattern.piece("front")
    found = {mark.size: (mark.name, mark.form) for mark in one.marks}
    assert found["1"] == ("a", "") and found["2"] in (("a", "cross"), ("b", ""))
    every = put(nest(), edge="side", **asked).pattern.piece("front")
    assert [mark.size for mark in every.marks] == [""]


def test_no_notch_gets_the_name_or_the_place_of_another():
    marks = notch("side", 100.0, name="a"), notch("side", 200.0, name="b")
    pattern = Pattern((box("front", 400, marks),))
    with pytest.raises(InputError, match="has a notch 'b' already"):
        put(pattern, edge="front/side", action="rename", which="a", called="b")
    with pytest.raises(InputError, match=r"has a notch 200\.0 mm from its upper"):
        put(pattern, edge="front/side", action="move", which="a", at="50%")
    swapped = put(pattern, edge="front/side", action="rename", called="b a").pattern
    assert places(swapped, "front") == [("b", 100.0), ("a", 200.0)]


def test_notches_of_one_name_on_both_halves_meet_in_their_order():
    """A waist of 400 mm is sewn to a half of 200 mm twice: its 1 meets at 160 and at 240 mm."""
    ref = EdgeRef("back", "side")
    whole = box("front", 400, (notch("side", 160.0, name="1"), notch("side", 240.0, name="1")))
    half = box("back", 200, (notch("side", 160.0, name="1"),))
    seam = Seam((EdgeRef("front", "side"),), (ref, ref._replace(turned=True)))
    pattern = Pattern((whole, half), (seam,))
    assert notch_findings(pattern, [""]) == []

    one = pattern.with_piece(whole._replace(marks=whole.marks[1:]))
    assert [finding.code for finding in notch_findings(one, [""])] == ["notch-lone"]


def test_what_meets_at_one_place_is_called_alike_on_all_pieces():
    marks = (notch("side", 100.0, name="1"),)
    pieces = [box(name, 400, marks) for name in ("back", "front-left", "front-right")]
    seams = tuple(
        Seam((EdgeRef(one.name, "side"),), (EdgeRef("back", "side"),), (0.0, 0.0)) for one in pieces[1:]
    )
    made = put(Pattern(tuple(pieces), seams), edge="front-left/side", action="rename", called="z").pattern
    assert [mark.name for piece in made.pieces for mark in piece.marks] == ["z", "z", "z"]

    moved = put(Pattern(tuple(pieces), seams), edge="front-left/side", action="move", which="1", at="150mm")
    assert [at(moved.pattern, name) for name in ("back", "front-left", "front-right")] == [[150.0]] * 3
    assert moved.pattern.seams == seams and notch_findings(moved.pattern, [""]) == []


def test_half_way_on_a_longer_edge_is_half_way_on_the_partner_of_either_side():
    """Both ends are as near, so neither is preferred: 50 % of 400 is 200, and 198 of 396."""
    pieces = [box("back", 400), box("front-left", 396), box("front-right", 396)]
    one, two = (EdgeRef(name, "side") for name in ("front-left", "front-right"))
    back = EdgeRef("back", "side")
    seams = (Seam((one,), (back,), (0.0, 6.0)), Seam((back,), (two,), (0.0, 6.0)))
    made = put(Pattern(tuple(pieces), seams), edge="back/side", at="50%").pattern
    places = [at(made, piece.name)[0] for piece in pieces]
    assert places == pytest.approx([200.0, 198.0, 198.0], abs=1e-9)


def test_a_change_that_parts_notches_tells_how_they_meet_again():
    """8 mm shorter, 4 of them on either side of the notch: it misses its partner by 4 mm from both ends."""
    back = box("back", 400, (notch("side", 200.0, name="1"),))
    front, shorter = box("front", 400, back.marks), box("front", 392, (notch("side", 196.0, name="1"),))
    seam = Seam((EdgeRef("front", "side"),), (EdgeRef("back", "side"),), (0.0, 0.0))
    before, after = (Pattern((one, back), (seam,)) for one in (front, shorter))
    (finding,) = guard(before, after, [("", "")]).findings
    assert finding.cure.endswith(
        "let the notches meet again (sewkit notch --action match --edge front/side)."
    )


# -- darts that are only drawn -----------------------------------------------------------------

# A dart of 30 mm on the side, from 100 to 130 mm below its upper end.
DART = Mark("dart", "bust-dart", "", Path.through([(200, 100), (120, 115), (200, 130)]))


def test_places_count_as_sewn_where_a_dart_is_only_drawn():
    """As sewn the side is 430 - 30 mm long; what lies below the mouth is drawn 30 mm lower."""
    pattern = sewn(box("front", 430, (DART,)), box("back", 400))
    outcome = put(pattern, edge="front/side", at="60mm 50% -60mm")

    assert at(outcome.pattern, "front") == pytest.approx([60.0, 230.0, 370.0])
    assert at(outcome.pattern, "back") == pytest.approx([60.0, 200.0, 340.0])
    assert "front/side 1 at 60.0 mm, 2 at 200.0 mm, 3 at 340.0 mm" in outcome.report.summary
    even = put(pattern, edge="front/side", evenly=3).pattern
    assert at(even, "front") == pytest.approx([100.0, 230.0, 330.0])
    assert notch_findings(even, [""]) == []


def test_no_notch_is_put_into_the_mouth_of_a_dart_nor_beyond_what_is_sewn():
    bust = level("bust", 110.0, x=(-10.0, 210.0))
    pattern = sewn(box("front", 430, (DART, bust)), box("back", 400))
    with pytest.raises(InputError, match=r"in the mouth of a dart, 10\.0 mm from its side"):
        put(pattern, edge="front/side", at="bust")
    with pytest.raises(InputError, match=r"400\.0 mm long with its darts closed"):
        put(pattern, edge="front/side", at="410mm")


# -- along a curve ------------------------------------------------------------------------------


def test_two_notches_along_a_curve_lie_where_they_were_put():
    """On a spiral the edge bends more on one side of its notches than on the other."""
    path = outline((0, 0), ((60, 0), (60, 60), (55, 62)), (0, 200))
    piece = Piece("back", (named_outline(path, "cap side centre"),), allowance={"": 25.0})
    pattern = allowance(Pattern((piece,)), width=25.0).pattern
    made = put(pattern, edge="back/cap", at="45%", form="wedge-out", count=2).pattern

    assert notch_findings(made, [""]) == []
    assert "nothing was changed" in put(made, action="settle").report.summary


# -- files -----------------------------------------------------------------------------------

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" width="500mm" height="500mm" '
    'viewBox="0 0 500 500"><g id="front" sewkit:piece="front" transform="rotate(7)">'
    '<path id="line" sewkit:role="seam-line" sewkit:edges="top side hem centre" '
    'd="M 20,20 H 220 C 250,110 235,200 220,320 H 20 Z"/></g></svg>'
)


def test_the_form_is_kept_on_saving_and_by_a_later_allowance():
    drawing, chosen = open_drawing(io.BytesIO(SVG.encode()))
    drawing.put(put(drawing.pattern, chosen, edge="side", at="90mm", form="wedge-in", count=2).pattern)
    again = Drawing(read_tree(io.BytesIO(drawing.as_bytes()))).pattern
    (kept,) = again.piece("front").marks
    assert (kept.form, kept.count, kept.on.edge) == ("wedge-in", 2, "side")

    (mark,) = allowance(again, width=12.0).pattern.piece("front").marks

    shapely = pytest.importorskip("shapely.geometry")
    line = shapely.LineString(dense(again.piece("front").outlines[0].path, 500))
    far = sorted(round(shapely.Point(p).distance(line), 2) for p in mark.path.nodes)
    assert len(mark.path) == 4
    assert far[0] == pytest.approx(7.0, abs=0.05) and far[-1] == pytest.approx(12.0, abs=0.05)
