"""The finished garment: the sample waistcoat's promise, panels worked by hand, who counts and who not."""

import numpy as np
import pytest

from samples import make_bodice, waistcoat_draft
from sewkit.body.body import Body
from sewkit.body.size_chart import SizeChart
from sewkit.checks.counted import counting, level_key
from sewkit.checks.ease_words import (
    asked_ease,
    ease_report,
    ease_rows,
    ease_sentence,
    fitted_report,
    opening_report,
)
from sewkit.checks.finished import finished, lengths
from sewkit.checks.finished_words import finished_report
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.geometry.transform import mirror
from sewkit.pattern.mark import DART, INNER, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.pieces import level, named, r1

# The waistcoat's chart in cm, typed here once more: the body of each size.
CHEST = dict(zip("12345678", (88, 92, 96, 100, 104, 108, 114, 120)))
WAIST = dict(zip("12345678", (74, 78, 82, 86, 90, 95, 102, 109)))

# A panel 200 wide at the top and 300 at the foot, 400 high: 200 + y / 4 at the height y.
PANEL = Path.through([(0, 0), (200, 0), (300, 400), (0, 400)], closed=True)
EDGES = "waist side hem centre"


@pytest.fixture(scope="module")
def waistcoat():
    return open_drawing("samples/waistcoat/master.svg")[0].pattern


@pytest.fixture(scope="module")
def bodice():
    return open_drawing("samples/bodice/master.svg")[0].pattern


def panel(name, *marks, path=PANEL, edges=EDGES, **more):
    return named(path, edges, name, marks=marks, **more)


def two(*front, **more):
    """A front and its mirrored back, sewn side to side; both cut twice."""
    back = panel("back", path=mirror((0, 0), (0, 1)).path(PANEL), cut=2)
    back = more.pop("back", back)
    seams = parse_seams("side=back/side", "front")
    return Pattern((panel("front", *front, cut=2, **more), back), seams)


def by_level(pattern, size="", **more):
    return {row.level: row for row in finished(pattern, size, **more)}


# -- the sample's promise ----------------------------------------------------------------


@pytest.mark.parametrize("size", CHEST)
def test_the_waistcoat_is_as_wide_as_it_promises_in_every_size(waistcoat, size):
    rows = by_level(waistcoat, size)
    assert rows["chest"].girth == pytest.approx(10 * CHEST[size] + 100, abs=0.01)
    assert rows["waist"].girth == pytest.approx(10 * WAIST[size] + 80, abs=0.01)
    # Half a quarter each; the front has 10 mm of the back's.  Both halves lap over by 20 mm.
    halves = {part.width.piece: part.width.width for part in rows["chest"].parts}
    quarter = (10 * CHEST[size] + 100) / 4
    assert halves == {
        "front": pytest.approx(quarter + 10, abs=0.01),
        "back": pytest.approx(quarter - 10, abs=0.01),
    }
    assert rows["chest"].beyond == pytest.approx(40, abs=1e-6)


def test_the_facing_has_a_waist_and_does_not_count(waistcoat):
    row = by_level(waistcoat, "3")["waist"]
    assert row.left_out == {"front-facing": "a facing"}
    assert [(part.width.piece, part.times) for part in row.parts] == [("back", 2), ("front", 2)]


def test_a_facing_by_another_name_is_known_by_the_corner_it_is_sewn_round(waistcoat):
    names = {"front-facing": "inside"}
    pieces = tuple(p._replace(name=names.get(p.name, p.name)) for p in waistcoat.pieces)
    seams = parse_seams("neck=front/neck front-edge=front/front-edge", "inside")
    seams += parse_seams("side,turned=back/side", "front")

    who = counting(Pattern(pieces, seams), "3")

    assert who.names == ("back", "front") and who.left_out == {"inside": "it is sewn on to front"}


def test_the_lengths_of_the_waistcoat_are_those_of_its_draft(waistcoat):
    found = {(one.name, one.piece): one.length for one in lengths(waistcoat, "4")}
    draft = waistcoat_draft.draft(waistcoat_draft.Body("4", 1000, 860, 1020, 445))
    back = draft["back"]
    assert found["centre back", "back"] == pytest.approx(
        waistcoat_draft.length(back.edge("centre-back")), abs=0.01
    )
    # Below the waist the centre back is straight for 108 mm; above it hardly longer than 445.
    to_waist = found["centre back to the waist", "back"]
    assert to_waist == pytest.approx(found["centre back", "back"] - 108, abs=0.01)
    assert found["front edge", "front"] == pytest.approx(425, abs=0.01)
    assert not any(piece == "front-facing" for _, piece in found)


