"""Facings, bands and linings: worked by hand on plain pieces, judged by Shapely and SciPy on curved ones."""

import io

import numpy as np
import pytest

from sewkit.checks.followers import follower_findings
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path, derivative
from sewkit.operation import find
from sewkit.operations.facing import facing
from sewkit.pattern.chosen import Chosen, PickedNode
from sewkit.pattern.mark import GRAIN, INNER, LEVEL, NOTCH
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.walking import walk_seam
from sewkit.report import Level
from tests.operations.pieces import dense, grain, level, named, notch, r1

BODICE = "samples/bodice/master.svg"


def rectangle(name="front", wide=200.0, high=300.0, **more):
    """Top 200 mm, right 300 mm, clockwise from the upper left corner."""
    path = Path.through([(0, 0), (wide, 0), (wide, high), (0, high)], closed=True)
    return named(path, "top right hem left", name, **more)


def with_neck_dart():
    """The rectangle with a dart 20 mm wide and 120 mm deep in the middle of its top, each half 90 mm."""
    spots = [(0, 0), (90, 0), (100, 120), (110, 0), (200, 0), (200, 300), (0, 300)]
    return named(Path.through(spots, closed=True), "top dart dart top right hem left", darts=("dart",))


def lengths(piece):
    outline = piece.outlines[0]
    return {name: round(outline.as_sewn(name), 3) for name in outline.names}


def polygon(path):
    shapely = pytest.importorskip("shapely.geometry")
    return shapely.Polygon(dense(path, 400))


def length_by_scipy(runs):
    integrate = pytest.importorskip("scipy.integrate")

    def speed(t, curve):
        return float(np.hypot(*derivative(curve[None], t)[0]))

    return sum(integrate.quad(speed, 0, 1, (curve,), limit=200)[0] for run in runs for curve in run.curves)


# -- facings ----------------------------------------------------------------------------------


def test_the_facing_of_a_straight_edge_is_a_strip_with_the_names_of_its_parent():
    piece = rectangle(allowance={"": 10.0, "hem": 40.0}, cloth="main", marks=(grain(), level("bust", 30.0)))
    after = facing(Pattern((piece,)), edges="front/top", width=50.0).pattern
    made = after.piece("front-top-facing")
    assert lengths(made) == {"left": 50.0, "top": 200.0, "right": 50.0, "facing-edge": 200.0}
    assert made.allowance == {"": 10.0, "facing-edge": 0.0}
    assert (made.cut, made.cloth, made.folds, made.hems) == (1, "main", (), ())
    shafts = [mark.shaft.curves[0] for mark in made.marks if mark.kind == GRAIN]
    assert [abs(shaft[3, 0] - shaft[0, 0]) for shaft in shafts] == [0.0]
    assert [mark.name for mark in made.marks if mark.kind == LEVEL] == ["bust"]
    assert after.pieces[0] == piece
    assert [p.name for p in after.pieces] == ["front", "front-top-facing"]
    assert after.seams == (Seam((EdgeRef(made.name, "top"),), (EdgeRef("front", "top"),)),)


def test_a_curved_facing_is_everywhere_as_wide_as_asked():
    """Shapely is the judge: distance of the outer edge from the neck, and the area of the band."""
    shapely = pytest.importorskip("shapely.geometry")
    made = facing(Pattern((r1(folds=("centre",)),)), edges="neck", width=50.0).pattern.pieces[-1]
    shift = made.outlines[0].runs("neck")[0].start - r1().outlines[0].path.start
    neck = shapely.LineString(dense(r1().outlines[0].runs("neck")[0], 2000))
    band = polygon(r1().outlines[0].path).intersection(neck.buffer(50.0, 256))
    spots = [spot for run in made.outlines[0].runs("facing-edge") for spot in dense(run, 50) - shift]
    # Where it is prolonged to the fold it keeps its direction, so it is no nearer and 0.05 mm further.
    away = [neck.distance(shapely.Point(spot)) for spot in spots]
    assert min(away) == pytest.approx(50.0, abs=0.05)
    assert max(away) == pytest.approx(50.0, abs=0.1)
    assert polygon(made.outlines[0].path).area == pytest.approx(band.area, rel=1e-3)
    assert made.folds == ("centre",)


