"""Pieces that follow others: made anew after every change of their parents, and what is told of them."""

import numpy as np
import pytest

from sewkit.checks.followers import follow_up, follower_findings
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.geometry.transform import turn
from sewkit.operation import Outcome, find
from sewkit.operations.facing import facing
from sewkit.operations.sides import sides
from sewkit.operations.unfold import unfold
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.derived_place import moved_piece
from sewkit.pattern.follow_text import Follow, parse_follow, write_follow
from sewkit.pattern.mark import LABEL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef
from sewkit.pattern.walking import drawn_in, walk_seam
from sewkit.report import Level, Report
from tests.operations.pieces import named, named_outline, notch

# A hollow back: 12 mm folded out of the centre back.
HOLLOW = {"edge": "centre-back", "hinge": "side", "at": "250mm", "amount": -12.0}
WAISTCOAT, BODICE = "samples/waistcoat/master.svg", "samples/bodice/master.svg"


def front(neck=60.0, high=300.0, **more):
    """A front with a straight, slanting neck that falls by ``neck`` over 80 mm."""
    spots = [(0, neck), (80, 0), (200, 0), (200, high), (0, high)]
    return named(Path.through(spots, closed=True), "neck shoulder side hem centre", "front", **more)


def faced(**more):
    return facing(Pattern((front(**more),)), edges="neck", width=40.0).pattern


def shaped(pattern, piece):
    """The pattern with a piece as an operation would leave it, and what is done afterwards."""
    after = pattern.with_piece(piece)
    return follow_up(pattern, Outcome(after, Report()))


def two_sizes(file):
    """A sample with two of its sizes, which are enough for a nest."""
    pattern = open_drawing(file)[0].pattern
    keep = {"3", "5", "A", "C", ""}
    pieces = [
        piece._replace(
            outlines=tuple(o for o in piece.outlines if o.size in keep),
            marks=tuple(mark for mark in piece.marks if mark.size in keep),
        )
        for piece in pattern.pieces
    ]
    return pattern._replace(pieces=tuple(pieces))


def walks(pattern, name):
    """All seams of a piece walked in all sizes: the differences."""
    found = []
    for seam in pattern.seams:
        for size in pattern.sizes or [""]:
            if seam.touches(name) and drawn_in(pattern, seam, size) and size in pattern.piece(name).sizes:
                found.append(walk_seam(pattern, seam, size).outside)
    return found


# -- made anew --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("file", "edges", "name", "values", "changed"),
    [
        (WAISTCOAT, "front/neck front/front-edge", "blend", {"first": "3", "then": "5"}, "blend"),
        (WAISTCOAT, "front/front-edge", "lengthen", {"amount": 20.0, "at": "chest/waist"}, "front-edge"),
        (BODICE, "front/neck", "dart-turn", {"dart": "bust-dart", "to": "neck"}, ""),
        (BODICE, "back/centre-back", "wedge", HOLLOW, "centre-back"),
    ],
)
def test_after_any_change_the_facing_fits_its_parent(file, edges, name, values, changed):
    pattern = facing(two_sizes(file), edges=edges, called="band").pattern
    values = dict(values, edge="side", until="waist") if name == "blend" else values
    after = find(name).function(pattern, **values).pattern
    was, now = pattern.piece("band"), after.piece("band")
    assert now != was and now.key == was.key
    assert walks(after, "band") == pytest.approx([0.0] * len(walks(after, "band")), abs=0.05)
    assert follower_findings(after, after.sizes) == []
    if name == "blend":
        assert set(after.sizes) == set(now.sizes) != set(was.sizes)
    elif changed:
        size = now.sizes[0]
        assert abs(now.outline(size).as_sewn(changed) - was.outline(size).as_sewn(changed)) > 0.5