@pytest.mark.parametrize("size", "ABC")
def test_the_bodice_is_measured_along_its_waist_with_the_darts_taken_off(bodice, size):
    row = by_level(bodice, size)["waist"]
    front, back = (dict(make(size).edges)["waist"] for make in (make_bodice.front, make_bodice.back))
    straight = [np.hypot(*(edge[-1, 3] - edge[0, 0])) for edge in (front, back)]
    assert row.girth == pytest.approx(2 * (straight[0] - 24) + 2 * (straight[1] - 26), abs=0.01)
    assert row.taken == pytest.approx(100, abs=0.01)
    assert {(p.width.piece, p.width.on_fold) for p in row.parts} == {("front", True), ("back", False)}
    sides = {one.piece: one.length for one in lengths(bodice, size) if one.name == "side"}
    assert sides == {"front": pytest.approx(190, abs=0.01), "back": pytest.approx(190, abs=0.01)}


@pytest.mark.parametrize("number, size", list(enumerate("ABC")))
def test_the_bodice_s_bust_is_carried_to_the_back_over_the_side(bodice, number, size):
    # By the draft: the front's underarm at (246 + 10 g, 226 + 4 g), its side going in 14 on 190,
    # the bust 36 lower; the back's underarm at 240 + 10 g, its side going in 20 on 190.
    along = 36 / 190 * np.hypot(14, 190)
    front = 246 + 10 * number - 14 * 36 / 190
    back = 240 + 10 * number - along * 20 / np.hypot(20, 190)
    row = by_level(bodice, size)["bust"]
    assert row.girth == pytest.approx(2 * (front + back), abs=0.01)
    assert row.taken == 0  # all darts end short of it


# -- who counts, and how often -------------------------------------------------------------


@pytest.mark.parametrize(
    "name, why",
    [
        ("front-lining", "a lining"),
        ("Facings", "a facing"),
        ("pocket-bag", "a pocket"),
        ("waistband", "a waistband"),
        ("side-front", ""),
        ("back-yoke", ""),
        ("sleeve-2", "a sleeve"),
    ],
)
def test_what_lies_on_another_piece_is_left_out_by_its_name(name, why):
    pattern = Pattern((panel("back", level("hip", 200)), panel(name, level("hip", 200))))
    row = by_level(pattern)["hip"]
    assert row.left_out.get(name, "") == why
    assert row.girth == pytest.approx(250 * (1 if why else 2), abs=1e-9)


def test_a_side_panel_sewn_along_two_edges_in_a_row_is_no_facing():
    # A princess seam in two parts: both pieces bend out at the apex, by 8 degrees, and fit together.
    side = Path.through([(0, 0), (150, 0), (150, 400), (0, 400), (-28, 200)], closed=True)
    front = Path.through([(0, 0), (250, 0), (278, 200), (250, 400), (0, 400)], closed=True)
    pieces = (
        named(front, "top upper lower hem centre", "front", marks=(level("hip", 300),), cut=2),
        named(side, "top side hem lower upper", "side-front", marks=(level("hip", 300),), cut=2),
    )
    pattern = Pattern(pieces, parse_seams("upper=front/upper,turned lower=front/lower,turned", "side-front"))
    assert counting(pattern, "").names == ("front", "side-front")


@pytest.mark.parametrize("cut, folds, times", [(1, (), 1), (2, (), 2), (1, ("centre",), 2), (6, (), 6)])
def test_a_piece_counts_as_often_as_it_is_cut_and_on_the_fold_twice(cut, folds, times):
    piece = panel("back", level("hip", 200), cut=cut, folds=folds)
    row = by_level(Pattern((piece,)))["hip"]
    assert row.girth == pytest.approx(times * 250, abs=1e-9)
    assert row.maybe_half == (times == 1)