def test_the_parent_edge_is_as_long_as_the_neck_in_all_sizes():
    """SciPy measures both; the necks of the sample are curves."""
    drawing, _ = open_drawing(BODICE)
    outcome = facing(drawing.pattern, edges="front/neck back/neck")
    for name in ("front", "back"):
        made = outcome.pattern.piece(name + "-neck-facing")
        assert made.sizes == ("A", "B", "C")
        for size in made.sizes:
            there = length_by_scipy(drawing.pattern.piece(name).outline(size).runs("neck"))
            assert length_by_scipy(made.outline(size).runs("neck")) == pytest.approx(there, abs=0.05)
    # Both facings are sewn together at the shoulder, as their parents are.
    pair = {frozenset(str(ref) for ref in seam.refs) for seam in outcome.pattern.seams}
    assert frozenset(["front-neck-facing/shoulder", "back-neck-facing/shoulder"]) in pair
    assert outcome.report.worst < 2


def test_a_dart_in_the_band_is_closed():
    """Closed, both halves meet at twice atan(10/120); the outer edge is longer by 2 x 50 x 10/120."""
    made = facing(Pattern((with_neck_dart(),)), edges="top", width=50.0).pattern.pieces[-1]
    assert made.darts == ()
    assert lengths(made) == {"left": 50.0, "top": 180.0, "right": 50.0, "facing-edge": 188.333}


def test_neighbours_are_faced_together_and_meet_at_the_corner():
    """Round an outer corner of a rectangle the outer edge is shorter by the width on either edge."""
    made = facing(Pattern((rectangle(),)), edges="front/right front/top", width=50.0).pattern.pieces[-1]
    found = lengths(made)
    assert (found["left"], found["top"], found["right"], found["hem"]) == (50.0, 200.0, 300.0, 50.0)
    assert found["facing-edge"] == pytest.approx(150.0 + 250.0, abs=0.01)


def test_with_a_turn_of_cloth_the_edge_lies_further_in():
    """A straight edge keeps its length; the ends are shorter.  A quarter circle is shorter by pi/2 x 2."""
    made = facing(Pattern((rectangle(),)), edges="top", width=50.0, turn=2.0).pattern.pieces[-1]
    assert lengths(made) == {"left": 48.0, "top": 200.0, "right": 48.0, "facing-edge": 200.0}

    k, r = 4.0 / 3.0 * np.tan(np.pi / 8) * 100.0, 100.0
    curves = np.array([[(0, r), (0, r - k), (r - k, 0), (r, 0)]], float)
    rest = Path.through([(r, 0), (200, 0), (200, 300), (0, 300), (0, r)]).curves
    outline = Outline(
        "",
        Path(np.concatenate([curves, rest]), closed=True),
        tuple(
            Edge(n, i, i + 1, n in ("round", "top")) for i, n in enumerate("round top right hem left".split())
        ),
    )
    outline = outline._replace(edges=(outline.edges[0]._replace(smooth=False), *outline.edges[1:]))
    outcome = facing(Pattern((Piece("front", (outline,)),)), edges="round", width=40.0, turn=2.0)
    longer = outcome.pattern.pieces[-1].outlines[0].as_sewn("round") - outline.as_sewn("round")
    assert longer == pytest.approx(-np.pi, abs=0.05)
    assert outcome.pattern.seams[0].ease == (-3.5, -3.0)
    assert outcome.report.worst == 0


def test_notches_of_the_parent_edge_and_of_what_it_has_of_its_neighbours_are_copied():
    marks = (notch("top", 60.0, name="a"), notch("right", 30.0, name="b"), notch("right", 80.0, name="c"))
    marks += (notch("left", 20.0, True, name="d"),)
    made = facing(Pattern((rectangle(marks=marks),)), edges="top").pattern.pieces[-1]
    places = {m.name: (m.on.edge, m.on.distance, m.on.from_end) for m in made.marks if m.kind == NOTCH}
    assert places == {"a": ("top", 60.0, False), "b": ("right", 30.0, False), "d": ("left", 20.0, True)}


def test_without_the_fold_of_its_parent_a_facing_is_cut_for_both_sides():
    after = facing(Pattern((r1(folds=("centre",)),)), edges="armhole").pattern
    assert (after.pieces[-1].cut, after.pieces[-1].folds) == (2, ())


