"""What else has to be done again after a change, on pieces whose names say what they are."""

from sewkit.checks.who_follows import follow_notes
from sewkit.geometry.path import Path
from sewkit.operation import find
from sewkit.pattern.mark import BUTTON, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam
from tests.operations.pieces import named


def front(neck=60.0, high=300.0, **more):
    spots = [(0, neck), (80, 0), (200, 0), (200, high), (0, high)]
    return named(Path.through(spots, closed=True), "neck shoulder side hem front-edge", "front", **more)


def other(name, edge="inner"):
    return named(Path.through([(0, 0), (90, 0), (90, 40), (0, 40)], closed=True), edge + " a b c", name)


def notes(before, after):
    return [finding.text for finding in follow_notes(before, after)]


def test_a_neck_is_followed_by_what_is_sewn_to_it_in_the_order_of_the_work():
    """The neck of 100 mm becomes 106.3; the centre front shortens with it."""
    rest = (other("hood"), other("collar"), other("front-facing"), other("back-facing"), other("cuff"))
    before = Pattern((front(), *rest))
    after = before.with_piece(front(70.0))
    assert notes(before, after) == [
        "front/neck has changed, and has to be followed by: front-facing, collar, hood.",
        "front/front-edge has changed, and has to be followed by: front-facing, collar.",
    ]


def test_what_the_guard_has_walked_or_has_changed_or_follows_is_left_out():
    collar = other("collar", "neck")
    seam = Seam((EdgeRef("collar", "neck"),), (EdgeRef("front", "neck"),))
    before = Pattern((front(), collar, other("hood"), other("front-facing")), (seam,))
    after = before.with_piece(front(70.0)).with_piece(other("hood", "other"))
    free = after.with_piece(after.piece("front-facing")._replace(follows="facing front/neck width=50"))
    assert [text.split(":")[0] for text in notes(before, free)] == [
        "front/front-edge has changed, and has to be followed by"
    ]
    assert notes(before, before) == []


def test_buttons_follow_the_front_edge_unless_they_moved_too():
    button = Mark(BUTTON, "button", "", Path.through([(10, 90), (10, 91)]))
    moved = button._replace(path=Path.through([(10, 95), (10, 96)]))
    before = Pattern((front(marks=(button,)),))
    assert notes(before, Pattern((front(high=310.0, marks=(button,)),))) == [
        "front/front-edge has changed, and has to be followed by: the marks of the buttons."
    ]
    assert notes(before, Pattern((front(high=310.0, marks=(moved,)),))) == []


def test_an_operation_tells_it_once():
    pattern = Pattern((front(), other("front-lining"), other("front-facing")))
    values = {"edge": "front-edge", "hinge": "side", "at": "50%", "amount": -10.0}
    outcome = find("wedge").function(pattern, **values)
    told = [finding.text for finding in outcome.report.findings if finding.code == "follow"]
    assert told == ["front/front-edge has changed, and has to be followed by: front-facing."]
