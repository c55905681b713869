"""A drawing scaled as a whole: whatever its page says, every point moves by the factor."""

import io
import shutil
import subprocess

import numpy as np
import pytest

from sewkit.files.svg import open_drawing
from sewkit.files.svg_frame import scale_page, sheet_frame
from sewkit.files.svg_names import own
from sewkit.pattern.scaling import scaled_pattern
from tests.files.test_svg_frame import NINE, root_of, svg

POINTS = np.array([[0.0, 0.0], [10.0, 20.0], [-3.0, 77.0]])
PAGES = [
    *NINE,
    "",
    'viewBox="0 0 100 200"',
    'width="100mm" viewBox="0 0 100 200"',
    'width="100%" height="100%" viewBox="5 5 100 200"',
    'width="8in" height="11in"',
    'width="10cm" height="10cm" viewBox="0 0 100 300"',
    'width="10cm" height="10cm" viewBox="0 0 100 300" preserveAspectRatio="none"',
    'width="10cm" height="10cm" viewBox="0 0 100 300" preserveAspectRatio="xMidYMid slice"',
    'width="0" height="-5" viewBox="0 0 0 0"',
]


@pytest.mark.parametrize("factors", [(100 / 97, 100 / 97), (0.05, 0.05), (50.0, 50.0), (100 / 97, 100 / 99)])
@pytest.mark.parametrize("frame", PAGES)
def test_every_point_of_the_page_moves_by_the_factor(frame, factors):
    root = root_of("", frame)
    before = sheet_frame(root).points(POINTS)

    scale_page(root, *factors)

    np.testing.assert_allclose(sheet_frame(root).points(POINTS), before * factors, rtol=1e-12, atol=1e-9)


def test_a_page_without_anything_shows_what_it_showed():
    """An A4 sheet of 96 units to the inch, until it is scaled."""
    root = root_of("", "")

    scale_page(root, 2.0, 2.0)

    width, height = (float(word) for word in root.get("viewBox").split()[2:])
    assert (width, height) == pytest.approx((210 / 25.4 * 96, 297 / 25.4 * 96))
    assert (root.get("width"), root.get("height")) == ("420mm", "594mm")


@pytest.mark.skipif(shutil.which("inkscape") is None, reason="Inkscape is not installed")
@pytest.mark.parametrize("factors", [(100 / 97, 100 / 97), (1.2, 1.1)])
def test_the_editor_sees_the_drawing_grown(factors, tmp_path):
    drawing, _ = open_drawing(
        io.BytesIO(
            svg(
                '<rect id="square" x="20" y="30" width="97" height="97" style="fill:#000"/>', NINE_MM
            ).encode()
        )
    )
    drawing.put(scaled_pattern(drawing.pattern, *factors))
    file = tmp_path / "square.svg"
    drawing.save(str(file))

    sizes = []
    for side in ("width", "height"):
        asked = subprocess.run(
            ["inkscape", "--query-id=square", "--query-" + side, str(file)],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            stdin=subprocess.DEVNULL,
            timeout=60,
        )
        sizes.append(float(asked.stdout) * 25.4 / 96)

    # The editor answers with six digits.
    assert sizes == pytest.approx([97 * factors[0], 97 * factors[1]], rel=2e-5)


NINE_MM = 'width="210mm" height="297mm" viewBox="0 0 210 297"'

PIECE = (
    '<g id="front" sewkit:piece="front" {more}>'
    '<path id="seam" sewkit:role="seam-line" sewkit:edges="{edges}" d="{d}"/>{rest}</g>'
)


def piece(d, edges, more="", rest=""):
    content = PIECE.format(d=d, edges=edges, more=more, rest=rest)
    return open_drawing(io.BytesIO(svg(content, NINE_MM).encode()))[0]


BOX = "M 10,10 H 110 V 60 H 10 Z"


