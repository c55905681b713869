"""What counts as a dart and what is told of it, judged from the papers.

R1 in all its forms has the dart of appendix A1: 9 degrees, 23.892 mm wide, legs of 152.258 mm.
NIMI: legs of one dart are equal, two small darts set better than a large one; Threads 181: the
point stays off the apex.
"""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.darts import darts as show_darts
from sewkit.pattern.chosen import PickedNode
from sewkit.pattern.mark import DART, DRILL, GRAIN, LEVEL, NOTCH, OVERLAY, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.piece import CutLine
from sewkit.report import Level
from tests.operations.dart_pieces import (
    APEX,
    D1,
    D2,
    FRAMES,
    LENGTHS,
    SIZES,
    alone,
    apart,
    apex_mark,
    curved_side,
    drawn,
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
    standoff,
    star,
)
from tests.operations.length_pieces import TABLE, bare_with, codes, grain_line, one, outline, picked
from tests.operations.pieces import R1, bare, bare_piece, moved, named


def rows(outcome):
    """The table of darts: {(piece, dart, size): (degrees, intake, legs)}."""
    found = {}
    for table in outcome.report.tables:
        at = {
            name: table.columns.index(name)
            for name in ("piece", "dart", "size", "degrees", "intake mm", "legs mm")
        }
        for row in table.rows:
            lengths = tuple(float(n) for n in row[at["legs mm"]].split("/"))
            key = tuple(row[at[n]] for n in ("piece", "dart", "size"))
            found[key] = (float(row[at["degrees"]]), float(row[at["intake mm"]]), lengths)
    return found


def checked(piece):
    return show_darts(alone(piece), action="check")


def dart_codes(piece):
    return sorted(codes(checked(piece)))


# -- reading -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize(
    "form",
    [
        legs_to_apex,
        curved_side,
        drawn,
        lambda: drawn("centre"),
        lambda: drawn("two"),
        lambda: drawn(peak=(246.5, 297.0)),
        lambda: reversed_piece(legs_to_apex()),
    ],
)
def test_r1s_dart_is_read_in_every_form(form, frame):
    found = rows(show_darts(moved(alone(form()), FRAMES[frame]), action="check"))

    assert list(found) == [("front", "dart", "")]
    degrees, intake, lengths = found["front", "dart", ""]
    assert (degrees, intake, *lengths) == pytest.approx((9.0, 23.892, 152.258, 152.258), abs=TABLE)


def test_a_dart_that_ends_short_of_the_apex():
    """A3: 127.350 and 10.765 degrees."""
    degrees, intake, lengths = rows(checked(standoff()))["front", "dart", ""]

    assert (degrees, intake, *lengths) == pytest.approx((10.765, 23.892, 127.350, 127.350), abs=TABLE)


def test_every_size_and_every_dart():
    found = rows(show_darts(alone(nest()), action="check"))
    assert {size: found["front", "dart", size][1] for size in SIZES} == {
        size: pytest.approx(23.892 * factor, abs=TABLE) for size, factor in SIZES.items()
    }
    skirt = rows(checked(skirt_front()))
    assert skirt["skirt", "front-dart", ""][0] == pytest.approx(2 * math.degrees(math.atan(0.1)), abs=TABLE)
    assert skirt["skirt", "side-dart", ""][0] == pytest.approx(2 * math.degrees(math.atan(8 / 90)), abs=TABLE)


def notched(mouth, depth, shift=0.0):
    """A bare square of 400 mm with one V cut into its upper edge."""
    half = mouth / 2
    return outline(
        (0, 0), (200 - half, 0), (200 + shift, depth), (200 + half, 0), (400, 0), (400, 400), (0, 400)
    )


@pytest.mark.parametrize(
    ("mouth", "depth", "shift", "dart"),
    [
        (20.0, 100.0, 0.0, True),
        (2.5, 60.0, 0.0, False),  # a snip
        (3.5, 60.0, 0.0, True),
        (140.0, 120.0, 0.0, True),
        (160.0, 120.0, 0.0, False),  # wider than 150: a neckline
        (20.0, 9.0, 0.0, False),  # legs of 13.5 mm
        (100.0, 30.0, 0.0, False),  # 118 degrees
        (20.0, 100.0, 20.0, True),  # legs of 104.4 and 100.5
        (40.0, 100.0, 60.0, False),  # legs of 128.1 and 107.7
    ],
)
def test_what_counts_as_a_dart_on_a_line_nobody_named(mouth, depth, shift, dart):
    """Common practice, no source: 3 to 150 mm wide, legs from 15 mm, 2 to 90 degrees, nearly equal."""
    found = rows(show_darts(bare(notched(mouth, depth, shift), "shape"), action="check"))

    assert bool(found) == dart
    if dart:
        assert found["shape", "dart-1", ""][1] == pytest.approx(mouth, abs=TABLE)


