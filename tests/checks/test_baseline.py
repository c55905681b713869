"""Lengths as they were: the table in the drawing, and edges that were moved by hand."""

import io

import pytest

from sewkit.checks.baseline import Before, baseline_tables, lost_findings
from sewkit.checks.moved_by_hand import edited_findings
from sewkit.checks.seams import guard
from sewkit.files.svg import open_drawing
from sewkit.pattern.baseline_text import lengths_of, read_baseline, write_baseline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from sewkit.pattern.walking import walk_seam
from sewkit.report import Level
from tests.operations.pieces import r1, r4_piece

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" width="600mm" height="600mm" '
    'viewBox="0 0 600 600"><g id="front" sewkit:piece="front" sewkit:sewn="side=back/side">'
    '<path id="f" sewkit:role="seam-line" sewkit:edges="top:200 side:300 hem:200 centre:300" '
    'd="M 20,20 H 220 V {} H 20 Z"/></g><g id="back" sewkit:piece="back">'
    '<path id="b" sewkit:role="seam-line" sewkit:edges="top:200 side:300 hem:200 centre:300" '
    'd="M 300,20 H 500 V 320 H 300 Z"/></g></svg>'
)


def drawn(bottom, svg=SVG):
    return open_drawing(io.BytesIO(svg.format(bottom).encode()))[0].pattern


def test_a_baseline_reads_back_to_the_thousandth():
    pattern = Pattern((r1(), r4_piece("back")))
    lengths = lengths_of(pattern)

    assert read_baseline(write_baseline(lengths)) == lengths
    # From the reference piece: the armhole by 64-point Gauss integration, the side with its dart closed.
    assert lengths[("front", "armhole", "")] == pytest.approx(228.174, abs=0.001)
    assert lengths[("front", "side", "")] == pytest.approx(190.515, abs=0.001)
    assert lengths[("back", "side", "6")] == pytest.approx(609.359, abs=0.001)


def test_a_table_that_somebody_spoiled_is_read_as_far_as_it_goes():
    text = "edge,1,2\nfront/side,10,x\nnonsense\n\nback/hem,nan,12.5,7\n/a,1,1"
    assert read_baseline(text) == {("front", "side", "1"): 10.0, ("back", "hem", "2"): 12.5}
    assert read_baseline("") == {}


@pytest.mark.parametrize(("bottom", "count"), [(320, 0), (320.04, 0), (320.06, 2), (322, 2), (318, 2)])
def test_an_edge_moved_by_hand_is_told_with_its_mm(bottom, count):
    """The hem line moves down: side and centre grow by as much; below 0.05 mm nothing is told."""
    found = edited_findings(drawn(bottom), ("",))
    assert len(found) == count
    for one, edge in zip(found, ("side", "centre")):
        assert one.code == "edge-edited" and one.level is Level.WARN and "'{}'".format(edge) in one.text
        assert "{:.2f} mm {}".format(abs(bottom - 320), "longer" if bottom > 320 else "shorter") in one.text
    if found:
        assert "back/side" in found[0].cure and found[0].point == pytest.approx((220, (20 + bottom) / 2))


def test_what_is_written_anew_is_no_hand_edit():
    drawing, _ = open_drawing(io.BytesIO(SVG.format(322).encode()))
    piece = drawing.pattern.piece("front")
    outline = piece.outlines[0]
    longer = outline._replace(path=type(outline.path)(outline.path.curves * 1.5, True))
    changed = drawing.pattern.with_piece(piece.with_outline(longer))
    assert edited_findings(changed, ("",)) == []  # an operation has moved it since

    drawing.put(changed)
    assert drawing.pattern.edited == ()


def test_a_piece_scaled_by_hand_is_told_once():
    (one,) = edited_findings(drawn(320, SVG.replace('id="f"', 'id="f" transform="scale(1.05)"')), ("",))
    assert (one.code, one.level) == ("scaled", Level.FAIL) and "1.050 times" in one.text


def words(pattern, seam="side=back/side"):
    (one,) = parse_seams(seam, "front")
    return Before(pattern).words(walk_seam(pattern, one, ""), "")


def test_how_a_seam_was_before():
    """By the baseline first; without one, by the lengths that stand beside the names."""
    assert words(drawn(322)) == "They were equal before an edge was moved by hand."
    assert words(drawn(320)) == ""

    kept = write_baseline(lengths_of(drawn(321.2)))
    assert words(drawn(322)._replace(baseline=kept)) == "They were 1.2 mm apart before you began."
    assert words(drawn(321.2)._replace(baseline=kept)) == "It was so before you began."
    assert words(drawn(322)._replace(baseline=write_baseline(lengths_of(drawn(320))))).startswith(
        "They were equal"
    )


def test_edges_that_changed_since_the_baseline_are_listed():
    was = drawn(320)
    now = drawn(322)._replace(baseline=write_baseline(lengths_of(was)))
    (table,) = baseline_tables(now, ("",))
    assert [row[0] for row in table.rows] == ["front/side", "front/centre"]
    assert table.rows[0][2:] == ("300.00", "302.00", "+2.00")
    assert baseline_tables(was._replace(baseline=now.baseline), ("",)) == ()


def test_a_nest_has_one_row_an_edge():
    piece = r4_piece("front")
    kept = lengths_of(Pattern((piece,)))
    kept = {key: length - 1.0 if key[1] == "side" else length for key, length in kept.items()}
    (table,) = baseline_tables(Pattern((piece,), baseline=write_baseline(kept)), ("4", "6"))
    assert table.rows == (("front/side", "sizes 4 and 6", "608.36", "609.36", "+1.00"),)


def test_pieces_that_went_are_told():
    kept = write_baseline(lengths_of(Pattern((r1(), r4_piece("back")))))
    (one,) = lost_findings(Pattern((r1(),), baseline=kept))
    assert one.level is Level.INFO and "back" in one.text


def test_an_operation_says_how_a_seam_was_only_where_lengths_were_kept():
    """A side of 300 mm to one of 300, made 310: then equal, now 10 mm apart."""
    before = drawn(320)
    moved = drawn(330).piece("front")
    for kept, told in (("", False), (write_baseline(lengths_of(before)), True)):
        past = before._replace(baseline=kept)
        report = guard(past, past.with_piece(moved), [("", "")], ["front"])
        texts = [finding.text for finding in report.findings if finding.code == "seam"]
        assert len(texts) == 1
        assert ("They were equal before you began." in texts[0]) is told
