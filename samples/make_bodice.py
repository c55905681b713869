"""Write the sample for darts: a fitted bodice in three sizes, front and back, on one A1 sheet.

    python samples/make_bodice.py            writes samples/bodice/master.svg

The bodice of the maid in a farce: the theatre's wardrobe has it in three sizes and will fit
it to whoever plays her.  Millimetres, y down; the centre front lies on the fold.  Darts are
drawn inside the outline, as bought patterns have them, and their mouths are not trued: that
is what the walk through the darts begins with.

Every rule is common practice, no source, unless a name stands beside it; the numbers are
ours.  Drafted with numpy alone; no code of sewkit draws a line here.
"""

import pathlib
import sys
from typing import Dict, NamedTuple, Sequence, Tuple

import numpy as np
from lxml import etree

ROOT = pathlib.Path(__file__).resolve().parent.parent
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from samples.make_master import (  # noqa: E402
    HAIR,
    INKSCAPE,
    SEWKIT,
    SODIPODI,
    SVG,
    THIN,
    Element,
    Pen,
    Sheeted,
    _add,
    _arrow_heads,
    _closed_path,
    _dotted,
    _layer,
    _ring,
    _solid,
    _test_square,
    _text,
    size_style,
)
from samples.waistcoat_draft import length  # noqa: E402
from sewkit.units import write_number  # noqa: E402

FOLDER = ROOT / "samples" / "bodice"
SHEET = (841.0, 594.0)  # A1 lying, mm (ISO 216)

SIZES = ("A", "B", "C")

# The angle of the bust dart grows with the size; a dart keeps its angle wherever it is turned
# to (NIMI, Dress Making Trade Theory, p. 180; Erwin, Practical Dress Design, p. 31).
BUST_ANGLE = {"A": 8.0, "B": 9.0, "C": 10.0}
# The point stands back from the apex by 1 in (three quarters to one inch in general).
STAND_OFF = 25.0
# Darts at the waist: intake and length (mm).
FRONT_DART, BACK_DART = (24.0, 118.0), (26.0, 140.0)
# A small dart at the back shoulder: intake and length (mm).
SHOULDER_DART = (12.0, 80.0)
SIDE = 190.0  # the side seam as sewn
# How much longer the back shoulder is, its dart closed: eased in.
EASE = 4.0

Point = Tuple[float, float]


class Drawn(NamedTuple):
    """A piece in one size: its edges clockwise, its darts (three points each), its apex if it has one."""

    edges: Tuple[Tuple[str, np.ndarray], ...]
    darts: Dict[str, Tuple[np.ndarray, np.ndarray, np.ndarray]]
    levels: Dict[str, Tuple[Point, Point]]
    apex: Sequence[float] = ()


def line(start: Sequence[float], end: Sequence[float]) -> np.ndarray:
    """A straight cubic, (1, 4, 2)."""
    a, b = np.array(start, float), np.array(end, float)
    return np.array([[a, (2 * a + b) / 3, (a + 2 * b) / 3, b]])


def curve(*points: Sequence[float]) -> np.ndarray:
    """One cubic from its four points."""
    return np.array([points], float)


