"""Walking seams: lengths by Shapely's ruler and by hand, and the sentence for everything else."""

import math

import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.walk import walk
from sewkit.pattern.chosen import Chosen, PickedNode, PickedOutline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.pieces import R1, bare_piece, dense, named, named_outline, notch, outline, r1

shapely = pytest.importorskip("shapely")


def two(a, b, nodes=()):
    chosen = Chosen(
        (PickedOutline("first", ""), PickedOutline("second", "")),
        tuple(PickedNode(name, "", tuple(map(float, spot))) for name, spot in nodes),
    )
    return Pattern((bare_piece(a, "first"), bare_piece(b, "second"))), chosen


def lengths(outcome):
    rows = outcome.report.tables[0].rows
    return [float(row[1]) for row in rows]


def length(path):
    return shapely.LineString(dense(path, 2000)).length


CURVE = Path([[(0, 0), (30, 40), (70, 40), (100, 0)]])
LINE = Path.through([(0, 50), (60, 130)])  # 60, 80: 100 mm by Pythagoras


def test_two_bare_lines_are_measured_and_compared():
    outcome = walk(*two(CURVE, LINE))

    first, second, difference = lengths(outcome)
    assert first == pytest.approx(length(CURVE), abs=0.006)
    assert second == pytest.approx(100.0, abs=0.006)
    assert difference == pytest.approx(first - second, abs=0.011)
    assert "first is" in outcome.report.summary and "longer than second" in outcome.report.summary


@pytest.mark.parametrize(
    ("more", "level"),
    # 0.5 mm is good, 3 mm (1/8 in) usable, more is a reason to stop (Threads no. 200).
    [(0.0, Level.PASS), (0.49, Level.PASS), (0.51, Level.WARN), (2.99, Level.WARN), (3.01, Level.FAIL)],
)
def test_the_lights_change_where_the_trade_says(more, level):
    a, b = (Path.through([(0, 0), (200 + extra, 0)]) for extra in (more, 0.0))

    assert walk(*two(a, b)).report.findings[0].level == level
    assert walk(*two(b, a)).report.findings[0].level == level


def test_two_nodes_on_each_line_compare_the_part_between():
    a = Path.through([(0, 0), (40, 0), (100, 0), (170, 0)])
    b = Path.through([(0, 10), (55, 10), (200, 10)])

    outcome = walk(
        *two(a, b, [("first", (40, 0)), ("first", (100, 0)), ("second", (55, 10)), ("second", (0, 10))])
    )

    assert lengths(outcome) == [60.0, 55.0, 5.0]


def test_on_a_closed_line_an_edge_is_measured_in_either_order_of_clicks():
    square = Path.through([(0, 0), (100, 0), (100, 50), (0, 50)], closed=True)
    ends = ("first", (0, 0)), ("first", (100, 0))

    for clicks in (ends, ends[::-1]):
        assert lengths(walk(*two(square, LINE, list(clicks))))[0] == 100.0


def test_where_corners_lie_on_both_sides_the_clicks_say_which_way_round():
    # by hand: from (0, 0) over (100, 0) to (100, 30) 130 mm, and back over the rest 170 mm
    outline = Path.through([(0, 0), (100, 0), (100, 30), (100, 50), (0, 50)], closed=True)
    a, b = ("first", (0, 0)), ("first", (100, 30))

    assert lengths(walk(*two(outline, LINE, [a, b])))[0] == 130.0
    assert lengths(walk(*two(outline, LINE, [b, a])))[0] == 170.0


@pytest.mark.parametrize("count", [1, 3])
def test_one_or_three_lines_are_told(count):
    names = ["first", "second", "third"]
    pattern = Pattern(tuple(bare_piece(LINE, name) for name in names))
    chosen = Chosen(tuple(PickedOutline(name, "") for name in names[:count]))

    with pytest.raises(InputError, match=r"one is selected|three are selected"):
        walk(pattern, chosen)


@pytest.mark.parametrize("nodes", [[("first", (0, 50))], [("first", (0, 50))] * 2])
def test_one_node_or_twice_the_same_is_told(nodes):
    with pytest.raises(InputError, match=r"nodes? (is|are) selected|are the same"):
        walk(*two(LINE, CURVE, nodes))