def test_it_is_laid_beside_its_parent_where_there_is_room():
    """The place to the right is taken, so it lies elsewhere, clear of both by Shapely's measure."""
    parent = rectangle()
    taken = named(Path.through([(210, 0), (400, 0), (400, 300), (210, 300)], closed=True), "1 2 3 4", "back")
    after = facing(Pattern((parent, taken)), edges="front/top").pattern
    made = polygon(after.piece("front-top-facing").outlines[0].path)
    assert min(made.distance(polygon(p.outlines[0].path)) for p in (parent, taken)) >= 10.0
    assert made.bounds[0] >= 0 and made.bounds[1] >= 0


def test_a_cut_line_is_drawn_where_the_parent_has_one():
    piece = find("allowance").function(Pattern((rectangle(),)), width=10.0).pattern.pieces[0]
    made = facing(Pattern((piece,)), edges="top", outer=5.0).pattern.pieces[-1]
    box = np.array(polygon(made.cut_lines[0].path).bounds) - polygon(made.outlines[0].path).bounds
    assert box == pytest.approx([-10.0, -10.0, 10.0, 5.0])


@pytest.mark.parametrize(
    ("edges", "values", "code"),
    [
        ("top hem", {}, "choice"),
        ("top right hem left", {}, "choice"),
        ("middle", {}, "name"),
        ("", {}, "choice"),
        ("back/top", {}, "name"),
        ("top", {"width": 400.0}, "offset"),
        ("top", {"called": "front"}, "name"),
        ("left", {"action": "anew"}, "name"),
        ("front", {"action": "free"}, "parent"),
    ],
)
def test_what_cannot_be_made_is_said_in_one_sentence(edges, values, code):
    with pytest.raises(InputError) as fault:
        facing(Pattern((rectangle(),)), edges=edges, **values)
    assert fault.value.code == code and fault.value.cure


def test_no_facing_along_a_fold():
    with pytest.raises(InputError, match="fold"):
        facing(Pattern((rectangle(folds=("left",)),)), edges="left")


def test_a_bare_line_gets_a_facing_that_follows_nothing():
    bare = Pattern((rectangle()._replace(named=False),))
    outcome = facing(bare, edges="top")
    assert outcome.pattern.pieces[-1].follows == "" and outcome.pattern.seams == ()
    assert [finding.code for finding in outcome.report.findings] == ["follower-free"]


# -- bands ------------------------------------------------------------------------------------


def skirt():
    """Front half on the fold and back half, 200 and 180 mm at the waist, sewn at the side."""
    front = rectangle("front", 200.0, folds=("left",), marks=(notch("top", 150.0, name="pocket"),))
    back = rectangle("back", 180.0)
    return Pattern((front, back), (Seam((EdgeRef("front", "right"),), (EdgeRef("back", "right"),)),))


def test_a_band_is_as_long_as_its_edges_with_notches_where_they_meet():
    """Front from the fold to the side, 200; then the back turned, from the side to the centre, 180."""
    after = facing(skirt(), kind="band", edges="front/top back/top", width=30.0, extension=25.0).pattern
    made = after.piece("band")
    assert lengths(made) == {
        "band-edge": 380.0,
        "extension": 25.0,
        "band-end": 60.0,
        "outer-edge": 405.0,
        "band-start": 60.0,
    }
    places = {m.name: m.on.distance for m in made.marks if m.kind == NOTCH}
    assert places == pytest.approx({"pocket": 150.0, "joint-1": 200.0})
    fold = next(mark for mark in made.marks if mark.kind == INNER)
    assert fold.path.start[1] - made.outlines[0].path.start[1] == pytest.approx(30.0)
    assert (made.folds, made.cut) == (("band-start",), 1)
    seam = after.seams[-1]
    assert [(str(ref), ref.turned) for ref in seam.second] == [("front/top", False), ("back/top", True)]
    walk = walk_seam(after, seam, "")
    assert walk.difference == pytest.approx(0.0, abs=1e-9) and walk.worst_notch < 1e-9 and not walk.lone


def test_a_single_band_is_as_wide_as_finished():
    made = facing(skirt(), kind="band", edges="back/top", doubled=False, width=40.0).pattern.piece("band")
    assert lengths(made)["band-end"] == 40.0
    assert not [mark for mark in made.marks if mark.kind == INNER]


# -- linings ----------------------------------------------------------------------------------

NO_ROOM = {"hem": 0.0, "armhole": 0.0, "side": 0.0}