@pytest.mark.parametrize(
    ("d", "edges", "wanted"),
    [
        (BOX, "a:100 b:50 c:100 d:50", "a:150 b:40 c:150 d:40"),
        # Reversed since it was named: the names stand in the old order, and stay in it.  The
        # right side goes 30 across and 40 down then: 50.
        (
            "M 10,10 V 60 H 110 L 90,10 Z",
            "a:80 right:53.85 c:100 d:50",
            "a:120 right:50 c:150 d:40",
        ),
        (BOX, "a b c d", "a b c d"),
        # Two edges in one run from corner to corner share what it becomes.
        (BOX, "a:60 ~e:40 b:50 c:100 d:50", "a:90 ~e:60 b:40 c:150 d:40"),
        # All of one name: told apart by their lengths.
        (BOX, "a:100 a:50 a:100 a:50", "a:150 a:40 a:150 a:40"),
        # Named when the edge was longer: it grows in proportion.
        (BOX, "a:101 b:50 c:101 d:50", "a:151.5 b:40 c:151.5 d:40"),
    ],
)
def test_lengths_of_edges_are_measured_anew_on_a_stretched_drawing(d, edges, wanted):
    """1.5 times as wide, 0.8 times as high."""
    drawing = piece(d, edges)
    named = drawing.pattern.problems

    drawing.put(scaled_pattern(drawing.pattern, 1.5, 0.8))

    assert own(drawing.ids["seam"], "edges") == wanted
    assert [problem.code for problem in drawing.pattern.problems] == [problem.code for problem in named]


def test_names_begun_above_a_dart_keep_their_order():
    """In memory the outline begins at the hem; in the drawing at the dart."""
    d = "M 60,10 L 55,30 L 50,10 H 10 V 60 H 110 V 10 Z"
    drawing = piece(d, "dart:20.62 dart:20.62 top:40 left:50 hem:100 right:50 top:50", 'sewkit:darts="dart"')

    drawing.put(scaled_pattern(drawing.pattern, 2.0, 1.0))

    words = (own(drawing.ids["seam"], "edges") or "").split()
    # Legs: from (60, 10) to (55, 30), now twice as far aside: sqrt(10^2 + 20^2).
    assert words[0] == "dart:22.36"
    assert words[2:] == ["top:80", "left:50", "hem:200", "right:50", "top:100"]
    assert drawing.pattern.problems == ()


def test_a_piece_that_cannot_be_read_is_scaled_with_the_rest():
    """Its edges no longer fit; what it remembers grows all the same."""
    drawing = piece(BOX, "a:100 b:50")
    assert drawing.pattern.problems[0].code == "corners"

    drawing.put(scaled_pattern(drawing.pattern, 2.0, 2.0))

    assert own(drawing.ids["seam"], "edges") == "a:200 b:100"


def test_an_allowance_that_is_not_drawn_yet_keeps_its_width():
    drawing = piece(BOX, "a:100 b:50 c:100 d:50", 'sewkit:allowance="10 c=20"')

    drawing.put(scaled_pattern(drawing.pattern, 2.0, 2.0))

    assert own(drawing.ids["front"], "allowance") == "10 c=20"


def test_a_drawn_allowance_grows_with_its_cut_line():
    cut = '<path id="cut" sewkit:role="cut-line" d="M 0,0 H 120 V 80 H 0 Z"/>'
    drawing = piece(BOX, "a:100 b:50 c:100 d:50", 'sewkit:allowance="10 c=20"', cut)

    drawing.put(scaled_pattern(drawing.pattern, 2.0, 2.0))

    assert own(drawing.ids["front"], "allowance") == "20 c=40"


def test_a_notch_at_the_end_of_an_edge_keeps_its_end():
    tick = '<path id="tick" sewkit:role="notch" sewkit:at="a-30" d="M 80,10 V 5"/>'
    drawing = piece(BOX, "a:100 b:50 c:100 d:50", "", tick)

    drawing.put(scaled_pattern(drawing.pattern, 1.5, 0.8))

    assert own(drawing.ids["tick"], "at") == "a-45"


def test_a_drawing_put_once_more_is_not_scaled_again():
    drawing = piece(BOX, "a:100 b:50 c:100 d:50")

    drawing.put(scaled_pattern(drawing.pattern, 2.0, 2.0))
    before = drawing.as_bytes()
    drawing.put(drawing.pattern)

    assert drawing.as_bytes() == before
    assert drawing.pattern.scale == (1.0, 1.0)
