"""Darts turned, shared out and put together, judged by closed forms and Shapely's paper.

R1 is worked out in appendix A3 of our papers; widths of a dart of 14 degrees in standards 4.5.
With all darts closed the old and the new pattern coincide, and a dart keeps its angle wherever
it goes (NIMI, Dress Making Trade Theory, p. 180 and 195; Erwin, Practical Dress Design, p. 31).
"""

import functools
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, turns
from sewkit.geometry.transform import move, turn
from sewkit.operations.dart_turn import dart_turn
from sewkit.pattern.chosen import PickedNode
from sewkit.pattern.mark import DART, DRILL, GRAIN, LEVEL, NOTCH, OVERLAY
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import CutLine
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.dart_pieces import (
    APEX,
    AREA,
    D1,
    D2,
    FRAMES,
    LENGTHS,
    ROTATION,
    SIZES,
    UNDERARM,
    WAIST,
    alone,
    apart,
    apex_mark,
    bare_legs,
    curved_side,
    darts,
    drawn,
    fan,
    far_apart,
    legs,
    legs_by,
    legs_to_apex,
    nest,
    own_marks,
    refusal,
    reversed_piece,
    sewn,
    sheet,
    skirt_front,
    slashed,
    standoff,
    star,
    to_pivot,
    with_back,
)
from tests.operations.length_pieces import (
    INVARIANT,
    RIGID,
    TABLE,
    bare_with,
    codes,
    drill,
    edges_table,
    one,
    picked,
    ruler,
    same,
    shapely,
    straight,
    texts,
)
from tests.operations.pieces import R1, bare, dense, moved, notch, split

hypothesis = pytest.importorskip("hypothesis")
st = pytest.importorskip("hypothesis.strategies")

# R1 is given to 0.001 mm: angles read off it are that exact.
GIVEN = 0.001

FORMS = {
    "legs to the apex": legs_to_apex,
    "25 mm short of it": standoff,
    "drawn legs": drawn,
    "drawn with its centre": lambda: drawn("centre"),
    "drawn, a mark a leg": lambda: drawn("two"),
    "drawn under a cap": lambda: drawn(peak=(245.441, 296.954)),
    "shaped side": curved_side,
}


@functools.lru_cache(maxsize=None)
def turned(form, edge="shoulder", at=""):
    """A form before and after its dart is turned to a place of an edge."""
    piece = FORMS[form]()
    return piece, dart_turn(alone(piece), to=edge, at=at)


def made(outcome, name="front", size=""):
    return outcome.pattern.piece(name).outline(size)


def angle(width, distance):
    """The angle of a dart by its mouth and the distance of the mouth's ends, degrees."""
    return 2 * math.degrees(math.asin(width / (2 * distance)))


# -- what the papers say ---------------------------------------------------------------------


@pytest.mark.parametrize("form", FORMS)
def test_the_whole_dart_goes_to_the_middle_of_the_shoulder(form):
    """A3: slash 245.013, intake 38.447; the part between turns by 9 degrees about A."""
    line = made(turned(form)[1])
    dart = legs(line)
    wanted = {
        "shoulder": (190.0, 45.0, 223.246, 62.570),
        "armhole": (*UNDERARM, 253.567, 254.678),
    }

    assert dart.intake == pytest.approx(38.447, abs=TABLE)
    assert dart.seen_from(APEX) == pytest.approx(9.0, abs=TABLE)
    assert dart.mouth[0] == pytest.approx((130.0, 22.5), abs=TABLE)
    assert dart.mouth[1] == pytest.approx((167.504, 30.961), abs=TABLE)
    for name, (*_, x, y) in wanted.items():
        assert line.runs(name)[-1].end == pytest.approx((x, y), abs=TABLE), name
    assert [np.hypot(*(run.end - run.start)) for run in line.runs("shoulder")] == pytest.approx(
        [64.080, 64.080], abs=TABLE
    )


def test_the_side_is_one_straight_line_again():
    """A3: U'-D2-W1 lie in one line of 190.515."""
    side = made(dart_turn(alone(legs_to_apex()), to="shoulder")).edge_path("side")

    assert np.hypot(*(side.end - side.start)) == pytest.approx(190.515, abs=TABLE)
    assert straight(side) <= GIVEN
    assert side.end == pytest.approx(WAIST, abs=TABLE)


def test_half_of_it_stays():
    """A3: side intake 11.955, shoulder 19.238."""
    line = made(dart_turn(alone(legs_to_apex()), to="shoulder", share=50.0, called="shoulder-dart"))
    kept, new = legs(line, "dart"), legs(line, "shoulder-dart")

    assert (kept.intake, new.intake) == pytest.approx((11.955, 19.238), abs=TABLE)
    assert kept.angle + new.angle == pytest.approx(9.0, abs=GIVEN)
    assert kept.point == pytest.approx(APEX, abs=RIGID) and new.point == pytest.approx(APEX, abs=RIGID)