def test_who_counts_can_be_said():
    pattern = Pattern((panel("back", level("hip", 200), cut=2), panel("panel-lining", level("hip", 200))))
    row = by_level(pattern, said={"back": 0.0, "panel-lining": 3.0})["hip"]
    assert [(p.width.piece, p.times) for p in row.parts] == [("back", 2.0), ("panel-lining", 3.0)]


def test_at_an_arm_or_a_leg_the_girth_is_that_of_one():
    sleeve = panel("sleeve", level("biceps", 200), level("chest", 100), cut=2)
    row = by_level(Pattern((sleeve,)))["biceps"]
    assert row.limb and row.girth == pytest.approx(250, abs=1e-9)
    half = panel("sleeve", level("biceps", 200), cut=2, folds=("centre",))
    assert by_level(Pattern((half,)))["biceps"].girth == pytest.approx(500, abs=1e-9)


# -- levels ------------------------------------------------------------------------------


def test_a_piece_without_the_level_is_measured_where_its_neighbours_meets_the_seam():
    row = by_level(two(level("hip", 200)))["hip"]
    # The back is the front's mirror image: on both the side is crossed at half its length.
    assert row.girth == pytest.approx(4 * 250, abs=1e-6)
    assert [part.width.way for part in row.parts] == ["level", "seam"]
    assert not row.missing


@pytest.mark.parametrize("cut_in", [True, False])
def test_a_dart_in_the_side_is_closed_before_the_level_is_carried_over_it(cut_in):
    # A straight side of 424 mm with a dart of 24, from 100 to 124: at 224 it is sewn to 200.
    corners = [(0, 0), (300, 0), (300, 100), (200, 112), (300, 124), (300, 424), (0, 424)]
    if cut_in:
        path, edges = Path.through(corners, closed=True), "waist side dart dart side hem centre"
        marks = (level("hip", 224),)
    else:
        path, edges = Path.through(corners[:2] + corners[5:], closed=True), EDGES
        marks = (level("hip", 224), Mark(DART, "dart", "", Path.through(corners[2:5])))
    front = named(path, edges, "front", marks=marks, cut=2, darts=("dart",) if cut_in else ())
    # The back narrows by 1 in 4 down to the same length: at the height y it is 300 - y / 4 wide.
    down = 400 / np.hypot(1, 4)
    corners = [(0, 0), (300, 0), (300 - down, 4 * down), (0, 4 * down)]
    back = named(Path.through(corners, closed=True), EDGES, "back", cut=2)

    row = by_level(Pattern((front, back), parse_seams("side=back/side", "front")))["hip"]

    assert row.parts[1].width.width == pytest.approx(300 - 200 / np.hypot(1, 4), abs=1e-6)
    assert row.girth == pytest.approx(2 * 300 + 2 * (300 - 200 / np.hypot(1, 4)), abs=1e-6)


def test_a_level_that_runs_into_a_dart_is_carried_from_where_it_comes_out_at_the_side():
    # R1's upper side turned down by the dart's 9 degrees about its point, and cut by the level.
    cos, sin = np.cos(np.radians(9)), np.sin(np.radians(9))
    x, y = 250.0 - 95.0, 230.0 - 265.0
    underarm = np.array([95 + cos * x - sin * y, 265 + sin * x + cos * y])
    leg = np.array([240.994, 308.222])
    down = np.hypot(*(leg - underarm)) * (290 - underarm[1]) / (leg - underarm)[1]
    long = 190.515 / np.hypot(1, 4)
    corners = [(0, 0), (300, 0), (300 - long, 4 * long), (0, 4 * long)]
    back = named(Path.through(corners, closed=True), EDGES, "back", cut=2)

    pattern = Pattern((r1(marks=(level("bust", 290),)), back), parse_seams("side=back/side", "front"))
    row = by_level(pattern)["bust"]

    assert not row.missing
    assert row.parts[1].width.width == pytest.approx(300 - down / np.hypot(1, 4), abs=0.01)


def test_a_level_keeps_to_its_mark_and_not_to_the_height_on_the_paper():
    back = panel("back", level("hip", 120), cut=2)
    row = by_level(two(level("hip", 200), back=back))["hip"]
    assert row.girth == pytest.approx(2 * 250 + 2 * 230, abs=1e-9)


