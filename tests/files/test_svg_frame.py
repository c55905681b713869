"""Millimetres per unit and matrices: by the rule, by hand, and by the editor itself."""

import itertools
import math
import shutil
import subprocess

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.svg_frame import parse_transform, sheet_frame, to_sheet, uniform_scale
from sewkit.geometry.transform import IDENTITY
from tests.files.sheets import by_id, matrix, root_of, svg, to_mm

PIXEL = 25.4 / 96  # CSS Values 4, 6.2

# Nine documents and the millimetres per unit along x and y.  The rule, by hand for each:
# length in pixels / viewBox length, a percentage p gives p/100, what is missing gives 1; the
# smaller of both counts unless the aspect ratio is "none" or "slice"; times 25.4/96.
NINE = {
    'width="210mm" height="297mm" viewBox="0 0 210 297"': (1, 1),
    'width="210" height="297"': (PIXEL, PIXEL),
    'width="8.5in" height="11in" viewBox="0 0 612 792"': (25.4 / 72, 25.4 / 72),
    'width="420mm" height="297mm" viewBox="0 0 210 297"': (1, 1),
    'width="210mm" viewBox="0 0 210 297"': (PIXEL, PIXEL),
    'width="50%" height="50%" viewBox="0 0 210 297"': (PIXEL / 2, PIXEL / 2),
    'width="420mm" height="297mm" viewBox="0 0 210 297" preserveAspectRatio="none"': (2, 1),
    'width="420mm" height="297mm" viewBox="0 0 210 297" preserveAspectRatio="xMinYMin slice"': (2, 2),
    'width="42cm" height="59.4cm" viewBox="-10 20 210 297"': (2, 2),
}
# Written as people and programs do, or damaged: what cannot be read counts as missing.
ODD = {
    "": (PIXEL, PIXEL),
    'viewBox="0 0 100 100"': (PIXEL, PIXEL),
    'width="20" height="20" viewBox="0,0,100,100"': (0.2 * PIXEL, 0.2 * PIXEL),
    'width=" 1e2 MM " height="100mm" viewBox="0 0 100 100"': (1, 1),
    'width="12pc" height="12pc" viewBox="0 0 96 96"': (2 * PIXEL, 2 * PIXEL),
    'width="72pt" height="1in" viewBox="0 0 25.4 25.4"': (1, 1),
    'width="10mm" height="10mm" viewBox="0 0 0 10"': (PIXEL, PIXEL),
    'width="10mm" height="10mm" viewBox="0 0 -5 10"': (PIXEL, PIXEL),
    'width="10mm" height="10mm" viewBox="0 0 10"': (PIXEL, PIXEL),
    'width="10mm" height="10mm" viewBox="0 0 ten 10"': (PIXEL, PIXEL),
    'width="10mm" height="10mm" viewBox="0 0 1e999 10"': (PIXEL, PIXEL),
    'width="wide" height="nan" viewBox="0 0 10 10"': (PIXEL, PIXEL),
    'width="0" height="-5mm" viewBox="0 0 10 10"': (PIXEL, PIXEL),
    'width="100mm" height="100mm" viewBox="0 0 100 50" preserveAspectRatio="xMidYMid meet"': (1, 1),
}


@pytest.mark.parametrize(("frame", "wanted"), [*NINE.items(), *ODD.items()])
def test_millimetres_per_unit(frame, wanted):
    scale = sheet_frame(root_of("", frame))

    assert (scale.a, scale.d) == pytest.approx(wanted, rel=1e-12)
    assert (scale.b, scale.c) == (0, 0)


def test_the_viewbox_corner_is_the_origin():
    frame = sheet_frame(root_of("", 'width="42cm" height="59.4cm" viewBox="-10 20 210 297"'))

    assert frame.points(np.array([-10.0, 20.0])).tolist() == [0, 0]