@pytest.mark.parametrize("edge", [name for name in ROTATION if name != "twelve"])
def test_the_width_grows_with_the_distance_and_the_angle_stays(edge):
    """Standards 4.5: 14 degrees at 9 ... 25 cm."""
    assert ROTATION["twelve"][1] * 10 == pytest.approx(legs(star().outline("")).intake, abs=TABLE)

    dart = legs(made(dart_turn(alone(star()), to=edge), "star"))
    distance, width = (10 * number for number in ROTATION[edge])
    assert dart.intake == pytest.approx(width, abs=TABLE)
    assert dart.lengths == pytest.approx((distance, distance), abs=1e-6)
    assert dart.angle == pytest.approx(14.0, abs=1e-6)


@pytest.mark.parametrize(
    ("width", "leg", "degrees"),
    [(20.0, 130.0, 8.8235), (70.0, 220.0, 18.308), (70.0, 240.0, 16.771), (70.0, 260.0, 15.473)],
)
def test_a_dart_told_by_its_width_and_legs(width, leg, degrees):
    """Standards 4.5: 2 asin(w / 2 leg); turned to another edge it is that angle still."""
    assert angle(width, leg) == pytest.approx(degrees, abs=0.0005)

    piece = star(degrees=angle(width, leg), leg=leg)
    assert legs(piece.outline("")).intake == pytest.approx(width, abs=1e-6)
    dart = legs(made(dart_turn(alone(piece), to="eighteen"), "star"))
    assert dart.intake == pytest.approx(2 * 180.0 * math.sin(math.radians(degrees) / 2), abs=TABLE)


def test_shared_out_evenly_over_four_edges():
    line = made(dart_turn(alone(star()), to="nine fourteen eighteen twentyfive", called="p q r s"), "star")
    found = [darts(line, name)[0] for name in "pqrs"]

    assert [d.angle for d in found] == pytest.approx([3.5] * 4, abs=1e-6)
    widths = [2 * d * math.sin(math.radians(1.75)) for d in (90.0, 140.0, 180.0, 250.0)]
    assert [d.intake for d in found] == pytest.approx(widths, abs=1e-6)
    assert not darts(line, "dart")


def test_shared_out_by_percent():
    line = made(dart_turn(alone(star()), to="nine eighteen", shares="60 40", called="p q"), "star")

    assert darts(line, "p")[0].angle == pytest.approx(8.4, abs=1e-6)
    assert darts(line, "q")[0].angle == pytest.approx(5.6, abs=1e-6)


def test_two_darts_become_one():
    """Angles add up: 60 and 40 percent of 14 degrees put together again."""
    two = dart_turn(alone(star()), to="nine eighteen", shares="60 40", called="p q").pattern
    line = made(dart_turn(two, dart="q", to="p"), "star")

    assert not darts(line, "q")
    assert darts(line, "p")[0].angle == pytest.approx(14.0, abs=1e-6)
    assert darts(line, "p")[0].intake == pytest.approx(21.936, abs=TABLE)


def test_two_darts_of_different_points_become_one_as_deep_as_it_was():
    """The part between them turns about the side dart's point; it is 100 mm deep still, legs equal."""
    outcome = dart_turn(alone(skirt_front()), dart="side-dart", to="front-dart")
    line, old = made(outcome, "skirt"), skirt_front().outline("")
    angle_between = math.radians(legs(old, "side-dart").angle)
    far = np.array([100.0 - 158.0, 0.0 - 90.0])
    c, s = math.cos(angle_between), math.sin(angle_between)
    end = (158.0 + far[0] * c - far[1] * s, 90.0 + far[0] * s + far[1] * c)
    dart = legs(line, "front-dart")

    assert dart.mouth[0] == pytest.approx((80.0, 0.0), abs=1e-6)
    assert dart.mouth[1] == pytest.approx(end, abs=1e-6)
    assert np.hypot(*(dart.point - dart.mouth.mean(axis=0))) == pytest.approx(100.0, abs=0.01)
    assert dart.lengths[0] == pytest.approx(dart.lengths[1], abs=0.3)
    for name in ("waist", "side", "hem", "centre"):
        assert sewn(line, name) == pytest.approx(sewn(old, name), abs=1e-6), name