def test_a_corner_that_stands_out_is_no_dart():
    """The same V, outwards: a point of a collar."""
    shape = outline((0, 0), (190, 0), (200, -100), (210, 0), (400, 0), (400, 400), (0, 400))

    assert not rows(show_darts(bare(shape, "shape"), action="check"))


def test_a_neckline_of_named_edges_is_no_dart():
    shape = outline((0, 0), (150, 0), (200, 90), (250, 0), (400, 0), (400, 400), (0, 400))
    piece = named(shape, "left neck-left neck-right right side hem centre", "front")

    assert not rows(checked(piece))


def test_numbers_count_in_path_order():
    shape = outline(
        (0, 0), (90, 0), (100, 80), (110, 0), (290, 0), (300, 90), (312, 0), (400, 0), (400, 400), (0, 400)
    )
    found = rows(show_darts(bare(shape, "shape"), action="check"))

    assert found["shape", "dart-1", ""][1] == pytest.approx(20.0) and found["shape", "dart-2", ""][
        1
    ] == pytest.approx(22.0)


# -- cutting in --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "piece",
    [drawn(), drawn("centre"), drawn("two"), drawn(peak=(246.5, 297.0))],
    ids="legs centre two cap".split(),
)
def test_cut_in_a_drawn_dart_gives_r1(piece):
    outcome = show_darts(alone(piece), action="cut")
    after = outcome.pattern.piece("front")
    line = after.outline("")

    assert far_apart(line.path, R1) <= 1e-9
    assert after.darts == ("dart",) and not [m for m in after.marks if m.kind == DART]
    for name, length in LENGTHS.items():
        assert sewn(line, name) == pytest.approx(length, abs=0.001), name


def test_notches_marks_and_grain_stay_where_they_lie():
    piece = drawn(marks=own_marks())
    after = show_darts(alone(piece), action="cut").pattern.piece("front")

    for kind, name in ((DRILL, "pocket"), (DRILL, "apex"), (GRAIN, ""), (LEVEL, "bust")):
        assert one(after, kind, name) == one(piece, kind, name)
    for name in "123":
        was = spot_of(piece.outline(""), one(piece, NOTCH, name).on).point
        assert spot_of(after.outline(""), one(after, NOTCH, name).on).point == pytest.approx(
            tuple(was), abs=1e-6
        )


@pytest.mark.parametrize("beyond", [10.0, -1.5])
def test_legs_that_begin_on_the_cut_line_end_on_the_seam_line(beyond):
    """Drawn 10 mm too far out or 1.5 mm too short: the same dart."""
    ends = []
    for foot in (D1, D2):
        way = np.subtract(foot, APEX)
        ends.append(tuple(foot + way / np.hypot(*way) * beyond))
    piece = drawn()
    v = Mark(DART, "dart", "", Path.through([ends[0], APEX, ends[1]]))
    piece = piece._replace(
        marks=(v, *piece.marks[1:]),
        cut_lines=(
            CutLine("", Path.through(list(sheet(R1).buffer(10.0).exterior.coords)[:-1], closed=True)),
        ),
        allowance={"": 10.0},
    )
    line = show_darts(alone(piece), action="cut").pattern.piece("front").outline("")

    assert legs(line).angle == pytest.approx(9.0, abs=TABLE)
    assert apart(sheet(line.path), sheet(R1)) <= 0.05


def test_legs_that_end_far_inside_are_no_dart_of_this_edge():
    v = Mark(DART, "dart", "", Path.through([(220.0, 285.0), APEX, (215.0, 300.0)]))
    piece = drawn()._replace(marks=(v, grain_line(60.0, 100.0, 400.0)))
    with pytest.raises(InputError) as told:
        show_darts(alone(piece), action="cut")

    assert "dart" in str(told.value) and "mm" in str(told.value)


def test_two_drawn_legs_over_a_bare_outline():
    pattern, chosen = bare_with(drawn().outline("").path, [D1, APEX], [D2, APEX])
    outcome = show_darts(pattern, chosen, action="cut")
    piece = outcome.pattern.piece("shape")

    assert far_apart(piece.outlines[0].path, R1) <= 1e-9
    assert not piece.darts and all(name.isdecimal() for name in piece.outlines[0].names)


def test_one_v_over_a_bare_outline():
    pattern, chosen = bare_with(drawn().outline("").path, [D1, APEX, D2])
    piece = show_darts(pattern, chosen, action="cut").pattern.piece("shape")

    assert far_apart(piece.outlines[0].path, R1) <= 1e-9