def test_two_sizes_of_one_piece_are_told_apart():
    sizes = tuple(
        named_outline(
            Path.through([(0, 0), (100 + s, 0), (100 + s, 50), (0, 50)], closed=True), "a b c d", str(s)
        )
        for s in (1, 2)
    )
    pattern = Pattern((Piece("front", sizes),))

    outcome = walk(pattern, Chosen((PickedOutline("front", "1"), PickedOutline("front", "2"))))

    assert "front 2 is 2.0 mm longer than front 1" in outcome.report.summary


def test_without_pairs_and_without_lines_there_is_nothing_to_walk():
    with pytest.raises(InputError, match="no seam to walk"):
        walk(Pattern((r1(),)))


# -- named seams --------------------------------------------------------------------------


def back():
    """A back whose side is 190.515 mm, as long as R1's with its dart closed."""
    path = outline((0, 20), (192, 48), (245, 230), (245, 230 + 190.515), (0, 420.515), (0, 20))
    return named(path, "top armhole side waist centre", "back")


def test_darts_are_closed_before_an_edge_is_measured():
    """R1: side seam 190.515 with the dart closed, though 214 mm are drawn from end to end."""
    pattern = Pattern((r1(), back()), parse_seams("side=back/side", "front"))
    outcome = walk(pattern)

    assert [f.level for f in outcome.report.findings] == [Level.PASS]
    row = outcome.report.tables[0].rows[0]
    assert float(row[1]) == pytest.approx(190.515, abs=0.06)
    assert row[3] == "0.0"


def test_several_edges_meet_one():
    """Neck of front and back against a collar of 280 mm: 119.033 + 200 - 280."""
    neck = named(Path.through([(0, 0), (200, 0), (200, 60), (0, 60)], closed=True), "neck a b c", "back")
    collar = named(Path.through([(0, 0), (280, 0), (280, 40), (0, 40)], closed=True), "neck d e f", "collar")
    pattern = Pattern((r1(), neck, collar), parse_seams("neck+back/neck=collar/neck", "front"))

    finding = walk(pattern).report.findings[0]

    assert finding.level == Level.FAIL
    assert "{:.1f} mm longer".format(119.033 + 200 - 280) in finding.text


def test_meant_ease_is_allowed_for():
    def eased(text, extra):
        a = named(Path.through([(0, 0), (100 + extra, 0), (100, 50)], closed=True), "x y z", "front")
        b = named(Path.through([(0, 0), (100, 0), (100, 50)], closed=True), "x y z", "back")
        return walk(Pattern((a, b), parse_seams("x=back/x,ease=" + text, "front"))).report.findings[0].level

    assert eased("0..6", 5.0) == Level.PASS
    assert eased("0..6", 6.9) == Level.WARN  # up to 1 mm beyond what is meant
    assert eased("0..6", 7.1) == Level.FAIL
    assert eased("2..6", -0.5) == Level.FAIL  # negative ease cannot be eased in


def test_notches_that_miss_are_told_with_their_sections():
    a = named(
        Path.through([(0, 0), (200, 0), (200, 50)], closed=True),
        "x y z",
        "front",
        marks=(notch("x", 80.0, name="1"),),
    )
    b = named(
        Path.through([(0, 0), (200, 0), (200, 50)], closed=True),
        "x y z",
        "back",
        marks=(notch("x", 82.5, name="1"),),
    )
    outcome = walk(Pattern((a, b), parse_seams("x=back/x", "front")))

    assert outcome.report.findings[0].level == Level.FAIL  # more than 2 mm
    assert "notches miss by 2.5 mm" in outcome.report.findings[0].text
    assert [row[1:] for row in outcome.report.tables[1].rows] == [
        ("start to notch 1", "80.0", "82.5", "-2.5"),
        ("notch 1 to end", "120.0", "117.5", "+2.5"),
    ]


def sized(name, extra):
    outlines = tuple(
        named_outline(
            Path.through([(0, 0), (100 + n + extra * n, 0), (100, 50)], closed=True), "x y z", str(n)
        )
        for n in (1, 2)
    )
    return Piece(name, outlines)