@pytest.mark.skipif(shutil.which("inkscape") is None, reason="Inkscape is not installed")
@pytest.mark.parametrize("frame", list(NINE)[3:8])
def test_the_editor_sees_the_same_size(frame, tmp_path):
    file = tmp_path / "square.svg"
    square = '<rect id="square" x="20" y="30" width="50" height="50" style="fill:#000000;stroke:none"/>'
    file.write_text(svg(square, frame), encoding="utf-8")
    sizes = []
    for side in "WH":
        asked = subprocess.run(
            ["inkscape", "--query-id=square", "--query-" + {"W": "width", "H": "height"}[side], str(file)],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            stdin=subprocess.DEVNULL,
            timeout=60,
        )
        sizes.append(float(asked.stdout) * PIXEL)

    scale = sheet_frame(root_of("", frame))
    # The editor answers with six digits.
    assert sizes == pytest.approx([50 * scale.a, 50 * scale.d], rel=2e-5)


# -- transforms --------------------------------------------------------------------------

TRANSFORMS = [
    "translate(3)",
    "translate(-3.5 , 4e1)",
    "scale(2)",
    "scale(-1,.5)",
    "rotate(30)",
    "rotate(-75 10,20)",
    "skewX(20)",
    "skewY(-35)",
    "matrix(0.6,0.8,-0.8,0.6,5,-7)",
]


@pytest.mark.parametrize("text", [a + b for a, b in itertools.product(TRANSFORMS, ["", " ", ","])])
def test_one_transform_is_its_matrix(text):
    wanted = matrix(text)

    if text.endswith(","):
        text = text + "scale(1)"
    assert tuple(parse_transform(text)) == pytest.approx(tuple(wanted[:2].T.ravel()), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(("first", "then"), list(itertools.permutations(TRANSFORMS, 2)))
def test_a_list_applies_the_last_one_first(first, then):
    wanted = matrix(first) @ matrix(then)

    found = parse_transform(first + " " + then)
    assert tuple(found) == pytest.approx(tuple(wanted[:2].T.ravel()), rel=1e-12, abs=1e-11)


@pytest.mark.parametrize("text", [None, "", "  ", "none"])
def test_no_transform_moves_nothing(text):
    assert parse_transform(text) == IDENTITY


@pytest.mark.parametrize(
    "text",
    [
        "rotate(1,2)",
        "matrix(1,2,3)",
        "translate(10mm,5)",
        "translate(nan)",
        "scale()",
        "scale(1e999)",
        "matrix(1 0 0 1 1e300 0)",
        "wobble(3)",
        "translate(1",
        "translate 1",
        "rotate(45deg)",
        "scale(2) nonsense",
    ],
)
def test_what_is_no_transform_is_told(text):
    with pytest.raises(InputError) as refused:
        parse_transform(text)

    assert refused.value.code == "transform"


def test_matrices_multiply_from_the_element_up_to_the_sheet():
    content = (
        '<g transform="translate(10,20) rotate(30)"><g transform="skewX(12) scale(-2,0.5)">'
        '<path id="p" transform="matrix(1,0.2,-0.3,0.9,4,5)" d="M0 0H1"/></g></g>'
    )
    element = by_id(
        root_of(content, 'width="100mm" height="100mm" viewBox="0 0 200 200" transform="scale(3)"'), "p"
    )

    assert tuple(to_sheet(element)) == pytest.approx(tuple(to_mm(element, 0.5)[:2].T.ravel()), rel=1e-12)


def test_a_drawing_inside_the_drawing_is_refused():
    root = root_of('<g><svg width="10" height="10"><g><path id="p" d="M0 0H1"/></g></svg></g>')

    with pytest.raises(InputError, match="Ungroup"):
        to_sheet(by_id(root, "p"))


def test_the_stretch_of_a_frame_is_its_singular_values():
    frame = parse_transform("rotate(33) scale(3,-0.5) skewX(10)")

    wanted = np.linalg.svd(matrix("rotate(33) scale(3,-0.5) skewX(10)")[:2, :2])[1]
    assert uniform_scale(frame) == pytest.approx(tuple(wanted))
    assert uniform_scale(parse_transform("rotate(70)")) == pytest.approx((1, 1))
    assert math.isclose(np.prod(uniform_scale(frame)), abs(frame.determinant))