def test_a_cluster_on_one_edge_has_its_sum_and_tells_how_near_its_points_are():
    """Two of 4.5 degrees each, 26 mm apart on the shoulder: 25 mm off the apex they lie close together."""
    outcome = dart_turn(alone(standoff()), to="shoulder", at="40% 60%")
    line = made(outcome)
    found = [dart for name in line.names if "dart" in name for dart in darts(line, name)]

    assert [d.seen_from(APEX) for d in found] == pytest.approx([4.5, 4.5], abs=GIVEN)
    assert sewn(line, "shoulder") == pytest.approx(128.160, abs=0.002)
    assert [f for f in outcome.report.findings if f.code == "dart-point" and f.text.count("dart") >= 2]


# -- the paper ---------------------------------------------------------------------------------


def paper_of(piece, size=""):
    """The outline with its dart cut to the apex, as paper."""
    line = piece.outline(size)
    point = legs(line).point
    return sheet(to_pivot(line.path, point, APEX)) if np.hypot(*(point - APEX)) > 1e-6 else sheet(line.path)


PLACES = [
    ("neck", "30%"),
    ("shoulder", ""),
    ("armhole", "190"),
    ("side", "20"),
    ("waist", "25%"),
]


CUT_IN = ["legs to the apex", "25 mm short of it", "shaped side"]


@pytest.mark.parametrize(("edge", "at"), PLACES)
@pytest.mark.parametrize("form", CUT_IN)
def test_with_all_darts_closed_the_patterns_coincide(form, edge, at):
    """The old paper, slashed to the apex and turned until its dart is closed, covers the new one."""
    piece, outcome = turned(form, edge, at)
    after = outcome.pattern.piece("front")
    dart, old = legs(after.outline("")), legs(piece.outline(""))
    degrees = old.seen_from(APEX)

    # Before the dart the part behind the new place turns on to D2; after it the part before it.
    ahead = edge in ("neck", "shoulder", "armhole") or (edge, at) == ("side", "20")
    sector = (dart.mouth[0], D1, degrees) if ahead else (D2, dart.mouth[1], -degrees)
    wanted = slashed(paper_of(piece), APEX, [sector])
    assert apart(wanted, paper_of(after)) <= AREA
    assert dart.seen_from(APEX) == pytest.approx(degrees, abs=1e-6)


def keeps_its_lengths(piece, line):
    for name, length in LENGTHS.items():
        shaped = name == "side" and len(piece.outline("").runs("side")) == 2
        length = sewn(piece.outline(""), "side") if shaped else length
        assert sewn(line, name) == pytest.approx(length, abs=2 * GIVEN), name
    assert legs(line).lengths[0] == pytest.approx(legs(line).lengths[1], abs=GIVEN)


@pytest.mark.parametrize(("edge", "at"), PLACES)
@pytest.mark.parametrize("form", CUT_IN)
def test_every_seam_keeps_its_length_with_the_darts_closed(form, edge, at):
    """Erwin: all seam lines keep their length."""
    piece, outcome = turned(form, edge, at)

    keeps_its_lengths(piece, made(outcome))


@pytest.mark.parametrize(
    "form",
    [
        "drawn legs",
        "drawn with its centre",
        "drawn, a mark a leg",
        "drawn under a cap",
    ],
)
def test_a_drawn_dart_leaves_the_seams_as_they_are_sewn(form):
    """A1's lengths: what was drawn across or over the mouth is no part of the side."""
    piece, outcome = turned(form)

    keeps_its_lengths(piece, made(outcome))
    assert not [m for m in outcome.pattern.piece("front").marks if m.kind == DART]
    assert "dart-cut-in" in codes(outcome)


@pytest.mark.parametrize(
    ("edge", "share", "run"), [("neck", 0.3, -1), ("shoulder", 0.4, 0), ("waist", 0.25, -1)]
)
def test_the_place_is_counted_along_the_edge(edge, share, run):
    """From the upper end of the neck, the left ends of shoulder and waist."""
    line = made(dart_turn(alone(legs_to_apex()), to=edge, at="{:g}%".format(100 * share)))

    assert ruler(line.runs(edge)[run]) == pytest.approx(LENGTHS[edge] * share, abs=0.002)


def _until_dart(line, edge):
    return ruler(line.runs(edge)[0])


def test_at_a_notch():
    piece = legs_to_apex(marks=own_marks())
    line = made(dart_turn(alone(piece), to="shoulder", at="1"))

    assert _until_dart(line, "shoulder") == pytest.approx(100.0, abs=1e-6)


def test_the_fold_side_stays_as_it_is():
    piece = legs_to_apex()
    line = made(dart_turn(alone(piece), to="shoulder"))
    old = piece.outline("")

    for name in ("neck", "waist", "centre"):
        assert same(old.edge_path(name), line.edge_path(name)), name
    line = made(dart_turn(alone(piece), to="waist"))
    for name in ("neck", "shoulder", "armhole", "centre"):
        assert same(old.edge_path(name), line.edge_path(name)), name


