"""What is told in the editor: notes in the drawing, and the text of a message."""

import io

import numpy as np
import pytest
from lxml import etree

from sewkit.editor.message import message, warnings_only
from sewkit.editor.notes import LAYER_ID, put_notes
from sewkit.files.svg import open_drawing
from sewkit.files.svg_frame import to_sheet
from sewkit.report import Finding, Level, Report, Table
from tests.editor.drawings import FRAMES, PIECES, RECTANGLE, drawing

SVG = "{http://www.w3.org/2000/svg}"


def opened(text, ids=()):
    return open_drawing(io.BytesIO(text.encode("utf-8")), ids=ids)


def notes(drawn):
    return drawn.root.findall("{}g[@id='{}']".format(SVG, LAYER_ID))


def test_a_note_stands_in_a_layer_of_its_own():
    drawn, chosen = opened(drawing(), ids=["line"])
    put_notes(drawn, ["First.", "Second."], chosen)

    (layer,) = notes(drawn)
    assert [line.text for line in layer.iter(SVG + "tspan")] == ["First.", "Second."]
    assert layer.get("{http://www.inkscape.org/namespaces/inkscape}groupmode") == "layer"


def test_notes_are_replaced_and_go_away_with_the_last_finding():
    drawn, chosen = opened(drawing(), ids=["line"])
    before = drawn.as_bytes()

    put_notes(drawn, ["First."], chosen)
    put_notes(drawn, ["Second."], chosen)
    assert [line.text for line in notes(drawn)[0].iter(SVG + "tspan")] == ["Second."]
    assert len(notes(drawn)) == 1

    put_notes(drawn, [], chosen)
    assert drawn.as_bytes() == before


@pytest.mark.parametrize("frame", FRAMES)
def test_a_note_stands_below_the_line_and_is_as_large_in_every_scale(frame):
    drawn, chosen = opened(drawing(frame), ids=["line"])
    put_notes(drawn, ["A note."], chosen)

    text = notes(drawn)[0].find(SVG + "text")
    frame_of_text = to_sheet(text)
    spot = [float(text[0].get(name)) for name in ("x", "y")]
    line = chosen.picked(drawn.pattern)[0][1].path
    # Text in mm: its frame neither stretches nor turns; it starts at the line's left edge.
    np.testing.assert_allclose(frame_of_text.points(np.array([spot]))[0], spot, atol=1e-6)
    assert spot[0] == pytest.approx(line.nodes[:, 0].min(), abs=0.001)
    assert 0 < spot[1] - line.nodes[:, 1].max() < 20


def test_notes_do_not_become_lines_of_the_pattern():
    drawn, chosen = opened(drawing(content=PIECES))
    before = drawn.pattern
    put_notes(drawn, ["A note."], chosen)

    assert opened(drawn.as_bytes().decode("utf-8"))[0].pattern == before


def test_a_long_note_has_several_lines_and_stands_clear_of_the_words_of_the_drawing():
    # The letters of the drawing's own words reach from 92 to 102 mm: right below the rectangle.
    words = '<text id="words" x="45" y="102" style="font-size:10px">Waistcoat of P03</text>'
    drawn, chosen = opened(drawing(content=RECTANGLE + words), ids=["line"])
    put_notes(drawn, ["A long sentence. " * 20], chosen)

    lines = list(notes(drawn)[0].iter(SVG + "tspan"))
    assert len(lines) == 4  # 340 letters, 110 at most in a line
    assert " ".join(line.text.strip() for line in lines) == ("A long sentence. " * 20).strip()
    assert float(lines[0].get("y")) - 4 > 102
    assert {line.get("x") for line in lines} == {"40"}


REPORT = Report(
    "Three seams walked.",
    (
        Finding("a", Level.INFO, "The hem is deep.", "front/hem"),
        Finding("b", Level.FAIL, "The side is 5 mm longer.", "front/side"),
        Finding("c", Level.WARN, "front/neck is 1 mm longer.", "front/neck"),
    ),
    (Table("Lengths", ("edge", "before mm", "after"), (("side", "100", "105 mm"),)),),
)


def test_a_message_tells_the_worst_first_and_every_row_with_its_columns():
    lines = message(REPORT).split("\n")

    assert lines[0] == "Three seams walked."
    assert lines[2].startswith("STOP: The side is 5 mm longer.")
    assert lines.index("LOOK: front/neck is 1 mm longer.") < lines.index("NOTE: The hem is deep. (front/hem)")
    assert "  side: before 100 mm, after 105 mm" in lines


def test_good_findings_are_told_one_by_one_only_where_no_table_has_them():
    good = Finding("d", Level.PASS, "front/hem and back/hem are equal.", "front/hem to back/hem")

    assert "are equal" not in message(REPORT._replace(findings=(good,)))
    assert "GOOD: front/hem and back/hem are equal.\n" in message(Report("", (good,))) + "\n"


def test_a_place_that_the_sentence_says_is_not_told_again():
    trimmed = Finding(
        "e", Level.WARN, "back size 3: too tight near (126, 94) mm.", "back size 3", (126.4, 93.8)
    )

    assert message(Report("", (trimmed,))) == "LOOK: back size 3: too tight near (126, 94) mm."


def test_only_what_needs_a_look_stays_with_the_drawing():
    assert warnings_only(REPORT) == [
        "STOP: The side is 5 mm longer. (front/side)",
        "LOOK: front/neck is 1 mm longer.",
    ]


def test_notes_are_well_formed_whatever_the_sentence_holds():
    drawn, chosen = opened(drawing(), ids=["line"])
    put_notes(drawn, ["A < B & \u201cC\u201d"], chosen)

    again = etree.fromstring(drawn.as_bytes())
    assert "A < B & \u201cC\u201d" in "".join(again.itertext())