def test_every_size_is_walked_or_the_one_that_is_named():
    pattern = Pattern((sized("front", 0.0), sized("back", 4.0)), parse_seams("x=back/x", "front"))

    both, one = walk(pattern), walk(pattern, size_walked="1")

    assert both.report.summary.startswith("2 seams walked")
    assert one.report.summary.startswith("1 seam walked")
    picked = walk(pattern, Chosen((PickedOutline("front", "2"), PickedOutline("back", "2"))))
    assert [f.text for f in picked.report.findings] == [
        f.text for f in walk(pattern, size_walked="2").report.findings
    ]


def test_a_piece_drawn_once_goes_with_every_size():
    single = named(Path.through([(0, 0), (101, 0), (100, 50)], closed=True), "x y z", "pocket")
    pattern = Pattern((sized("front", 0.0), single), parse_seams("x=pocket/x", "front"))

    outcome = walk(pattern)

    assert outcome.report.summary == "2 seams walked: 1 good, 1 to look at, 0 to stop for."
    assert not any(f.code == "seam-missing" for f in outcome.report.findings)


def test_a_size_that_is_not_there_is_told():
    pattern = Pattern((sized("front", 0.0), sized("back", 0.0)), parse_seams("x=back/x", "front"))

    with pytest.raises(InputError, match=r"no size '9'.*1, 2"):
        walk(pattern, size_walked="9")


def test_a_seam_whose_edge_is_gone_is_told_and_the_others_are_walked():
    pattern = Pattern((r1(), back()), parse_seams("side=back/side waist=back/hem", "front"))

    outcome = walk(pattern)

    assert outcome.report.summary == (
        "1 seam walked, 1 could not be walked: 1 good, 0 to look at, 1 to stop for."
    )
    (missing,) = (f for f in outcome.report.findings if f.code == "seam-missing")
    assert missing.level == Level.FAIL and "no edge called 'hem'" in missing.text


def test_a_size_that_one_side_lacks_is_a_reason_to_stop():
    back = sized("back", 0.0)
    pattern = Pattern(
        (sized("front", 0.0), back._replace(outlines=back.outlines[:1])), parse_seams("x=back/x", "front")
    )

    report = walk(pattern).report

    assert report.summary.startswith("1 seam walked, 1 could not be walked")
    assert report.worst == Level.FAIL
    assert any(f.text.startswith("Size 2: ") and "'back' has no size '2'" in f.text for f in report.findings)


def test_a_seam_is_walked_only_in_sizes_in_which_it_is_drawn():
    """A band for the larger size only: nothing is missing in the smaller one."""
    bands = [
        piece._replace(outlines=piece.outlines[1:]) for piece in (sized("band", 0.0), sized("loop", 0.0))
    ]
    pattern = Pattern((sized("front", 0.0), *bands), parse_seams("x=loop/x", "band"))

    assert walk(pattern).report.summary == "1 seam walked: 1 good, 0 to look at, 0 to stop for."


def test_whole_outlines_are_measured_but_are_no_seam():
    """Two rectangles, 300 and 340 mm round: a note, whatever their difference."""
    first, second = (
        Path.through([(0, 0), (100, 0), (100, high), (0, high)], closed=True) for high in (50, 70)
    )

    outcome = walk(*two(first, second))

    assert lengths(outcome) == [300.0, 340.0, -40.0]
    assert outcome.report.worst == Level.INFO
    assert "second is 40.0 mm longer than first" in outcome.report.summary
    assert "select two nodes on each" in outcome.report.summary
    nodes = [("first", (0, 0)), ("first", (100, 0)), ("second", (100, 0)), ("second", (100, 70))]
    assert walk(*two(first, second, nodes)).report.worst == Level.FAIL


def test_walking_changes_nothing():
    pattern = Pattern((r1(), back()), parse_seams("side=back/side", "front"))

    assert walk(pattern).pattern is pattern
    assert math.isclose(r1().outlines[0].as_sewn("neck"), 119.033, abs_tol=0.02)
    assert len(R1) == 9