def test_the_part_that_turns_is_one_rigid_whole():
    piece = legs_to_apex()
    line = made(dart_turn(alone(piece), to="shoulder"))
    old = piece.outline("")
    frame = turn(legs(old).angle, APEX)

    moved_armhole = frame.path(old.edge_path("armhole"))
    assert np.abs(moved_armhole.curves - line.edge_path("armhole").curves).max() <= 1e-6


def matched(path, to):
    """The rigid move, as complex numbers, that takes a chord to where another lies."""
    a, b = (complex(*(p.end - p.start)) for p in (path, to))
    spin = b / a
    assert abs(abs(spin) - 1.0) <= 1e-9
    return spin, complex(*to.start) - spin * complex(*path.start)


@pytest.mark.parametrize("shares", ["60 25 15", "10 10 80"])
def test_shared_out_the_paper_is_slashed_to_every_place(shares):
    """Three places: each sector has turned by the sum of what opened up to it, rigidly about the pivot."""
    piece = star()
    places = ["nine", "fourteen", "eighteen"]
    line = made(dart_turn(alone(piece), to=" ".join(places), shares=shares, called="p q r"), "star")
    spin, shift = matched(line.edge_path("twentyfive"), piece.outline("").edge_path("twentyfive"))
    flat = (line.path.curves[..., 0] + 1j * line.path.curves[..., 1]) * spin + shift
    found = sheet(Path(np.stack([flat.real, flat.imag], axis=-1), True))

    # On the sheet's clockwise way: the dart at 300 degrees, nine at 15, fourteen at 90, eighteen at 150.
    spots = [tuple(piece.outline("").edge_path(name).nodes.mean(axis=0)) for name in places]
    opened = [14.0 * float(share) / 100.0 for share in shares.split()]
    end = tuple(legs(piece.outline("")).mouth[1])
    sectors, turned_by = [], 0.0
    for start, stop, share in zip(spots[::-1], (spots[::-1] + [end])[1:], opened[::-1]):
        turned_by -= share
        sectors.append((stop, start, turned_by))
    wanted = slashed(sheet(piece.outline("").path), (0.0, 0.0), sectors)

    assert apart(wanted, found) <= AREA
    assert turned_by == pytest.approx(-14.0)


@pytest.mark.parametrize("first", [4, 5, 6])
def test_wherever_the_path_begins(first):
    """At the dart's mouth, in its point, behind it."""
    piece = legs_to_apex()
    old = piece.outline("")
    edges = tuple(
        edge._replace(start=(edge.start - first) % 9, stop=(edge.stop - first - 1) % 9 + 1)
        for edge in old.edges[first:] + old.edges[:first]
    )
    piece = piece.with_outline(Outline("", old.path.start_at(first), edges))
    line = made(dart_turn(alone(piece), to="shoulder"))

    assert far_apart(line.path, made(turned("legs to the apex")[1]).path) <= 1e-9


def test_nodes_in_legs_and_edges_change_nothing():
    piece = legs_to_apex()
    line = piece.outline("")
    for curve in (6, 4, 2, 1):
        line = split(line, curve, 0.3)
    dart = legs(made(dart_turn(alone(piece.with_outline(line)), to="shoulder")))

    assert dart.intake == pytest.approx(38.447, abs=TABLE)
    assert len(dart.first) == 1 and len(dart.second) == 1


# -- the point ---------------------------------------------------------------------------------


@pytest.mark.parametrize("distance", [12.7, 25.0, 50.0])
def test_a_point_backed_off_stays_backed_off(distance):
    """J25: turned about the apex; the new point as far from it, on the middle of the mouth."""
    line = made(dart_turn(alone(standoff(distance)), to="shoulder"))
    dart = legs(line)
    slash, half = 245.013, math.radians(4.5)
    leg = math.hypot(slash * math.cos(half) - distance, slash * math.sin(half))

    assert np.hypot(*(dart.point - APEX)) == pytest.approx(distance, abs=TABLE)
    assert dart.lengths == pytest.approx((leg, leg), abs=TABLE)
    assert dart.angle == pytest.approx(angle(38.447, leg), abs=TABLE)
    assert dart.off_axis <= GIVEN


def test_backed_off_by_25_where_asked():
    """A3: standoff 25 at the side comes back after a turn away and back: T, 127.350, 10.765."""
    away = dart_turn(alone(legs_to_apex()), to="shoulder", back_off=25.0).pattern
    assert np.hypot(*(legs(away.piece("front").outline("")).point - APEX)) == pytest.approx(25.0, abs=TABLE)
    dart = legs(made(dart_turn(away, to="side", at="55")))

    assert dart.point == pytest.approx((119.454, 270.194), abs=TABLE)
    assert dart.lengths == pytest.approx((127.350, 127.350), abs=TABLE)
    assert dart.angle == pytest.approx(10.765, abs=TABLE)