def test_it_stays_where_somebody_laid_it_and_keeps_what_was_put_on_it():
    """Turned by 30 degrees about a corner; that corner does not move when the hem of the parent does."""
    pattern = faced(marks=(notch("neck", 30.0),))
    made = pattern.piece("front-neck-facing")
    corner = made.outlines[0].runs("shoulder")[0].end
    lying = moved_piece(made, turn(30.0, corner))._replace(cloth="net", key="g1")
    lying = lying._replace(
        marks=(*lying.marks, Mark(LABEL, "", "", Path.through([corner, corner]), text="A"))
    )
    outcome = shaped(pattern.with_piece(lying), front(70.0, marks=(notch("neck", 35.0),)))
    now = outcome.pattern.piece(made.name)
    # The shoulder is where it was; its direction is 30 degrees from the sheet.
    run = now.outlines[0].runs("shoulder")[0]
    assert np.degrees(np.arctan2(*(run.end - run.start)[::-1])) == pytest.approx(30.0, abs=1e-6)
    assert run.start == pytest.approx(lying.outlines[0].runs("shoulder")[0].start, abs=1e-6)
    assert now.outlines[0].as_sewn("neck") == pytest.approx(np.hypot(80, 70), abs=1e-6)
    assert (now.cloth, now.key) == ("net", "g1")
    assert [mark.text for mark in now.marks if mark.kind == LABEL] == ["A"]
    assert [mark.on.distance for mark in now.marks if mark.on is not None] == [35.0]
    told = [finding for finding in outcome.report.findings if finding.code == "follower-anew"]
    # hypot(80, 60) = 100 and hypot(80, 70) = 106.3
    assert len(told) == 1 and "neck 100.0 to 106.3 mm" in told[0].text and told[0].level == Level.INFO


def test_seams_are_walked_again_once_it_is_made_anew():
    """What the operation said of them before is gone."""
    pattern = facing(Pattern((front(),)), edges="centre", width=40.0).pattern
    report = find("wedge").function(pattern, edge="centre", hinge="side", at="50%", amount=-10.0).report
    assert report.worst < Level.FAIL
    rows = [
        row
        for table in report.tables
        for row in table.rows
        if row[0].startswith("front-centre-facing/centre")
    ]
    assert len(rows) == 1 and rows[0][4] == "0.0"


def test_a_lining_follows_its_facing():
    pattern = facing(faced(), kind="lining", edges="front").pattern
    after = shaped(pattern, front(75.0)).pattern
    both = [after.piece(n).outlines[0].as_sewn("facing-edge") for n in ("front-lining", "front-neck-facing")]
    assert both[0] == pytest.approx(both[1], abs=0.01)


def test_a_band_follows_its_edges():
    pattern = facing(Pattern((front(),)), kind="band", edges="hem").pattern
    wider = named(
        Path.through([(0, 60), (80, 0), (230, 0), (230, 300), (0, 300)], closed=True),
        "neck shoulder side hem centre",
    )
    after = shaped(pattern, wider).pattern
    assert after.piece("band").outlines[0].as_sewn("band-edge") == pytest.approx(230.0)


def test_one_drawn_by_hand_is_left_alone():
    """No bond, no work: the facing of the sample follows nothing."""
    pattern = open_drawing(WAISTCOAT)[0].pattern
    values = {"edge": "front-edge", "hinge": "side", "at": "30%", "amount": -5.0}
    outcome = find("wedge").function(pattern, Chosen((PickedOutline("front", "3"),)), **values)
    assert outcome.pattern.piece("front") != pattern.piece("front")
    assert outcome.pattern.piece("front-facing") == pattern.piece("front-facing")


def test_nothing_is_done_where_only_the_follower_was_changed():
    """Somebody wants it wider: that is no fault of the parent."""
    pattern = faced()
    made = pattern.piece("front-neck-facing")
    after = shaped(pattern, made._replace(cloth="net"))
    assert after.pattern.piece(made.name).cloth == "net"
    assert "follower-anew" not in [finding.code for finding in after.report.findings]


def why(outcome):
    told = [f.text for f in outcome.report.findings if f.code == "follower-anew"]
    return [text.partition("because ")[2].partition(" changed")[0] for text in told]