def test_a_lining_is_the_piece_without_its_facing():
    """Shapely takes the band off; the edge in common is equally long and paired."""
    faced = facing(Pattern((r1(folds=("centre",)),)), edges="neck", width=50.0).pattern
    after = facing(faced, kind="lining", edges="front", **NO_ROOM).pattern
    made, band = after.piece("front-lining"), after.piece("front-neck-facing")
    whole = polygon(r1().outlines[0].path).area
    areas = [polygon(one.outlines[0].path).area for one in (made, band)]
    assert sum(areas) == pytest.approx(whole, rel=1e-5)
    both = [one.outlines[0].as_sewn("facing-edge") for one in (made, band)]
    assert both[0] == pytest.approx(both[1], abs=0.02)
    assert any(seam.touches("front-lining", "facing-edge") for seam in after.seams)
    assert (made.cloth, made.darts, made.folds) == ("lining", ("dart",), ("centre",))


def test_a_dart_through_the_band_opens_again_below_it():
    """By similar triangles 70 of its 120 mm are left, as wide as 20 x 70/120; the edge is as the facing's."""
    faced = facing(Pattern((with_neck_dart(),)), edges="top", width=50.0).pattern
    made = facing(faced, kind="lining", edges="front", **NO_ROOM).pattern.piece("front-lining")
    outline = made.outlines[0]
    assert outline.as_sewn("facing-edge") == pytest.approx(188.333, abs=0.01)
    legs = np.concatenate([run.nodes for run in outline.runs("dart")])
    assert np.ptp(legs, axis=0) == pytest.approx([20.0 * 70.0 / 120.0, 70.0], abs=0.01)


def test_a_lining_is_shorter_wider_and_has_a_pleat():
    """A rectangle: 20 mm off the hem, 3 mm on the side, 25 mm on the centre back, part of it named pleat."""
    path = Path.through([(0, 0), (200, 0), (200, 300), (0, 300)], closed=True)
    piece = named(path, "neck side hem centre-back", "back")
    faced = facing(Pattern((piece,)), edges="neck", width=50.0).pattern
    made = facing(faced, kind="lining", edges="back", pleat=25.0).pattern.piece("back-lining")
    assert lengths(made) == {
        "pleat": 25.0,
        "facing-edge": 203.0,
        "side": 230.0,
        "hem": 228.0,
        "centre-back": 230.0,
    }


def test_a_lining_is_higher_under_the_arm():
    """Armhole and side meet at (200, 100); 6 mm up along the straight side."""
    path = Path.through([(0, 0), (150, 0), (200, 100), (200, 300), (0, 300)], closed=True)
    piece = named(path, "shoulder armhole side hem left", "front")
    made = facing(Pattern((piece,)), kind="lining", hem=0.0, side=0.0).pattern.piece("front-lining")
    assert lengths(made)["side"] == 206.0
    assert lengths(made)["armhole"] == pytest.approx(np.hypot(50, 94), abs=1e-3)


# -- all of it --------------------------------------------------------------------------------


def test_the_same_again_gives_the_same_bytes_and_the_parents_keep_theirs():
    def written():
        drawing, _ = open_drawing(BODICE)
        for values in ({"edges": "front/neck back/neck"}, {"kind": "lining", "edges": "front"}):
            drawing.put(facing(drawing.pattern, **values).pattern)
        return drawing.as_bytes()

    first = written()
    assert first == written()
    again = open_drawing(io.BytesIO(first))[0].pattern
    assert again.piece("front-neck-facing").follows == "facing front/neck width=50"
    assert (
        again.piece("front-lining").follows == "lining front less=front-neck-facing hem=20 armhole=6 side=3"
    )
    assert not again.problems
    for piece in open_drawing(BODICE)[0].pattern.pieces:
        assert again.piece(piece.name).outlines == piece.outlines


def test_it_is_set_free():
    after = facing(Pattern((rectangle(),)), edges="top").pattern
    outcome = facing(after, action="free")
    assert outcome.pattern.pieces[-1].follows == ""
    assert "front-top-facing" in outcome.report.summary


def test_an_edge_may_run_over_the_start_of_the_path():
    path = Path.through([(100, 0), (200, 0), (200, 300), (0, 300), (0, 0)], closed=True)
    names = "top right hem left top".split()
    edges = tuple(Edge(n, i, i + 1, i == 0) for i, n in enumerate(names))
    piece = Piece("front", (Outline("", path, edges),))
    made = facing(Pattern((piece,)), edges="top").pattern.pieces[-1]
    assert lengths(made)["top"] == pytest.approx(200.0)