def test_back_off_of_nothing_draws_the_legs_to_the_apex():
    dart = legs(made(dart_turn(alone(standoff()), to="shoulder", back_off=0.0)))

    assert dart.point == pytest.approx(APEX, abs=RIGID)
    assert dart.lengths == pytest.approx((245.013, 245.013), abs=TABLE)


def test_another_pivot_by_the_name_of_its_mark():
    """About a mark on the axis 20 mm beyond the apex: the angle seen from there goes over."""
    way = np.subtract(APEX, (np.array(D1) + D2) / 2)
    spot = np.array(APEX) + 20.0 * way / np.hypot(*way)
    piece = legs_to_apex(marks=(apex_mark(), drill(*spot, name="blade")))
    dart = legs(made(dart_turn(alone(piece), to="shoulder", pivot="blade")))
    seen = legs(piece.outline("")).seen_from(spot)

    assert dart.seen_from(spot) == pytest.approx(seen, abs=1e-6)
    assert seen < 8.0, "further away it is a smaller angle"


# -- there and back, and any way round ---------------------------------------------------------


@pytest.mark.parametrize(
    ("form", "edge", "at"),
    [(f, *p) for f, p in zip(CUT_IN * 2, PLACES)] + [("25 mm short of it", "shoulder", "")],
)
def test_away_and_back_is_as_before(form, edge, at):
    piece, away = turned(form, edge, at)
    place = "{:.9f}".format(ruler(piece.outline("").runs("side")[0]))
    line, old = made(dart_turn(away.pattern, to="side", at=place)), piece.outline("")

    assert apart(sheet(line.path), sheet(old.path)) <= AREA
    spots = [line.path.nodes[np.hypot(*(line.path.nodes - node).T).argmin()] for node in old.path.nodes]
    assert np.abs(np.array(spots) - old.path.nodes).max() <= TABLE


def at_a_notch(form):
    piece = FORMS[form]()
    return piece._replace(marks=piece.marks + (notch("shoulder", 80.0, name="7"),))


@pytest.mark.parametrize(
    ("form", "frame", "other"),
    [
        ("legs to the apex", "as it lies", True),
        ("25 mm short of it", "turned by 37", True),
        ("25 mm short of it", "mirrored", False),
        ("shaped side", "mirrored and turned", True),
        ("shaped side", "mirrored and turned", False),
    ],
)
def test_it_is_the_same_wherever_it_lies_and_however_it_is_drawn(form, frame, other):
    piece = at_a_notch(form)
    plain = dart_turn(alone(piece), to="shoulder", at="notch 7").pattern
    found = dart_turn(
        moved(alone(reversed_piece(piece) if other else piece), FRAMES[frame]), to="shoulder", at="notch 7"
    )

    assert legs(plain.piece("front").outline("")).mouth[0] == pytest.approx(
        (70.0 + 120.0 * 80.0 / 128.160, 45.0 * 80.0 / 128.160), abs=TABLE
    )
    wanted = moved(plain, FRAMES[frame]).piece("front").outline("").path
    path = made(found).path
    assert far_apart(path.reverse() if other else path, wanted) <= 1e-6


# -- what goes with it ---------------------------------------------------------------------------


def test_marks_go_with_the_cloth_they_lie_on():
    piece = legs_to_apex(marks=own_marks())
    after = dart_turn(alone(piece), to="shoulder").pattern.piece("front")
    frame = turn(legs(piece.outline("")).angle, APEX)

    for name in ("apex", "button"):
        assert (
            np.abs(one(after, DRILL, name).path.curves - one(piece, DRILL, name).path.curves).max() <= RIGID
        )
    wanted = frame.points(one(piece, DRILL, "pocket").path.curves)
    assert np.abs(one(after, DRILL, "pocket").path.curves - wanted).max() <= 1e-6
    assert one(after, GRAIN) == one(piece, GRAIN) and one(after, LEVEL, "bust") == one(piece, LEVEL, "bust")


def test_notches_keep_their_distance_along_the_seam():
    piece = legs_to_apex(marks=own_marks())
    after = dart_turn(alone(piece), to="shoulder").pattern.piece("front")
    line = after.outline("")

    for name, wanted in (("1", 100.0), ("2", 30.0), ("3", 190.515 - 50.0)):
        on = one(after, NOTCH, name).on
        length = sewn(line, on.edge)
        assert (length - on.distance if on.from_end else on.distance) == pytest.approx(wanted, abs=0.002)
        tick = one(after, NOTCH, name).path
        assert tick is not None
        runs = [shapely.LineString(dense(run, 20)) for run in line.runs(on.edge)]
        ends = [shapely.Point(p) for p in (tick.start, tick.end)]
        assert min(run.distance(end) for run in runs for end in ends) <= 1e-6, name


