"""The drawing keeps to which side the darts of a piece are pressed."""

import io

import pytest

from sewkit.checks.names import name_findings
from sewkit.files.svg import Drawing, open_drawing
from tests.files.sheets import front, opened, root_of

DARTED = front(
    d="M 20,20 H 64 L 70,90 76,20 H 120 V 170 H 0 Z",
    edges="waist waist-dart waist-dart waist side hem centre",
    group='sewkit:darts="waist-dart" {}',
)


def test_it_is_written_and_read_back_and_goes_when_it_is_empty():
    drawing, _ = opened(DARTED.format(""))
    piece = drawing.pattern.piece("front")
    drawing.put(drawing.pattern.with_piece(piece._replace(pressed={"waist-dart": "centre"})))
    assert b'sewkit:pressed="waist-dart=centre"' in drawing.as_bytes()
    kept, _ = open_drawing(io.BytesIO(drawing.as_bytes()))
    assert kept.pattern.piece("front").pressed == {"waist-dart": "centre"}

    kept.put(kept.pattern.with_piece(kept.pattern.piece("front")._replace(pressed={})))
    assert b"pressed" not in kept.as_bytes()


@pytest.mark.parametrize("text", ["waist-dart", "waist-dart=left", "=up"])
def test_what_is_no_side_is_told(text):
    drawing = Drawing(root_of(DARTED.format('sewkit:pressed="{}"'.format(text))).getroottree())
    assert [problem.code for problem in drawing.pattern.problems] == ["dart"]


def test_a_side_for_a_dart_that_is_gone_is_told():
    drawing, _ = opened(DARTED.format('sewkit:pressed="waist-dart=up bust-dart=down"'))
    told = [finding.text for finding in name_findings(drawing.pattern) if finding.code == "no-edge"]
    assert told == ["'front' names the pressed dart 'bust-dart', but has no such edge."]