def test_a_neighbour_that_is_not_drawn_in_the_size_is_missing_and_told():
    pattern = two(level("hip", 200))
    front, back = pattern.pieces
    front = front._replace(outlines=(front.outlines[0]._replace(size="P03"),))
    back = back._replace(outlines=(back.outlines[0]._replace(size="3"), back.outlines[0]._replace(size="4")))
    row = by_level(pattern._replace(pieces=(front, back)), "P03")["hip"]
    assert row.missing == {"back": "it is not drawn in size P03"}
    told = finished_report([row])
    assert told.worst == Level.WARN and "is not in the sum" in told.findings[1].text


def test_chest_and_bust_are_one_level_and_hip_and_seat():
    assert level_key("bust") == level_key("Chest-line") == level_key("full bust")
    assert level_key("seat") == level_key("hips line") == level_key("hip")
    assert level_key("waistline") == "waist" != level_key("high hip")
    back = panel("back", level("bust", 200), cut=2)
    row = by_level(two(level("chest", 200), back=back))
    assert list(row)[0] == "chest" and row["chest"].girth == pytest.approx(1000, abs=1e-9)


def test_the_sweep_of_the_hem_runs_along_the_hems_whatever_they_are_called():
    edges = "waist side bottom centre"
    front = panel("front", edges=edges, hems=("bottom",), cut=2)
    row = by_level(Pattern((front, panel("sleeve", cut=2))))["hem"]
    assert row.girth == pytest.approx(600, abs=1e-9)
    lap = Mark(INNER, "centre-front", "", Path.through([(25, 0), (25, 400)]))
    row = by_level(Pattern((panel("front", lap, edges=edges, hems=("bottom",), cut=2),)))["hem"]
    assert row.girth == pytest.approx(550, abs=1e-9)


def test_the_neck_runs_along_its_edges_as_sewn(waistcoat):
    row = by_level(waistcoat, "4")["neck"]
    draft = waistcoat_draft.draft(waistcoat_draft.Body("4", 1000, 860, 1020, 445))
    front, back = (waistcoat_draft.length(draft[name].edge("neck")) for name in ("front", "back"))
    assert sum(part.times * part.width.across for part in row.parts) == pytest.approx(
        2 * (front + back), abs=0.01
    )
    # Of the V what lies beyond the centre front laps over: more than its 20 mm across.
    assert 2 * 20 < row.beyond < 2 * 60 and "front-facing" in row.left_out


def test_a_level_that_nobody_has_is_told_with_those_there_are():
    with pytest.raises(InputError, match=r"no-such.*There are: hip"):
        finished(two(level("hip", 200)), "", ["no-such"])
    assert [row.level for row in finished(two(level("hip", 200)), "", ["hips"])] == ["hip"]


def test_the_report_says_who_counted_and_what_was_off():
    aslant = level("hip", 0)._replace(path=Path.through([(0, 190), (200, 210)]))
    front = panel("front", aslant, cut=2)
    report = finished_report(finished(Pattern((front, panel("lining", level("hip", 200)))), ""))
    texts = [finding.text for finding in report.findings]
    assert texts[0] == "hip: counted front twice; not counted lining (a lining)."
    assert any("5.7 degrees off" in text for text in texts)
    assert report.tables[0].rows[0] == ("hip", "2 x 250.0 front", "0.0", "0.0", "500.0")


# -- ease --------------------------------------------------------------------------------

# People of a wardrobe: chest and waist (cm), their size at each, and the ease worked by hand from
# finished chest = chest + 10 and finished waist = waist + 8.
PEOPLE = [
    ("P01", 88, 74, "1", 10, "1", 8),
    ("P02", 93, 79, "2", 9, "2", 7),
    ("P03", 96, 90, "3", 10, "5", 8),
    ("P04", 101, 84, "4", 9, "4", 10),
    ("P06", 118, 102, "8", 12, "7", 8),
    ("P07", 99, 88, "4", 11, "5", 10),
    ("P11", 106, 88, "6", 12, "5", 10),
]


