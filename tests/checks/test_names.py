"""What the check of names finds: one deliberate fault at a time."""

import pytest

from sewkit.checks.names import name_findings
from sewkit.files.svg import Drawing
from sewkit.geometry.path import Path
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Level
from tests.files.sheets import BACK, EDGES, front, root_of

GRAIN = '<path sewkit:role="grain" d="M 60,40 V 140"/>'
NOTCH = '<path sewkit:role="notch" sewkit:size="3" sewkit:at="{}" d="M120 60H125"/>'
SECOND = (
    '<path id="front-4" sewkit:role="seam-line" sewkit:size="{}" sewkit:edges="{}" '
    'd="M 20,10 H 125 V 175 H 0 Z"/>'
)


def codes(content, least=Level.WARN):
    found = name_findings(Drawing(root_of(content).getroottree()).pattern)
    return [(finding.code, finding.level) for finding in found if finding.level >= least]


def test_whole_names_have_nothing_to_tell():
    more = GRAIN + NOTCH.format("side+40") + SECOND.format("4", EDGES)
    back = BACK.replace('sewkit:size="3" ', "")  # drawn once, for both sizes
    whole = front(group='sewkit:hems="hem" sewkit:sewn="side=back/side"', more=more) + back

    assert codes(whole) == []
    assert codes(whole, Level.INFO) == [("no-grain", Level.INFO)]  # the back has none


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (front(d="M 20,20 H 120 V 170 L 60,200 L 0,170 Z"), "corners"),
        (front(more=SECOND.format("3", EDGES)), "size-twice"),
        (front() + front().replace('id="front', 'id="copy'), "piece-twice"),
        (front(d="M 0,150 V 0 H 100 V 150 Z", edges="waist:100 side:150 hem:100 centre:150"), "order"),
        (front(group='sewkit:sewn="side=back/"'), "seam"),
        (front(group='sewkit:allowance="wide"'), "unit"),
        (front(group='sewkit:allowance="side=-5"'), "value"),
        (front(group='sewkit:cut="two"'), "value"),
        (front(group='sewkit:corners="side/hem=odd"'), "corner"),
        (front().replace('piece="front"', 'piece="front piece"'), "name"),
        (front(d="M 20,20 H 120 V 170 H 0 Z M 0,0 H 5"), "compound"),
        (front(d="M 20,20 H 120 V"), "path-data"),
        (front(more='<path id="n" sewkit:role="notch" sewkit:count="x" d="M0 0H9"/>'), "value"),
    ],
)
def test_a_piece_that_cannot_be_read_is_red(content, code):
    assert codes(content) == [(code, Level.FAIL)]


@pytest.mark.parametrize(
    ("content", "code", "level"),
    [
        (front(d="M 20,20 H 120 V 170 H 0"), "open", Level.FAIL),
        (front(more=SECOND.format("4", "waist side low centre")), "edges-differ", Level.FAIL),
        (front(group='sewkit:hems="low"'), "no-edge", Level.FAIL),
        (front(group='sewkit:allowance="10 low=5"'), "no-edge", Level.FAIL),
        (front(group='sewkit:corners="side/low=square"'), "no-edge", Level.FAIL),
        (front(group='sewkit:sewn="side=sleeve/cap"'), "no-piece", Level.FAIL),
        (front(group='sewkit:sewn="side=back/cap"') + BACK, "no-edge", Level.FAIL),
        (front(edges="1 2 3 4"), "edges-unnamed", Level.WARN),
        (front(more=NOTCH.format("side+151")), "notch-off", Level.WARN),
        (front(more=NOTCH.format("pocket+5")), "notch-off", Level.WARN),
        (front(more=NOTCH.format("side")), "notch-lost", Level.WARN),
        ('<g sewkit:piece="front"/>', "no-outline", Level.FAIL),
    ],
)
def test_a_name_that_does_not_fit_is_told(content, code, level):
    # An open outline has its two ends and so one run less: it needs other names.
    if code == "open":
        content = content.replace(EDGES, "waist side hem")
    assert codes(content) == [(code, level)]


def test_what_was_put_right_is_a_note():
    reversed_d = "M 20,20 L 0,170 H 120 V 20 Z"

    assert codes(front(d=reversed_d, more=GRAIN), Level.INFO) == [("healed", Level.INFO)]


def test_a_partner_that_cannot_be_read_is_told_once():
    content = front(group='sewkit:sewn="side=back/side"') + BACK.replace("H 400 V 170 H 300", "H 400 V 170")

    assert codes(content) == [("corners", Level.FAIL)]


TWO_SIZES = front(group='sewkit:sewn="side=back/side"', more=SECOND.format("4", EDGES))


def test_pieces_sewn_together_must_be_drawn_in_the_same_sizes():
    assert codes(TWO_SIZES + BACK) == [("size-missing", Level.FAIL)]
    assert codes(TWO_SIZES + BACK.replace('sewkit:size="3" ', "")) == []  # drawn once for all sizes


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ('<path id="p" d="M 20,20 H 120 V 170 H 0 Z"/>', [("nameless", Level.WARN)]),
        ('<path id="p" d="M 5,5 H 9 M 20,20 H 120 V 170 Z"/>', [("nameless", Level.WARN)]),
        ('<rect id="p" width="20" height="30"/>', [("nameless", Level.WARN)]),
        ('<path id="p" d="M 20,20 H 120 V 170"/>', []),
        ('<path id="p" style="display:none" d="M 20,20 H 120 V 170 Z"/>', []),
        ('<path id="p" sewkit:role="overlay" d="M 20,20 H 120 V 170 Z"/>', []),
        ('<path id="p" d="M 20,20 H 120 V"/>', []),
        (
            '<path id="p" d="M 20,20 H 90 V 9 Z"/><path sewkit:role="cut-line" sewkit:of="p" d="M0 0H9V9Z"/>',
            [],
        ),
    ],
)
def test_a_closed_line_without_a_name_in_a_piece_is_to_be_looked_at(line, expected):
    assert codes(front(more=line)) == expected


def test_a_line_without_a_name_does_not_keep_the_piece_from_being_read():
    drawing = Drawing(root_of(front(more='<path id="p" d="M 20,20 H 120 V 170 Z"/>')).getroottree())

    assert drawing.choose(pieces=["front"]).pieces(drawing.pattern)[0].sizes == ("3",)
    assert "'front' holds a closed line without a name: 'p'" in drawing.pattern.problems[0].text


def test_who_has_only_numbers_is_told_how_to_name_them():
    path = Path.through([(0, 0), (300, 0), (300, 600), (0, 600)], closed=True)
    piece = Piece("front", (bare_outline(path, ""),))

    (finding,) = [one for one in name_findings(Pattern((piece,))) if one.code == "edges-unnamed"]

    assert "sewkit names --action show" in finding.cure
    assert "sewkit name --piece front --edges '4 names in the order of the numbers'" in finding.cure