def test_a_lining_ends_above_the_facing_that_runs_to_the_hem():
    """20 mm shorter at the hem, its edge is 20 mm shorter than the facing's, and that is meant."""
    faced = facing(Pattern((rectangle(),)), edges="right", width=50.0).pattern
    outcome = facing(faced, kind="lining", edges="front")
    assert outcome.pattern.seams[-1].ease == (-20.0, -20.0)
    assert outcome.report.worst is Level.INFO
    assert [f.code for f in outcome.report.findings] == ["lining-hem"]
    assert "20 mm shorter" in outcome.report.findings[0].text


# -- ends that meet ---------------------------------------------------------------------------


def shouldered(name, over):
    """A piece 100 mm wide at the neck; its shoulder, 100 mm long, goes aside by ``over`` to 100 parts."""
    end = 100.0 * np.array([over, np.sqrt(100.0**2 - over**2)]) / 100.0
    spots = [(0, 0), (100, 0), (100 + end[0], end[1]), (0, end[1])]
    return named(Path.through(spots, closed=True), "neck shoulder hem centre", name)


def with_shoulders(one, other):
    seam = Seam((EdgeRef("front", "shoulder"),), (EdgeRef("back", "shoulder"),))
    return Pattern((shouldered("front", one), shouldered("back", other)), (seam,))


def ends(pattern):
    names = "front-neck-facing", "back-neck-facing"
    return [pattern.piece(name).outlines[0].as_sewn("shoulder") for name in names]


def test_facings_end_alike_where_they_are_sewn_together():
    """50 mm below a neck a shoulder that goes 28 aside on 96 is 50 * 100/96 mm long, a square one 50.

    The square one is cut as long, so its edge falls by 2.0833 on 100 mm.
    """
    after = facing(with_shoulders(28.0, 0.0), edges="front/neck back/neck").pattern
    assert ends(after) == pytest.approx([50 * 100 / 96] * 2, abs=1e-6)
    assert after.seams[-1].ease == (0.0, 0.0)
    longer = float(np.hypot(100.0, 50 * 4 / 96))
    assert after.piece("back-neck-facing").outlines[0].as_sewn("facing-edge") == pytest.approx(
        longer, abs=1e-6
    )


def test_the_one_made_later_gives_way_and_follows_the_other_from_then_on():
    after = facing(facing(with_shoulders(28.0, 0.0), edges="back/neck").pattern, edges="front/neck").pattern
    assert ends(after) == pytest.approx([50.0, 50.0], abs=1e-6)
    moved = after.with_piece(shouldered("back", 28.0))
    anew = facing(moved, action="anew").pattern
    assert ends(anew) == pytest.approx([50 * 100 / 96] * 2, abs=1e-6)


def test_one_that_was_set_free_is_still_met():
    after = facing(with_shoulders(28.0, 0.0), edges="front/neck back/neck").pattern
    freed = facing(after, action="free", edges="front-neck-facing").pattern
    anew = facing(freed, action="anew")
    assert ends(anew.pattern) == pytest.approx([50 * 100 / 96] * 2, abs=1e-6)
    assert follower_findings(freed, [""]) == []


def test_facings_of_other_widths_keep_them_and_it_is_told():
    after = facing(with_shoulders(0.0, 0.0), edges="front/neck", width=60.0).pattern
    outcome = facing(after, edges="back/neck", width=50.0)
    assert ends(outcome.pattern) == pytest.approx([60.0, 50.0])
    assert outcome.report.worst is Level.FAIL


def test_a_curved_outer_edge_is_bent_and_keeps_its_width_beyond():
    """Shapely is the judge: from 60 mm before its end on the band is as wide as it was."""
    shapely = pytest.importorskip("shapely.geometry")
    seam = Seam((EdgeRef("back", "shoulder"),), (EdgeRef("front", "shoulder"),))
    front = r1(folds=("centre",))
    pattern = Pattern((shouldered("back", 0.0), front), (seam,))
    alone = facing(Pattern((front,)), edges="neck").pattern.pieces[-1].outlines[0]
    made = facing(pattern, edges="back/neck front/neck").pattern.piece("front-neck-facing").outlines[0]
    assert made.as_sewn("shoulder") == pytest.approx(50.0, abs=1e-6)
    assert abs(alone.as_sewn("shoulder") - 50.0) > 0.2
    shift = made.runs("neck")[0].start - alone.runs("neck")[0].start
    there = shapely.LineString(dense(alone.runs("facing-edge")[0], 400) + shift)
    off = [there.distance(shapely.Point(*spot)) for spot in dense(made.runs("facing-edge")[0], 400)]
    assert max(off) <= abs(alone.as_sewn("shoulder") - 50.0) + 0.01
    assert sum(one > 0.01 for one in off) < 0.6 * len(off)