def test_the_back_still_fits():
    """Seams that were pairs are pairs; nothing is told of them."""
    pattern = with_back(legs_to_apex())
    outcome = dart_turn(pattern, picked(("front", "")), to="shoulder")

    assert not [f for f in outcome.report.findings if f.code == "seam"]
    assert outcome.pattern.piece("back") == pattern.piece("back")


def test_the_cut_line_is_made_anew():
    """Beside the part that was turned it runs 10 mm beside the new seam line."""
    wide = sheet(R1).buffer(10.0)
    piece = legs_to_apex()._replace(
        cut_lines=(CutLine("", Path.through(list(wide.exterior.coords)[:-1], closed=True)),),
        allowance={"": 10.0, "centre": 0.0},
    )
    after = dart_turn(alone(piece), to="shoulder").pattern.piece("front")
    cut = shapely.LinearRing(dense(after.cut_line("").path, 100))

    for name in ("armhole", "side", "neck", "waist"):
        run = dense(after.outline("").edge_path(name), 40)
        spot = run[len(run) // 2]
        assert cut.distance(shapely.Point(spot)) == pytest.approx(10.0, abs=0.2), name


def test_every_size_of_a_nest():
    outcome = dart_turn(alone(nest()), to="shoulder")

    for size, factor in SIZES.items():
        line = made(outcome, size=size)
        assert legs(line).intake == pytest.approx(38.447 * factor, abs=TABLE)
        assert legs(line).angle == pytest.approx(9.0, abs=TABLE)
        for name, length in LENGTHS.items():
            assert sewn(line, name) == pytest.approx(length * factor, abs=2 * GIVEN), name
        spot = one(outcome.pattern.piece("front"), DRILL, "apex", size).middle
        assert spot == pytest.approx(tuple(factor * np.array(APEX)), abs=1e-6)


def test_one_size_alone():
    outcome = dart_turn(alone(nest()), picked(("front", "6")), to="shoulder")

    assert outcome.pattern.piece("front").outline("4") == nest().outline("4")
    assert legs(made(outcome, size="6")).intake == pytest.approx(38.447, abs=TABLE)


def test_an_outline_nobody_named():
    """The edges are numbers; it stays without names, and comes out as the named one does."""
    outcome = dart_turn(bare(R1, "shape"), picked(("shape", "")), to="2")
    line = outcome.pattern.piece("shape").outlines[0]
    wanted = made(dart_turn(alone(legs_to_apex()), to="shoulder"))

    assert far_apart(line.path, wanted.path) <= 1e-6
    assert all(name.isdecimal() for name in line.names) and not outcome.pattern.piece("shape").darts
    assert bare_legs(line.path, APEX).intake == pytest.approx(38.447, abs=TABLE)


def test_two_drawn_legs_over_a_bare_outline():
    """The unbroken outline and the lines from D1 and D2 to the apex, all three picked."""
    whole = drawn().outline("").path
    pattern, chosen = bare_with(whole, [D1, APEX], [D2, APEX])
    outcome = dart_turn(pattern, chosen, to="2")

    path = outcome.pattern.piece("shape").outlines[0].path
    assert bare_legs(path, APEX).intake == pytest.approx(38.447, abs=TABLE)


def test_three_picked_nodes():
    nodes = tuple(PickedNode("shape", "", spot) for spot in (APEX, D1, D2))
    chosen = picked(("shape", ""))._replace(nodes=nodes)
    path = dart_turn(bare(R1, "shape"), chosen, to="2").pattern.piece("shape").outlines[0].path

    assert bare_legs(path, APEX).intake == pytest.approx(38.447, abs=TABLE)


def test_the_other_dart_of_a_skirt_is_not_touched():
    """Turned from the waist into the side: the front dart keeps its measures."""
    piece = skirt_front()
    line = made(dart_turn(alone(piece), dart="side-dart", to="side", at="30%"), "skirt")
    old = piece.outline("")

    kept, was = legs(line, "front-dart"), legs(old, "front-dart")
    assert (kept.angle, kept.intake) == pytest.approx((was.angle, was.intake), abs=1e-9)
    assert legs(line, "side-dart").angle == pytest.approx(legs(old, "side-dart").angle, abs=1e-6)
    for name in ("waist", "side", "hem", "centre"):
        assert sewn(line, name) == pytest.approx(sewn(old, name), abs=1e-6), name


def test_nothing_given_is_changed_and_twice_is_the_same():
    first = dart_turn(alone(legs_to_apex()), to="shoulder")

    assert first == dart_turn(alone(legs_to_apex()), to="shoulder")


def test_the_cuts_are_drawn_faintly_when_asked():
    plain, shown = (dart_turn(alone(legs_to_apex()), to="shoulder", show=show) for show in (False, True))

    assert [m for m in shown.pattern.piece("front").marks if m.kind == OVERLAY]
    assert not [m for m in plain.pattern.piece("front").marks if m.kind == OVERLAY]
    assert made(plain) == made(shown)


def test_what_was_done_is_told_in_numbers():
    outcome = dart_turn(alone(legs_to_apex()), to="shoulder")
    told = texts(outcome)

    for word in ("9.0", "38.4", "23.89", "152.2", "245.0", "shoulder"):
        assert word in told, word
    assert outcome.report.summary.endswith(".")
    assert not [t for t in outcome.report.tables if "dges" in t.title], "no edge changed its length"


# -- an edge that gapes, and flare ---------------------------------------------------------------


@pytest.mark.parametrize(("edge", "amount"), [("neck", 4.0), ("neck", 12.0), ("armhole", 8.0)])
def test_a_gaping_edge_goes_into_the_dart(edge, amount):
    """J20: the edge loses g to 0.3 mm; the angle taken out there is opened in the dart."""
    piece = legs_to_apex()
    outcome = dart_turn(alone(piece), dart="dart", gape=edge, amount=amount)
    line, old = made(outcome), piece.outline("")

    assert sewn(line, edge) == pytest.approx(LENGTHS[edge] - amount, abs=0.3)
    for name in ("neck", "shoulder", "armhole", "side", "waist", "centre"):
        if name != edge:
            assert sewn(line, name) == pytest.approx(LENGTHS[name], abs=2 * GIVEN), name
    # The two ends of the edge, seen from the apex, come nearer by what the dart opens.
    was = fan_angle(old.runs(edge)[0].start, old.runs(edge)[-1].end)
    now = fan_angle(line.runs(edge)[0].start, line.runs(edge)[-1].end)
    assert legs(line).angle - legs(old).angle == pytest.approx(was - now, abs=TABLE)
    assert legs(line).angle > legs(old).angle + 1.0


def fan_angle(start, stop):
    a = math.atan2(start[1] - APEX[1], start[0] - APEX[0])
    b = math.atan2(stop[1] - APEX[1], stop[0] - APEX[0])
    return abs((math.degrees(b - a) + 180.0) % 360.0 - 180.0)


def test_a_gaping_edge_is_drawn_softly():
    line = made(dart_turn(alone(legs_to_apex()), dart="dart", gape="neck", amount=8.0))
    assert np.abs(turns(line.edge_path("neck"))).max(initial=0.0) <= 1.0


def test_facing_and_seam_of_a_gaping_edge_are_told():
    pattern = with_back(legs_to_apex(), "side=back/side neck=back/neck,ease=-100..100")
    named_facing = legs_to_apex()._replace(name="facing")
    pattern = pattern._replace(
        pieces=pattern.pieces + (named_facing,),
        seams=pattern.seams + parse_seams("neck=facing/neck", "front"),
    )
    outcome = dart_turn(pattern, picked(("front", "")), dart="dart", gape="neck", amount=8.0)
    told = [f for f in outcome.report.findings if f.code == "seam" and f.level == Level.FAIL]

    assert told and all("neck" in f.text for f in told)
    assert edges_table(outcome)["front", "neck"] == pytest.approx((119.0, 111.0), abs=0.351)


def test_flare_of_the_hem_goes_into_the_dart():
    """A waist edge 10 mm narrower at the hem: the bust dart takes the angle up."""
    piece = legs_to_apex()
    line = made(dart_turn(alone(piece), dart="dart", gape="waist", amount=10.0))

    assert sewn(line, "waist") == pytest.approx(200.017, abs=0.3)
    assert sewn(line, "side") == pytest.approx(190.515, abs=2 * GIVEN)
    assert legs(line).angle > 9.5


# -- warnings ------------------------------------------------------------------------------------


def test_two_set_better_than_one_of_more_than_25_degrees():
    """NIMI: two small darts set better than one large; 13 and 13 put together."""
    two = dart_turn(alone(star(26.0)), to="nine eighteen", called="p q")
    assert "dart-wide" not in codes(two)
    outcome = dart_turn(two.pattern, dart="q", to="p")

    assert "dart-wide" in codes(outcome)


def test_a_point_in_the_apex_is_told():
    outcome = dart_turn(alone(standoff()), to="shoulder", back_off=5.0)

    assert "dart-point" in codes(outcome)
    assert "dart-point" not in codes(dart_turn(alone(standoff()), to="shoulder"))


def test_unequal_legs_are_told():
    """3 mm longer: the edge has a step where it is closed."""
    outcome = dart_turn(alone(legs_by(second=3.0)), to="shoulder")

    assert [f for f in outcome.report.findings if "leg" in f.text or "step" in f.text]


# -- errors --------------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    return refusal(dart_turn, pattern, chosen, **values)


def test_no_dart():
    piece = drawn(marks=())._replace(marks=())
    code, text = refused(alone(piece), to="shoulder")

    assert code == "dart" and "front" in text


def test_a_dart_of_another_name():
    code, text = refused(alone(legs_to_apex()), dart="waist-dart", to="shoulder")

    assert code == "dart" and "waist-dart" in text and "23.9" in text


def test_which_of_two():
    code, text = refused(alone(skirt_front()), to="side")

    assert code == "dart" and "front-dart" in text and "side-dart" in text


def test_no_such_edge():
    code, text = refused(alone(legs_to_apex()), to="sholder")

    assert code in ("name", "dart") and "sholder" in text and "shoulder" in text


def test_nowhere_to_turn_to():
    refused(alone(legs_to_apex()))


def test_a_place_beyond_the_edge():
    _, text = refused(alone(legs_to_apex()), to="shoulder", at="200")

    assert "shoulder" in text and "128" in text


def test_shares_that_are_not_a_hundred():
    _, text = refused(alone(star()), to="nine eighteen", shares="60 60")

    assert "120" in text or "100" in text


def test_a_pivot_outside_the_piece():
    piece = legs_to_apex(marks=(apex_mark(), drill(400.0, 265.0, "outside")))
    _, text = refused(alone(piece), to="shoulder", pivot="outside")

    assert "outside" in text and "front" in text


def test_a_pivot_that_is_not_there():
    _, text = refused(alone(legs_to_apex()), to="shoulder", pivot="blade")

    assert "blade" in text


def test_a_place_the_pivot_does_not_see():
    """A slash from there to the pivot would leave the piece: through the dart of the skirt."""
    piece = skirt_front()
    with pytest.raises(InputError) as told:
        dart_turn(alone(piece), dart="front-dart", to="side", at="2")
    assert "skirt" in str(told.value) or "side" in str(told.value)


def test_taking_in_more_than_the_edge_has():
    _, text = refused(alone(legs_to_apex()), dart="dart", gape="neck", amount=150.0)

    assert "neck" in text


# -- any dart --------------------------------------------------------------------------------------


@hypothesis.settings(max_examples=5, deadline=None)
@hypothesis.given(
    degrees=st.floats(3.0, 20.0),
    edge=st.sampled_from(["nine", "fourteen", "eighteen", "twentyfive"]),
    at=st.floats(5.0, 25.0),
    share=st.floats(10.0, 100.0),
    frame=st.sampled_from(sorted(FRAMES)),
)
def test_any_dart_anywhere(degrees, edge, at, share, frame):
    """The angles have the same sum, every edge its length, and what is far from the pivot is wide."""
    piece = star(degrees)
    pattern = moved(alone(piece), FRAMES[frame].then(move(3.0, 5.0)))
    outcome = dart_turn(pattern, to=edge, at="{:.6f}".format(at), share=share, called="new")
    line, old = made(outcome, "star"), pattern.piece("star").outline("")

    new = legs(line, "new")
    kept = darts(line, "dart")
    assert new.angle == pytest.approx(degrees * share / 100, abs=1e-6)
    assert new.angle + sum(d.angle for d in kept) == pytest.approx(degrees, abs=1e-6)
    distance = math.hypot(ROTATION[edge][0] * 10, at - 15.0)
    assert new.intake == pytest.approx(2 * distance * math.sin(math.radians(new.angle) / 2), abs=1e-5)
    for name in set(old.names) - {"dart"}:
        assert sewn(line, name) == pytest.approx(sewn(old, name), abs=1e-6), name
    assert abs(sheet(line.path).area - sheet(old.path).area) <= 1e-3 * INVARIANT * 1e4


def test_the_pieces_have_the_numbers_of_the_papers():
    """The data themselves: appendix A1 and A3."""
    for name, length in LENGTHS.items():
        assert sewn(legs_to_apex().outline(""), name) == pytest.approx(length, abs=0.001), name
    plain, short = legs(legs_to_apex().outline("")), legs(standoff().outline(""))
    assert (plain.angle, plain.intake, *plain.lengths) == pytest.approx(
        (9.0, 23.892, 152.258, 152.258), abs=GIVEN
    )
    assert short.point == pytest.approx((119.454, 270.194), abs=GIVEN)
    assert (short.angle, *short.lengths) == pytest.approx((10.765, 127.350, 127.350), abs=GIVEN)
    assert fan(APEX, (130.0, 22.5), D1).is_valid