def test_it_is_told_as_made_anew_only_where_it_differs_and_with_what_changed():
    """A neck of 80 by 60 mm; the shoulder is 120 mm long, the facing takes some 40 mm of it."""
    here = (notch("neck", 35.0), notch("side", 100.0))
    pattern = faced(marks=here)
    longer = front(high=330.0, marks=(here[0], notch("side", 130.0)))
    assert why(shaped(pattern, longer)) == []
    assert why(shaped(pattern, front(marks=(notch("neck", 45.0), here[1])))) == ["the notches of front"]
    assert why(shaped(pattern, front(75.0, marks=here))) == ["front/neck"]
    spots = [(0, 60), (80, 0), (200, 12), (200, 300), (0, 300)]
    sloped = named(Path.through(spots, closed=True), "neck shoulder side hem centre", "front", marks=here)
    # The neck is as it was; the end of the facing turns with the shoulder.
    assert why(shaped(pattern, sloped)) == ["front"]


def test_the_line_about_seams_that_kept_their_length_names_whose_they_are():
    """Two sizes: the hem of both goes down, the facing of the neck is made anew for its shoulder."""

    def nest(slope):
        path = Path.through([(0, 60), (80, 0), (200, slope), (200, 300 + slope), (0, 300)], closed=True)
        names = "neck shoulder side hem centre"
        return named(path, names)._replace(
            outlines=tuple(named_outline(path, names, size) for size in ("1", "2"))
        )

    pattern = facing(Pattern((nest(0.0),)), edges="neck", width=40.0).pattern
    titles = [table.title for table in shaped(pattern, nest(12.0)).report.tables]
    assert titles == ["Seams of front-neck-facing: in sizes 1 and 2 none changed by more than 0.05 mm"]


# -- parents that have other names, or are gone -----------------------------------------------


def test_a_parent_with_a_new_name_is_known_again():
    pattern = faced()
    pattern = pattern.with_piece(pattern.piece("front")._replace(key="g0"))
    renamed = pattern.piece("front")._replace(name="left-front")
    edges = tuple(e._replace(name="collar") if e.name == "neck" else e for e in renamed.outlines[0].edges)
    renamed = renamed._replace(outlines=(renamed.outlines[0]._replace(edges=edges),))
    after = pattern._replace(pieces=(renamed, *pattern.pieces[1:]))
    outcome = follow_up(pattern, Outcome(after, Report()))
    assert outcome.pattern.pieces[1].follows == "facing left-front/collar width=40"


def test_a_parent_that_is_gone_is_told_and_the_facing_stays():
    pattern = faced()
    after = pattern._replace(pieces=pattern.pieces[1:], seams=())
    outcome = follow_up(pattern, Outcome(after, Report()))
    assert outcome.pattern.pieces == pattern.pieces[1:]
    for findings in (outcome.report.findings, follower_findings(after, [""])):
        (finding,) = [one for one in findings if one.code == "follower-parent"]
        assert finding.level == Level.FAIL and "front" in finding.text and finding.cure


def test_where_there_is_no_room_any_more_it_stays_and_that_is_told():
    pattern = faced()
    # 16 mm high at most: a band of 40 has no room.
    low = named(
        Path.through([(0, 14), (60, 0), (62, 0), (62, 16), (0, 16)], closed=True),
        "neck shoulder side hem centre",
    )
    outcome = shaped(pattern, low)
    assert outcome.pattern.piece("front-neck-facing") == pattern.piece("front-neck-facing")
    assert "follower-parent" in [finding.code for finding in outcome.report.findings]


# -- the check --------------------------------------------------------------------------------


@pytest.mark.parametrize(("lower", "level"), [(0.3, None), (1.0, Level.WARN), (8.0, Level.FAIL)])
def test_a_parent_changed_by_hand_is_found(lower, level):
    """The neck is lowered at the centre: there the facing is off by nearly as much."""
    pattern = faced().with_piece(front(60.0 + lower))
    found = follower_findings(pattern, [""])
    assert [(one.code, one.level) for one in found] == ([("follower-stale", level)] if level else [])
    for one in found:
        assert one.where.startswith("front-neck-facing/") and one.point is not None and one.cure
    again = facing(pattern, action="anew").pattern
    assert follower_findings(again, [""]) == []