def test_edges_may_be_picked_by_their_nodes():
    spots = [("front", (0, 0)), ("front", (100, 0)), ("back", (100, 0)), ("back", (0, 0))]
    nodes = tuple(PickedNode(piece, "", spot) for piece, spot in spots)
    after = facing(with_shoulders(0.0, 0.0), Chosen((), nodes)).pattern
    assert [piece.name for piece in after.pieces if piece.follows] == [
        "front-neck-facing",
        "back-neck-facing",
    ]


def test_one_node_is_no_edge():
    with pytest.raises(InputError, match="do not lie on one edge"):
        facing(with_shoulders(0.0, 0.0), Chosen((), (PickedNode("front", "", (0.0, 0.0)),)))


# -- linings that fit ----------------------------------------------------------------------------


def test_side_seams_of_linings_are_as_equal_as_those_of_their_parents():
    """One side stands square on its hem, the other leans 7 to 24: each is 100 mm, less 20, and 6 more."""
    pieces = []
    for name, over in (("front", 0.0), ("back", 28.0)):
        spots = [(0, 0), (100, 0), (100 + over, np.sqrt(100**2 - over**2)), (0, np.sqrt(100**2 - over**2))]
        pieces.append(named(Path.through(spots, closed=True), "armhole side hem centre", name, hems=("hem",)))
    seam = Seam((EdgeRef("front", "side"),), (EdgeRef("back", "side"),))
    after = facing(Pattern(tuple(pieces), (seam,)), kind="lining", edges="front back").pattern
    sides = [after.piece(name + "-lining").outlines[0].as_sewn("side") for name in ("front", "back")]
    assert sides == pytest.approx([86.0, 86.0], abs=1e-6)


def test_a_pleat_is_only_where_there_is_a_centre_back():
    piece = rectangle(allowance={"": 10.0})
    made = facing(Pattern((piece,)), kind="lining", edges="front", pleat=25.0).pattern.pieces[-1]
    assert "pleat" not in made.allowance


def test_a_grain_line_has_room_in_every_size_or_each_has_its_own():
    """A band 50 mm deep at 0 and one at 400 mm: no line lies in both."""
    outlines = tuple(
        rectangle()
        .outlines[0]
        ._replace(size=size, path=Path.through([(0, y), (200, y), (200, 900), (0, 900)], closed=True))
        for size, y in (("1", 0.0), ("2", 400.0))
    )
    piece = Piece("front", outlines, (), (grain(),))
    made = facing(Pattern((piece,)), edges="top").pattern.pieces[-1]
    shapely = pytest.importorskip("shapely.geometry")
    found = {mark.size: mark.path for mark in made.marks if mark.kind == GRAIN}
    assert sorted(found) == ["1", "2"]
    for size, path in found.items():
        line = shapely.LineString(path.nodes)
        assert polygon(made.outline(size).path).contains(line)


@pytest.mark.parametrize(
    ("spots", "names"),
    [
        # Its point lies above, and just on, the facing's outer edge at 50 mm.
        (
            [(0, 0), (95, 0), (100, 30), (105, 0), (200, 0), (200, 300), (0, 300)],
            "top dart dart top right hem left",
        ),
        (
            [(0, 0), (95, 0), (100, 50), (105, 0), (200, 0), (200, 300), (0, 300)],
            "top dart dart top right hem left",
        ),
        # It stands beside, and its mouth lies where the facing ends.
        (
            [(0, 0), (200, 0), (200, 40), (120, 50), (200, 60), (200, 300), (0, 300)],
            "top right dart dart right hem left",
        ),
    ],
)
def test_a_dart_within_the_facing_leaves_no_edge_for_a_lining(spots, names):
    piece = named(Path.through(spots, closed=True), names, darts=("dart",))
    faced = facing(Pattern((piece,)), edges="top", width=50.0).pattern
    with pytest.raises(InputError, match="'dart' of 'front' lies in the 50 mm"):
        facing(faced, kind="lining", edges="front")
