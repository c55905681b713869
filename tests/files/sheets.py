"""Small drawings for the tests of the SVG border, and an independent reading of them.

The reading multiplies its own 3x3 matrices and takes curves from svgpathtools; it shares no
line with sewkit.
"""

import io
import math
import re

import numpy as np
import pytest
from lxml import etree

from sewkit.files.svg import open_drawing

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd" '
    'xmlns:sewkit="urn:sewkit:1" xmlns:other="urn:other" {frame}>\n{content}\n</svg>'
)
MM = 'width="1000mm" height="1000mm" viewBox="0 0 1000 1000"'

# A front of four edges, 100 wide and 150 high, and its back, mirrored.
FRONT = (
    '<g id="front" sewkit:piece="front" {group}>\n'
    '  <path id="front-3" style="fill:none" sodipodi:nodetypes="ccccc" sewkit:role="seam-line" '
    'sewkit:size="3" sewkit:edges="{edges}" d="{d}"/>\n  {more}\n</g>'
)
EDGES = "waist:100 side:150 hem:120 centre:151.33"
FRONT_D = "M 20,20 H 120 V 170 H 0 Z"
BACK = (
    '<g id="back" sewkit:piece="back">\n'
    '  <path id="back-3" sewkit:role="seam-line" sewkit:size="3" sewkit:edges="waist centre hem side" '
    'd="M 300,20 H 400 V 170 H 300 Z"/>\n</g>'
)


def svg(content, frame=MM):
    """The text of a drawing."""
    return HEAD.format(frame=frame, content=content)


def front(d=FRONT_D, edges=EDGES, group="", more=""):
    """A named front; ``group`` are more attributes, ``more`` more elements of it."""
    return FRONT.format(d=d, edges=edges, group=group, more=more)


def opened(content, frame=MM, **picks):
    """The drawing and the choice from a piece of SVG."""
    return open_drawing(stream(content, frame), **picks)


def stream(content, frame=MM):
    return io.BytesIO(svg(content, frame).encode("utf-8"))


def root_of(content, frame=MM):
    return etree.fromstring(svg(content, frame).encode("utf-8"))


def by_id(root, name):
    (found,) = root.xpath("//*[@id=$name]", name=name)
    return found


def matrix(text):
    """A transform attribute as a 3x3 matrix (SVG 1.1, section 7.6)."""
    whole = np.eye(3)
    for name, values in re.findall(r"(\w+)\(([^)]*)\)", text or ""):
        v = [float(x) for x in re.split(r"[\s,]+", values.strip())]
        a, b, c, d, e, f = 1, 0, 0, 1, 0, 0
        if name == "matrix":
            a, b, c, d, e, f = v
        elif name == "translate":
            e, f = (v + [0])[:2]
        elif name == "scale":
            a, d = v[0], v[-1]
        elif name == "rotate":
            a = d = math.cos(math.radians(v[0]))
            b = math.sin(math.radians(v[0]))
            c = -b
            if len(v) == 3:
                e, f = v[1] - a * v[1] - c * v[2], v[2] - b * v[1] - d * v[2]
        elif name == "skewX":
            c = math.tan(math.radians(v[0]))
        elif name == "skewY":
            b = math.tan(math.radians(v[0]))
        whole = whole @ np.array([[a, c, e], [b, d, f], [0, 0, 1.0]])
    return whole


def to_mm(element, unit):
    """The matrix from an element to the sheet, where a user unit of the root is ``unit`` mm."""
    whole = np.eye(3)
    while element is not None:
        whole = matrix(element.get("transform")) @ whole
        element = element.getparent()
    return np.diag([unit, unit, 1.0]) @ whole


def points_mm(element, unit=1.0, count=20):
    """Points of a path element on the sheet (mm), ``count`` on each of its segments."""
    svgpathtools = pytest.importorskip("svgpathtools")
    to_sheet = to_mm(element, unit)
    found = []
    for segment in svgpathtools.parse_path(element.get("d")):
        for t in np.linspace(0, 1, count):
            at = segment.point(t)
            found.append((to_sheet @ [at.real, at.imag, 1.0])[:2])
    return np.array(found)