def test_a_facing_changed_by_hand_is_found():
    """Its outer edge was moved out by 2 mm."""
    pattern = facing(Pattern((front(),)), edges="hem", width=40.0).pattern
    made = pattern.piece("front-hem-facing")
    curves = np.array(made.outlines[0].path.curves)
    low = curves[..., 1] > curves[..., 1].min() - 1.0
    top = curves[..., 1] < curves[..., 1].min() + 1.0
    assert low.any() and top.any()
    curves[..., 1] -= 2.0 * top
    moved = made._replace(outlines=(made.outlines[0]._replace(path=Path(curves, closed=True)),))
    (finding,) = follower_findings(pattern.with_piece(moved), [""])
    assert finding.code == "follower-stale" and "2.0 mm" in finding.text


def test_no_bond_no_finding():
    assert follower_findings(open_drawing(WAISTCOAT)[0].pattern, ["3"]) == []


# -- what is remembered -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "facing front/neck+front/front-edge width=50 turn=1",
        "band front/waist,turned+back/waist width=30 doubled=1 extension=25.5",
        "lining front less=front-facing+front-armhole-facing hem=20 pleat=25 armhole=6 side=3",
    ],
)
def test_what_is_remembered_reads_back(text):
    assert write_follow(parse_follow(text)) == text


def test_what_cannot_be_read_is_told():
    for text in (
        "facing",
        "collar front/neck",
        "facing front/neck wide=3",
        "band a/b/c",
        "facing f/n width=x",
    ):
        pattern = Pattern((Piece("one", front().outlines, follows=text),))
        assert [one.code for one in follower_findings(pattern, [""])] == ["follower-parent"]
    assert Follow("band", (EdgeRef("a", "b"),)).parents == ("a",)


def test_half_of_a_facing_follows_no_longer_and_that_is_told():
    pattern = facing(Pattern((front(),)), edges="side", width=40.0).pattern
    made = pattern.piece("front-side-facing")
    half = made._replace(follows="", outlines=front(high=100.0).outlines)
    outcome = shaped(pattern, half)
    assert outcome.pattern.piece(made.name) == half
    assert [one.code for one in outcome.report.findings if one.where == made.name] == ["follower-free"]


# -- left and right -----------------------------------------------------------------------------


def test_what_follows_a_side_follows_its_own_side():
    """Facing and lining of a pair are cut out of the side of it that is drawn, and mirrored with it."""
    before = facing(two_sizes(WAISTCOAT), edges="back/neck").pattern
    before = facing(before, kind="lining", edges="back").pattern
    after = sides(before).pattern
    found = {piece.name: parse_follow(piece.follows) for piece in after.pieces if piece.follows}
    for side in ("left", "right"):
        assert found["back-neck-facing-" + side].parents == ("back-" + side,)
        assert found["back-lining-" + side].less == ("back-neck-facing-" + side,)
    assert follower_findings(after, after.sizes) == []
    again = sides(after, action="together").pattern
    assert {p.name: p.follows for p in again.pieces if p.follows} == {
        p.name: p.follows for p in before.pieces if p.follows
    }


def test_a_band_goes_all_round_once_the_front_is_opened():
    """Half a front and a back make half of it, so both backs and the whole front make twice as much."""
    before = facing(two_sizes(BODICE), kind="band", edges="front/waist back/waist", width=30.0).pattern
    after = unfold(before).pattern
    halves, whole = (p.piece("waistband").outline("A").as_sewn("band-edge") for p in (before, after))
    assert whole == pytest.approx(2.0 * halves, abs=1e-3)
    assert follower_findings(after, after.sizes) == []
    assert len(parse_follow(after.piece("waistband").follows).edges) == 3