def turned(point: np.ndarray, about: np.ndarray, degrees: float) -> np.ndarray:
    """A point turned clockwise on the sheet."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    x, y = np.asarray(point) - about
    return about + (cos * x - sin * y, sin * x + cos * y)


def front(size: str) -> Drawn:
    """The front half: fold at x = 0, its side to the right."""
    g = float(SIZES.index(size))
    neck, tip = (70.0 + 1.5 * g, 0.0), (188.0 + 4.0 * g, 45.0)
    underarm = np.array([246.0 + 10.0 * g, 226.0 + 4.0 * g])
    apex = np.array([94.0 + 3.0 * g, 262.0 + 4.0 * g])
    # The side seam runs straight, its dart closed; what lies below the dart is turned open about
    # the apex, so both legs are equally long and the closed seam is one line.
    down = np.array([-14.0, SIDE])
    down = down / np.hypot(*down)
    upper = underarm + 55.0 * down
    lower = turned(upper, apex, BUST_ANGLE[size])
    side_waist = turned(underarm + SIDE * down, apex, BUST_ANGLE[size])
    waist = float(side_waist[1])
    middle = (upper + lower) / 2
    point = apex + STAND_OFF * (middle - apex) / np.hypot(*(middle - apex))
    at = float(apex[0])
    intake, long = FRONT_DART
    waist_dart = tuple(
        np.array(p) for p in ((at + intake / 2, waist), (at, waist - long), (at - intake / 2, waist))
    )
    edges = (
        ("neck", curve((0, 80), (44, 78), (neck[0], 46), neck)),
        ("shoulder", line(neck, tip)),
        ("armhole", curve(tip, (162 + 3 * g, 108), (166 + 6 * g, 224 + 4 * g), underarm)),
        ("side", np.concatenate([line(underarm, upper), line(upper, lower), line(lower, side_waist)])),
        ("waist", line(side_waist, (0, waist))),
        ("centre-front", line((0, waist), (0, 80))),
    )
    levels = {"bust": ((0.0, float(apex[1])), (float(underarm[0]) - 6.0, float(apex[1])))}
    return Drawn(edges, {"bust-dart": (upper, point, lower), "waist-dart": waist_dart}, levels, apex)


def back(size: str) -> Drawn:
    """The back half: centre-back seam at x = 0, its side to the right."""
    g = float(SIZES.index(size))
    neck = np.array([73.0 + 1.5 * g, 0.0])
    # As long as the front shoulder, with the dart's intake and the ease.
    reach = float(np.hypot(188.0 + 4.0 * g - 70.0 - 1.5 * g, 45.0)) + SHOULDER_DART[0] + EASE
    slope = np.radians(18.0)
    along = np.array([np.cos(slope), np.sin(slope)])
    tip = neck + reach * along
    underarm = np.array([240.0 + 10.0 * g, 228.0 + 4.0 * g])
    down = np.array([-20.0, SIDE])
    side_waist = underarm + SIDE * down / np.hypot(*down)
    waist = float(side_waist[1])
    first = neck + 60.0 * along
    second = first + SHOULDER_DART[0] * along
    inward = np.array([-along[1], along[0]])
    shoulder = (first, (first + second) / 2 + SHOULDER_DART[1] * inward, second)
    at = 96.0 + 3.0 * g
    intake, long = BACK_DART
    waist_dart = tuple(
        np.array(p) for p in ((at + intake / 2, waist), (at, waist - long), (at - intake / 2, waist))
    )
    edges = (
        ("neck", curve((0, 22), (40, 22), (neck[0] - 8, 14), neck)),
        ("shoulder", line(neck, tip)),
        ("armhole", curve(tip, tip + (-22, 66), (178 + 6 * g, 226 + 4 * g), underarm)),
        ("side", line(underarm, side_waist)),
        ("waist", line(side_waist, (0, waist))),
        ("centre-back", line((0, waist), (0, 22))),
    )
    return Drawn(edges, {"shoulder-dart": shoulder, "waist-dart": waist_dart}, {}, ())


PIECES = (
    (
        Sheeted(
            "front",
            60.0,
            "main",
            {
                "folds": "centre-front",
                "cut": "1",
                "sewn": "side=back/side",
            },
            (110.0, 160.0),
            (44.0, 130.0, 380.0),
        ),
        front,
    ),
    (
        Sheeted(
            "back",
            440.0,
            "main",
            {"cut": "2", "sewn": "shoulder=front/shoulder,ease=0..6"},
            (150.0, 330.0),
            (44.0, 110.0, 390.0),
        ),
        back,
    ),
)


class _Pen(Pen):
    """The bodice lies with its neck near the top of the sheet."""

    def __init__(self, layer: Element, sheeted: Sheeted, size: str) -> None:
        super().__init__(layer, sheeted, size)
        self.shift = np.array([sheeted.left, 60.0])


def master() -> bytes:
    """The whole drawing as the bytes of an SVG file; the same bytes every time."""
    namespaces = {None: SVG, "inkscape": INKSCAPE, "sodipodi": SODIPODI, "sewkit": SEWKIT}
    root = etree.Element("{%s}svg" % SVG, nsmap=namespaces)
    for name, value in zip(("width", "height"), SHEET):
        root.set(name, write_number(value) + "mm")
    root.set("viewBox", "0 0 {} {}".format(*map(write_number, SHEET)))
    root.set("{%s}title" % SEWKIT, "Bodice")
    etree.SubElement(root, "{%s}title" % SVG).text = "Bodice with darts, three sizes"
    etree.SubElement(
        root, "{%s}desc" % SVG
    ).text = "A fitted bodice, sizes A to C.  Drawn by samples/make_bodice.py; licence GPL-2.0-or-later."
    _add(root, "namedview", SODIPODI, id="view").set("{%s}document-units" % INKSCAPE, "mm")
    _arrow_heads(_add(root, "defs"))
    for sheeted, draft in PIECES:
        _piece(root, sheeted, [draft(size) for size in SIZES])
    _words(_layer(root, "sheet", "sheet"))
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)


def _piece(root: Element, sheeted: Sheeted, drafts: Sequence[Drawn]) -> None:
    group = _layer(root, sheeted.name, sheeted.name)
    declared = {"piece": sheeted.name, "allowance": "10", "cloth": sheeted.cloth}
    declared.update(sheeted.attributes)
    for name, value in declared.items():
        group.set("{%s}%s" % (SEWKIT, name), value)
    for number, (size, drawn) in enumerate(zip(SIZES, drafts), 1):
        layer = _layer(group, "{}-size-{}".format(sheeted.name, size), "size " + size)
        pen = _Pen(layer, sheeted, size)
        _one_size(pen, drawn, size_style(str(number)))
    everyone = _Pen(_layer(group, sheeted.name + "-all-sizes", "all sizes"), sheeted, "")
    x, top, bottom = sheeted.grain
    arrows = ";marker-start:url(#arrow-back);marker-end:url(#arrow)"
    everyone.line("grain", everyone.at((x, top), (x, bottom)), _solid(THIN) + arrows)
    label = everyone.text(sheeted.label, sheeted.name, 14.0)
    label.set("{%s}role" % SEWKIT, "label")
    x, y = sheeted.label
    cut = "cut 1 on the fold" if "folds" in sheeted.attributes else "cut 2"
    words = everyone.text((x, y + 10.0), cut, 5.5)
    words.set("{%s}role" % SEWKIT, "label")


def _one_size(pen: Pen, drawn: Drawn, style: str) -> None:
    edges = " ".join("{}:{:.2f}".format(name, length(curves)) for name, curves in drawn.edges)
    curves = np.concatenate([part for _, part in drawn.edges]) + pen.shift
    element = pen.line("seam-line", _closed_path(curves), style, edges=edges)
    element.set("{%s}label" % INKSCAPE, "{} seam line, size {}".format(pen.piece, pen.size))
    # One letter beside the other, under the neck end of the shoulder.
    beside = (7.0 + 6.0 * SIZES.index(pen.size), 12.0)
    number = pen.text(tuple(drawn.edges[1][1][0, 0] + beside), pen.size, 3.5)
    for key, value in (("role", "label"), ("size", pen.size)):
        number.set("{%s}%s" % (SEWKIT, key), value)
    for name, (first, point, second) in drawn.darts.items():
        pen.line("dart", pen.at(first, point, second), _solid(HAIR), name)
    for name, (start, stop) in drawn.levels.items():
        pen.line("level", pen.at(start, stop), _dotted(HAIR), name)
    if len(drawn.apex):
        pen.line("drill", _ring(pen.shift + drawn.apex, 2.0), _solid(THIN), "apex")


def _words(layer: Element) -> None:
    _text(layer, 60.0, 560.0, "Bodice", 20.0, "start")
    lines = (
        "Three sizes, seam lines, no allowance drawn: add 10 mm all round.",
        "The mouths of the darts are not trued. Ease the back shoulder in, 4 mm.",
    )
    for number, words in enumerate(lines):
        _text(layer, 150.0, 552.0 + 9.0 * number, words, 6.0, "start")
    _test_square(layer, 715.0, 470.0)


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / "master.svg").write_bytes(master())
