"""Showing, hiding and checking names."""

import io
import pathlib

import pytest

from sewkit.geometry.path import Path
from sewkit.operations.names import names
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import OVERLAY
from sewkit.pattern.outline import Edge
from sewkit.pattern.pattern import Pattern, Problem
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.pieces import R1, bare_piece, named, named_outline, notch, r1, r4_path, r4_piece

MASTER = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "waistcoat" / "master.svg"

BARE = (
    '<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg"'
    ' xmlns:sewkit="urn:sewkit:1" width="400mm" height="400mm" viewBox="0 0 400 400">'
    '\n  <path id="line" d="M 20,20 H 120 V 170 H 20 Z"/>\n</svg>'
)


def words(outcome, piece):
    return [mark.text for mark in outcome.pattern.piece(piece).marks if mark.kind == OVERLAY and mark.text]


def problems(pattern, **values):
    return {f.code for f in names(pattern, action="check", **values).report.findings}


def test_every_edge_shows_its_name_length_role_and_partner():
    pattern = Pattern(
        (r1(folds=("centre",)), named(R1, "a b side d e f g h i", "back")),
        parse_seams("side=back/side", "front"),
    )
    shown = words(names(pattern), "front")

    assert "neck 119.0" in shown
    assert any(text.startswith("centre ") and text.endswith(", fold") for text in shown)
    assert any(text.startswith("side ") and text.endswith("to back/side") for text in shown)
    assert [text for text in shown if text.isdigit()] == [str(n) for n in range(1, 10)]


def test_corners_are_counted_as_the_naming_counts_them():
    """An edge that begins without a corner takes no number."""
    path = r4_path(180, 236, 240)
    made = named_outline(path, "waist side hem centre")
    side = made.edge("side")
    divided = (
        made.edges[0],
        side._replace(stop=side.stop - 1),
        Edge("low-side", side.stop - 1, side.stop, True),
    )
    piece = named(path, "waist side hem centre")._replace(
        outlines=(made._replace(edges=divided + made.edges[2:]),)
    )

    assert [t for t in words(names(Pattern((piece,))), "front") if t.isdigit()] == ["1", "2", "3", "4"]


def test_of_a_nest_the_last_size_is_shown_or_the_picked_one():
    pattern = Pattern((r4_piece("front"),))

    last, picked = names(pattern), names(pattern, Chosen((PickedOutline("front", "4"),)))

    assert {m.size for m in last.pattern.piece("front").marks if m.kind == OVERLAY} == {"6"}
    assert {m.size for m in picked.pattern.piece("front").marks if m.kind == OVERLAY} == {"4"}


def test_showing_twice_shows_once_and_hiding_takes_all_away():
    pattern = Pattern((r4_piece("front"),))
    once = names(pattern)

    assert names(once.pattern).pattern == once.pattern
    assert names(once.pattern, action="hide").pattern == pattern


def test_checking_changes_nothing():
    pattern = Pattern((r1(),))

    assert names(pattern, action="check").pattern is pattern


def bytes_after(source, **steps):
    """The drawing's bytes after showing and hiding, each time read back from what was written."""
    svg = pytest.importorskip("sewkit.files.svg")
    data, seen = source, []
    for action in ("show", "hide"):
        drawing, chosen = svg.open_drawing(io.BytesIO(data), **steps)
        drawing.put(names(drawing.pattern, chosen, action=action).pattern)
        data = drawing.as_bytes()
        seen.append(data)
    return seen


@pytest.mark.parametrize("kind", ["named", "bare"])
def test_shown_and_hidden_the_drawing_is_as_before(kind):
    svg = pytest.importorskip("sewkit.files.svg")
    source = MASTER.read_bytes() if kind == "named" else BARE.encode()
    steps = {} if kind == "named" else {"ids": ["line"]}
    untouched = svg.open_drawing(io.BytesIO(source))[0].as_bytes()

    shown, hidden = bytes_after(source, **steps)

    assert shown != untouched
    assert hidden == untouched


# -- the check ----------------------------------------------------------------------------


def test_a_sound_pattern_has_nothing_to_look_at():
    outcome = names(
        Pattern((r4_piece("front"), r4_piece("back")), parse_seams("side=back/side", "front")), action="check"
    )

    assert outcome.report.worst <= Level.INFO
    assert outcome.report.summary == "All names hold."


@pytest.mark.parametrize(
    ("pattern", "code"),
    [
        (Pattern((r1(folds=("center",)),)), "no-edge"),
        (Pattern((r1(hems=("hem",)),)), "no-edge"),
        (Pattern((r1(allowance={"": 10.0, "hem": 40.0}),)), "no-edge"),
        (Pattern((r1(),), parse_seams("side=back/side", "front")), "no-piece"),
        (
            Pattern((r1(), named(R1, "a b c d e f g h i", "back")), parse_seams("side=back/side", "front")),
            "no-edge",
        ),
        (Pattern((r1(marks=(notch("neck", 500.0),)),)), "notch-off"),
        (Pattern((r1(marks=(notch("neck", 5.0)._replace(on=None),)),)), "notch-lost"),
        (Pattern((r1()._replace(outlines=()),)), "no-outline"),
        (
            Pattern(
                (r1()._replace(outlines=(r1().outlines[0], named_outline(R1, "a b c d e f g h i", "2"))),)
            ),
            "edges-differ",
        ),
        (Pattern((named(R1, "1 2 3 4 5 6 7 8 9"),)), "edges-unnamed"),
        (Pattern((bare_piece(R1),)), "unnamed"),
        (Pattern((r1(),), problems=(Problem("front", "A corner was added.", "corners"),)), "corners"),
    ],
)
def test_what_does_not_hold_is_found(pattern, code):
    assert code in problems(pattern)


def test_names_count_how_many_are_to_be_looked_at():
    outcome = names(Pattern((r1(folds=("a", "b")),)), action="check")

    assert outcome.report.summary == "2 names to be looked at."


def test_closed_lines_without_names_are_numbered_and_nothing_is_said_to_hold():
    pocket = bare_piece(Path.through([(0, 0), (30, 0)]), "pocket")
    outcome = names(Pattern((bare_piece(R1, "line"), pocket)))

    assert [text.split()[0] for text in words(outcome, "line") if " " in text] == [
        str(n) for n in range(1, 10)
    ]
    assert words(outcome, "pocket") == []
    assert outcome.report.summary.startswith("Nothing is named yet.")