def test_a_dart_with_two_points_stays_drawn():
    mark = Mark(
        DART, "waist-dart", "", Path.through([(100, 60), (91, 150), (100, 260), (109, 150)], closed=True)
    )
    piece = named(
        outline((0, 0), (200, 0), (200, 400), (0, 400)), "top side hem centre", "panel", marks=(mark,)
    )
    outcome = show_darts(alone(piece), action="cut")

    assert outcome.pattern == alone(piece)


# -- names and writing -------------------------------------------------------------------------------


def test_a_name_by_number_and_by_three_nodes():
    by_number = show_darts(alone(skirt_front()), action="name", dart="2", called="hip-dart").pattern.piece(
        "skirt"
    )
    nodes = tuple(PickedNode("skirt", "", spot) for spot in ((158.0, 90.0), (166.0, 0.0), (150.0, 0.0)))
    chosen = picked(("skirt", ""))._replace(nodes=nodes)
    by_nodes = show_darts(alone(skirt_front()), chosen, action="name", called="hip-dart").pattern.piece(
        "skirt"
    )

    for piece in (by_number, by_nodes):
        assert set(piece.darts) == {"front-dart", "hip-dart"}
        assert legs(piece.outline(""), "hip-dart").intake == pytest.approx(16.0)
        assert piece.outline("").path == skirt_front().outline("").path


def test_writing_comes_and_goes():
    shown = show_darts(alone(legs_to_apex()))
    texts = [m.text for m in shown.pattern.piece("front").marks if m.kind == OVERLAY and m.text]

    assert len(texts) == 1 and "dart" in texts[0] and "9.0" in texts[0] and "23.9" in texts[0]
    assert shown.pattern.piece("front").outlines == legs_to_apex().outlines
    assert show_darts(shown.pattern, action="hide").pattern == alone(legs_to_apex())


# -- what is told ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("degrees", "told"), [(24.5, False), (25.5, True)])
def test_more_than_25_degrees(degrees, told):
    piece = star(degrees, marks=())

    assert ("dart-wide" in dart_codes(piece)) == told


@pytest.mark.parametrize(("longer", "told"), [(1.9, False), (2.1, True), (-2.1, True)])
def test_legs_that_differ_by_more_than_2_mm(longer, told):
    assert ("legs" in dart_codes(legs_by(second=longer))) == told


@pytest.mark.parametrize(("away", "told"), [(9.5, True), (10.5, False), (25.0, False)])
def test_a_point_nearer_than_10_mm_to_the_apex(away, told):
    assert ("dart-point" in dart_codes(standoff(away))) == told


@pytest.mark.parametrize(("depth", "told"), [(391.0, True), (389.0, False)])
def test_a_point_nearer_than_10_mm_to_an_edge(depth, told):
    piece = bare_piece(notched(20.0, depth), "shape")

    assert ("dart-point" in dart_codes(piece)) == told


def crossing(name="side-dart"):
    """Two drawn darts from two edges whose legs cross in the middle of the piece."""
    path = outline((0, 0), (200, 0), (200, 300), (0, 300))
    one_dart = Mark(DART, "waist-dart", "", Path.through([(90, 0), (100, 150), (110, 0)]))
    other = Mark(DART, name, "", Path.through([(200, 90), (60, 100), (200, 110)]))
    return named(path, "waist side hem centre", "panel", marks=(one_dart, other))


def test_darts_that_cross_each_other():
    outcome = checked(crossing())

    assert [f.level for f in outcome.report.findings if f.code == "darts-cross"] == [Level.FAIL]
    assert "darts-cross" not in dart_codes(skirt_front())


def test_a_sound_front_has_nothing_to_look_at():
    for piece in (standoff(), skirt_front(), curved_side()._replace(marks=()), legs_to_apex(marks=())):
        assert not checked(piece).report.findings


def test_a_point_in_the_apex_is_told():
    """Its legs drawn to the apex: as a rule it ends 20 to 25 mm before it."""
    assert "dart-point" in dart_codes(legs_to_apex(marks=(apex_mark(),)))


# -- errors ------------------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    return refusal(show_darts, pattern, chosen, **values)[1]


def test_names_that_are_taken_or_missing():
    assert "front-dart" in refused(alone(skirt_front()), action="name", dart="2", called="front-dart")
    assert "waist" in refused(alone(skirt_front()), action="name", dart="2", called="waist")
    refused(alone(skirt_front()), action="name", dart="2")
    text = refused(alone(skirt_front()), action="name", called="hip-dart")
    assert "front-dart" in text and "side-dart" in text


def test_three_nodes_that_are_no_dart():
    nodes = tuple(PickedNode("front", "", spot) for spot in ((0.0, 80.0), (70.0, 0.0), (190.0, 45.0)))
    refused(
        alone(legs_to_apex()), picked(("front", ""))._replace(nodes=nodes), action="name", called="x-dart"
    )