@pytest.mark.parametrize("who, chest, waist, upper, chest_ease, lower, waist_ease", PEOPLE)
def test_the_ease_is_the_garment_less_the_body(
    waistcoat, who, chest, waist, upper, chest_ease, lower, waist_ease
):
    body = Body(who, {"chest": 10.0 * chest, "waist": 10.0 * waist})
    asked = {"chest": 100.0, "waist": 80.0}
    for size, name, ease in ((upper, "chest", chest_ease), (lower, "waist", waist_ease)):
        (row,) = ease_rows(finished(waistcoat, size, [name]), body, asked)
        assert row.got == pytest.approx(10 * ease, abs=0.01)
        assert (row.asked, row.light) == (asked[name], Level.PASS)


def test_too_little_ease_is_red_and_says_what_wearing_needs(waistcoat):
    rows = ease_rows(finished(waistcoat, "3", ["chest", "waist"]), Body("", {"chest": 1050, "waist": 880}))
    # 106 over 105 and 90 over 88 cm.
    assert [row.light for row in rows] == [Level.FAIL, Level.PASS]
    assert "leaves 1.0 cm of ease" in ease_sentence(rows[0]) and "wearing needs" in ease_sentence(rows[0])
    assert ease_report(rows).tables[0].rows[0][:4] == ("chest", "3", "105.0", "106.0")


def test_cloth_that_gives_needs_no_wearing_ease_but_must_reach_round(waistcoat):
    rows = finished(waistcoat, "3", ["chest"])  # 1060 mm, to 1166 mm with a tenth of stretch
    for body, light in ((1165.0, Level.PASS), (1167.0, Level.FAIL)):
        assert ease_rows(rows, Body("", {"chest": body}), stretch=0.1)[0].light == light


def test_a_body_measured_by_the_other_name_is_found_and_what_was_not_measured_left_out(bodice):
    rows = finished(bodice, "B")
    found = ease_rows(rows, Body("", {"full bust": 850.0}))
    assert [row.level for row in found] == ["bust"] and found[0].body == 850.0


def test_the_ease_asked_is_the_charts_for_its_sizes_and_what_all_have_for_others():
    chart = SizeChart(
        ("1", "2"),
        {"chest": (880.0, 920.0), "waist": (740.0, 780.0), "hip": (900.0, 940.0)},
        {"chest": (980.0, 1020.0), "hip": (940.0, 1000.0)},
        ease={"waist": 80.0},
    )
    assert asked_ease(chart, "2") == {"chest": 100.0, "waist": 80.0, "hip": 60.0}
    assert asked_ease(chart, "P03") == {"chest": 100.0, "waist": 80.0}


def test_all_of_one_size_is_one_report(waistcoat):
    chart = SizeChart(("3",), {"chest": (960.0,)}, ease={"chest": 100.0})
    report = fitted_report(waistcoat, "3", Body("P03", {"chest": 960.0, "waist": 820.0}), chart)
    assert [table.title for table in report.tables] == [
        "Finished girths of size 3, mm",
        "Lengths of size 3, mm",
        "Ease",
    ]
    assert [row[4:6] for row in report.tables[2].rows] == [("10.0", "10.0"), ("-", "8.0")]
    assert report.worst == Level.INFO


# -- openings ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "opening, stretch, passes", [(979, 0, False), (980, 0, True), (890, 0.1, False), (891, 0.1, True)]
)
def test_an_opening_passes_the_largest_girth_it_meets(opening, stretch, passes):
    body = Body("", {"waist": 800.0, "hip": 980.0, "high hip": 900.0})
    (told,) = opening_report({"waist": opening}, body, stretch).findings
    assert told.level == (Level.PASS if passes else Level.FAIL)
    # 98 / 1.1 = 89.09
    assert told.text.endswith("it must open to {} cm at least.".format("89.1" if stretch else "98.0"))
    assert "hip of 98.0 cm" in told.text


def test_openings_meet_head_hand_and_heel_and_what_was_not_measured_is_asked_for():
    body = Body("", {"head": 570.0, "hand": 240.0, "waist": 700.0})
    told = opening_report({"neck": 580.0, "wrist": 230.0, "waist": 900.0, "ankle": 300.0}, body).findings
    levels = [finding.level for finding in told]
    assert levels == [Level.PASS, Level.FAIL, Level.WARN, Level.WARN]
    assert "measure the heel" in told[3].text and "hip" in told[2].text
