"""Write the master drawing of the sample waistcoat: eight sizes, nested, on one A0 sheet.

    python samples/make_master.py            writes samples/waistcoat/master.svg

The same chart gives the same bytes.  Sizes are told apart without colour: a long stroke,
then as many short ones as the size's number; sizes 5 to 8 count again from one, drawn
twice as heavy.
"""

import csv
import pathlib
import sys
from typing import Any, Dict, List, NamedTuple, Sequence, Tuple

import numpy as np
from lxml import etree

ROOT = pathlib.Path(__file__).resolve().parent.parent
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from samples import waistcoat_draft as waistcoat  # noqa: E402
from samples.waistcoat_draft import Body, Piece, Plan, length  # noqa: E402
from sewkit.units import write_number  # noqa: E402

# lxml has no public name for the type of an element.
Element = Any

FOLDER = ROOT / "samples" / "waistcoat"

SVG = "http://www.w3.org/2000/svg"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
SODIPODI = "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"
SEWKIT = "urn:sewkit:1"

SHEET = (1189.0, 841.0)  # A0 lying, mm (ISO 216)
WAIST = 560.0  # where the waist level lies on the sheet
TEST_SQUARE = 100.0
NOTCH = 6.0  # length of a notch's tick
HAIR, THIN, HEAVY = 0.18, 0.35, 0.7  # stroke widths


class Sheeted(NamedTuple):
    """How a piece stands on the sheet, and what is written on its group."""

    name: str
    left: float  # where its x = 0 lies on the sheet
    cloth: str
    attributes: Dict[str, str]
    label: Tuple[float, float]
    grain: Tuple[float, float, float]  # x, top, bottom


PIECES = (
    Sheeted(
        "back",
        60.0,
        "lining",
        {
            "hems": "hem",
            "corners": "side/hem=turned-back:hem hem/centre-back=turned-back:hem",
            "sewn": "shoulder=front/shoulder,turned,ease=0..6",
        },
        (120.0, -262.0),
        (60.0, -380.0, -30.0),
    ),
    Sheeted(
        "front",
        815.0,
        "main",
        {
            "hems": "hem",
            "corners": "front-edge/hem=extended:front-edge hem/side=turned-back:hem",
            "sewn": "side,turned=back/side",
        },
        (-112.0, -262.0),
        (-40.0, -210.0, 90.0),
    ),
    Sheeted(
        "front-facing",
        1050.0,
        "main",
        {"sewn": "neck=front/neck front-edge=front/front-edge"},
        (-32.0, -60.0),
        (-14.0, -220.0, 90.0),
    ),
)


def read_chart(path: pathlib.Path = FOLDER / "chart.csv") -> List[Body]:
    """Read the size chart; centimetres become millimetres."""
    with open(str(path), newline="", encoding="utf-8") as stream:
        rows = list(csv.DictReader(line for line in stream if not line.startswith("#")))
    names = ("chest", "waist", "seat", "back waist length")
    # Times ten and rounded: 46.3 cm is 463 mm, not 462.99999999999994.
    return [Body(row["size"], *(round(float(row[name]) * 10.0, 6) for name in names)) for row in rows]


def master(bodies: Sequence[Body]) -> bytes:
    """The whole drawing as the bytes of an SVG file."""
    namespaces = {None: SVG, "inkscape": INKSCAPE, "sodipodi": SODIPODI, "sewkit": SEWKIT}
    root = etree.Element("{%s}svg" % SVG, nsmap=namespaces)
    for name, value in zip(("width", "height"), SHEET):
        root.set(name, write_number(value) + "mm")
    root.set("viewBox", "0 0 {} {}".format(*map(write_number, SHEET)))
    root.set("{%s}title" % SEWKIT, "Waistcoat")
    etree.SubElement(root, "{%s}title" % SVG).text = "Waistcoat, eight sizes"
    etree.SubElement(root, "{%s}desc" % SVG).text = (
        "A man's single-breasted waistcoat, sizes {} to {}.  Drawn by samples/make_master.py; "
        "licence GPL-2.0-or-later.".format(bodies[0].size, bodies[-1].size)
    )
    _add(root, "namedview", SODIPODI, id="view").set("{%s}document-units" % INKSCAPE, "mm")
    _arrow_heads(_add(root, "defs"))
    drafts = [waistcoat.draft(body) for body in bodies]
    for sheeted in PIECES:
        _piece(root, sheeted, bodies, [draft[sheeted.name] for draft in drafts])
    _frame_texts(root, bodies)
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)


def _piece(root: Element, sheeted: Sheeted, bodies: Sequence[Body], pieces: Sequence[Piece]) -> None:
    group = _layer(root, sheeted.name, sheeted.name)
    declared = {"piece": sheeted.name, "allowance": "10", "cut": "2", "cloth": sheeted.cloth}
    declared.update(sheeted.attributes)
    for name, value in declared.items():
        group.set("{%s}%s" % (SEWKIT, name), value)
    for body, piece in zip(bodies, pieces):
        layer = _layer(group, "{}-size-{}".format(sheeted.name, body.size), "size " + body.size)
        pen = Pen(layer, sheeted, body.size)
        _outline(pen, piece)
        _sized_marks(pen, waistcoat.plan(body), piece)
    everyone = _layer(group, sheeted.name + "-all-sizes", "all sizes")
    _common_marks(Pen(everyone, sheeted, ""))


class Pen:
    """Draws on one layer of one piece; moves the draft's millimetres to the sheet's."""

    def __init__(self, layer: Element, sheeted: Sheeted, size: str) -> None:
        self.layer = layer
        self.piece = sheeted.name
        self.size = size
        self.shift = np.array([sheeted.left, WAIST])

    def line(self, role: str, d: str, style: str, name: str = "", **more: str) -> Element:
        """One path with its role; the id says piece, size, role and name."""
        element = _add(self.layer, "path", id=_joined(self.piece, self.size, role, name))
        element.set("d", d)
        element.set("style", style)
        for key, value in [("role", role), ("size", self.size), ("name", name)] + list(more.items()):
            if value:
                element.set("{%s}%s" % (SEWKIT, key), value)
        return element

    def text(self, at: Tuple[float, float], words: str, height: float, anchor: str = "middle") -> Element:
        """A line of text at a place of the draft."""
        x, y = np.array(at) + self.shift
        return _text(self.layer, x, y, words, height, anchor)

    def at(self, *points: Sequence[float]) -> str:
        """A run of straight lines through points of the draft, as path text."""
        moved = [_pair(np.array(point) + self.shift) for point in points]
        return "M {} L {}".format(moved[0], " ".join(moved[1:]))


def _outline(pen: Pen, piece: Piece) -> None:
    edges = " ".join("{}:{:.2f}".format(edge.name, length(edge.curves)) for edge in piece.edges)
    curves = np.concatenate([edge.curves for edge in piece.edges]) + pen.shift
    element = pen.line("seam-line", _closed_path(curves), size_style(pen.size), edges=edges)
    element.set("{%s}label" % INKSCAPE, "{} seam line, size {}".format(piece.name, pen.size))


def _sized_marks(pen: Pen, plan: Plan, piece: Piece) -> None:
    """The levels, the notches and the little numbers of one size."""
    if piece.name == "back":
        left = waistcoat.centre_back(plan.chest)
        right = left + plan.back_chest
        _number(pen, piece.edge("shoulder")[0, 3], (2.4, -0.6))
        _number(pen, _middle(piece.edge("side")[1]), (-3.0, 1.3))
        _notch(pen, piece, "side", 1, at_end=False)
        _notch(pen, piece, "armhole", 1, at_end=False, count=2)
    elif piece.name == "front":
        left, right = -plan.front_chest, 0.0
        _number(pen, piece.edge("shoulder")[0, 0], (-2.4, -0.6))
        _number(pen, _middle(piece.edge("side")[0]), (3.0, 1.3))
        _notch(pen, piece, "side", 1, at_end=True)
        _notch(pen, piece, "armhole", 1, at_end=True)
    else:
        _number(pen, piece.edge("shoulder")[0, 0], (-2.4, 0.6))
        return
    pen.line("level", pen.at((left, plan.chest), (right, plan.chest)), _dotted(HAIR), "chest")
    waist = (waistcoat.HOLLOW_BACK, plan.back_waist) if piece.name == "back" else (-plan.front_waist, 0.0)
    pen.line("level", pen.at((waist[0], 0.0), (waist[1], 0.0)), _dotted(HAIR), "waist")


def _number(pen: Pen, at: np.ndarray, beside: Tuple[float, float]) -> None:
    number = pen.text(tuple(at + beside), pen.size, 3.5)
    number.set("{%s}role" % SEWKIT, "label")
    number.set("{%s}size" % SEWKIT, pen.size)


def _middle(curve: np.ndarray) -> np.ndarray:
    return curve.T @ np.array([1.0, 3.0, 3.0, 1.0]) / 8


def _notch(pen: Pen, piece: Piece, edge: str, node: int, at_end: bool, count: int = 1) -> None:
    """A notch at a node of an edge; its place counts from the edge's start or from its end.

    Several ticks stand 6 mm apart around the place, all square to the line there.
    """
    curves = piece.edge(edge)
    toward = curves[node, 1] - curves[node, 0]
    toward = toward / np.hypot(*toward)
    outward = np.array([toward[1], -toward[0]])  # left of the way round, clockwise: outside
    feet = [curves[node, 0] + toward * 6.0 * (number - (count - 1) / 2) for number in range(count)]
    ticks = " ".join(pen.at(foot, foot + outward * NOTCH) for foot in feet)
    distance = length(curves[node:] if at_end else curves[:node])
    place = "{}{}{}".format(edge, "-" if at_end else "+", write_number(round(distance, 3)))
    style = _solid(HEAVY if count == 1 else THIN)
    pen.line("notch", ticks, style, edge, at=place, count=str(count))


def _common_marks(pen: Pen) -> None:
    """What all sizes share: grain, buttons, pocket, words."""
    sheeted = next(piece for piece in PIECES if piece.name == pen.piece)
    x, top, bottom = sheeted.grain
    arrows = ";marker-start:url(#arrow-back);marker-end:url(#arrow)"
    pen.line("grain", pen.at((x, top), (x, bottom)), _solid(THIN) + arrows)
    if pen.piece == "front-facing":
        stand = waistcoat.BUTTON_STAND
        pen.line("level", pen.at((stand - waistcoat.FACING, 0.0), (stand, 0.0)), _dotted(THIN), "waist")
    if pen.piece != "back":
        edge = waistcoat.BUTTON_STAND
        place = "front-edge+" + write_number(-waistcoat.BREAK)
        tick = pen.at((edge, 0.0), (edge + NOTCH, 0.0))
        pen.line("notch", tick, _solid(HEAVY), "front-edge", at=place, count="1")
    if pen.piece == "front":
        _front_marks(pen)
    _piece_words(pen, sheeted)


def _front_marks(pen: Pen) -> None:
    pen.line("inner-line", pen.at((0.0, waistcoat.BREAK), (0.0, 150.0)), _dotted(HAIR), "centre-front")
    for number, y in enumerate(waistcoat.BUTTONS, 1):
        pen.line("drill", _ring(pen.shift + (0.0, y), 4.0), _solid(THIN), "button-{}".format(number))
    pen.line("inner-line", pen.at(*waistcoat.POCKET), _solid(HEAVY), "pocket")
    pen.text((-124.0, 12.0), "pocket", 5.0)
    _turned(pen.text((-3.5, -60.0), "centre front", 4.0))


def _piece_words(pen: Pen, sheeted: Sheeted) -> None:
    x, y = sheeted.label
    narrow = pen.piece == "front-facing"
    label = pen.text((x, y), sheeted.name, 10.0 if narrow else 14.0)
    label.set("id", _joined(pen.piece, "label"))
    label.set("{%s}role" % SEWKIT, "label")
    words = pen.text((x + 9.0, y) if narrow else (x, y + 10.0), "cut 2, {} cloth".format(sheeted.cloth), 5.5)
    if narrow:
        _turned(label)
        _turned(words)
        return
    levels = {"back": (150.0, "end"), "front": (-190.0, "start")}
    at, anchor = levels[pen.piece]
    pen.text((at, -2.5), "waist", 4.0, anchor)
    pen.text((at, -188.0), "chest", 4.0, anchor)
    if pen.piece == "back":
        _turned(pen.text((-3.0, -120.0), "centre back seam", 4.0))


def _frame_texts(root: Element, bodies: Sequence[Body]) -> None:
    """Title, test square, and the key to the lines with the chart."""
    layer = _layer(root, "sheet", "sheet")
    _text(layer, 60.0, 762.0, "Waistcoat", 20.0, "start")
    words = "Buttons 80 mm apart. The back shoulder is 5 mm longer: ease it in. One notch: front. Two: back."
    _text(layer, 60.0, 776.0, words, 6.0, "start")
    _test_square(layer, 500.0, 722.0)
    # What is true of the nest only has a layer of its own, to be left out for one person.
    nest = _layer(root, "nest-notes", "notes on the nest")
    lines = (
        "A man's single-breasted waistcoat in eight sizes, one nest of lines for each piece.",
        "Seam lines, no allowance drawn: add 10 mm all round. "
        "Finished chest = chest + 10 cm, finished waist = waist + 8 cm.",
    )
    for number, words in enumerate(lines):
        _text(nest, 60.0, 785.0 + 9.0 * number, words, 6.0, "start")
    _key(nest, 780.0, 748.0, bodies)


def _test_square(layer: Element, x: float, y: float) -> None:
    square = _add(layer, "rect", id="test-square")
    for name, value in (("x", x), ("y", y), ("width", TEST_SQUARE), ("height", TEST_SQUARE)):
        square.set(name, write_number(value))
    square.set("style", _solid(THIN))
    middle = x + TEST_SQUARE / 2
    _text(layer, middle, y + 46.0, "100 mm", 8.0, "middle")
    _text(layer, middle, y + 60.0, "print at 100 %,", 6.0, "middle")
    _text(layer, middle, y + 68.0, "measure the square", 6.0, "middle")


def _key(layer: Element, x: float, y: float, bodies: Sequence[Body]) -> None:
    """One row a size: its line, its name, the body it is drawn for (cm)."""
    names = ("size", "chest", "waist", "seat", "back waist length")
    columns = list(zip(names, (76.0, 106.0, 136.0, 166.0, 220.0)))
    for words, across in columns:
        _text(layer, x + across, y - 3.0, words, 5.5, "end")
    for row, body in enumerate(bodies):
        below = y + 8.0 * row + 5.0
        sample = _add(layer, "path", id="key-{}".format(body.size))
        sample.set("d", "M {} L {}".format(_pair((x, below - 1.8)), _pair((x + 60.0, below - 1.8))))
        sample.set("style", size_style(body.size))
        amounts = [body.size] + ["{:g}".format(value / 10.0) for value in body[1:4]]
        amounts.append("{:.1f}".format(body.back_waist / 10.0))
        for (_, across), words in zip(columns, amounts):
            _text(layer, x + across, below, words, 5.5, "end")
    _text(layer, x + 226.0, y - 3.0, "body, cm", 5.5, "start")


def size_style(size: str) -> str:
    """The line of a size; the head of this module says how to read it."""
    number = int(size)
    rhythm = [12.0] + [1.8] * (2 * ((number - 1) % 4 + 1) + 1)
    dashes = ",".join(write_number(length) for length in rhythm)
    return _solid(HEAVY if number > 4 else THIN) + ";stroke-dasharray:" + dashes


def _solid(width: float) -> str:
    return "fill:none;stroke:#000000;stroke-width:" + write_number(width)


def _dotted(width: float) -> str:
    return _solid(width) + ";stroke-dasharray:0.8,2.4"


def _closed_path(curves: np.ndarray) -> str:
    """Path text; straight curves become lines, and Z draws the last one."""
    words = ["M " + _pair(curves[0, 0])]
    for number, curve in enumerate(curves):
        straight = np.abs(curve[1] - (2 * curve[0] + curve[3]) / 3).max() < 1e-9
        straight = straight and np.abs(curve[2] - (curve[0] + 2 * curve[3]) / 3).max() < 1e-9
        if not straight:
            words.append("C " + " ".join(_pair(point) for point in curve[1:]))
        elif number < len(curves) - 1:
            words.append("L " + _pair(curve[3]))
    return " ".join(words + ["Z"])


def _ring(middle: np.ndarray, radius: float) -> str:
    """A circle of four cubics, handles 0.5523 of the radius (within 0.03 % of round)."""
    turn = [np.array(way) * radius for way in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))]
    words = ["M " + _pair(middle + turn[0])]
    for here, there in zip(turn, turn[1:] + turn[:1]):
        handles = (here + 0.5523 * there, there + 0.5523 * here, there)
        words.append("C " + " ".join(_pair(middle + point) for point in handles))
    return " ".join(words + ["Z"])


def _arrow_heads(defs: Element) -> None:
    for name, d in (("arrow", "M 0,-3 L 12,0 L 0,3 Z"), ("arrow-back", "M 0,-3 L -12,0 L 0,3 Z")):
        marker = _add(defs, "marker", id=name)
        marker.attrib.update({"orient": "auto", "markerUnits": "userSpaceOnUse", "style": "overflow:visible"})
        head = _add(marker, "path")
        head.set("d", d)
        head.set("style", "fill:#000000;stroke:none")


def _text(layer: Element, x: float, y: float, words: str, height: float, anchor: str) -> Element:
    element = _add(layer, "text")
    element.set("x", write_number(round(float(x), 3)))
    element.set("y", write_number(round(float(y), 3)))
    style = "font-family:sans-serif;font-size:{}px;text-anchor:{};fill:#000000"
    element.set("style", style.format(write_number(height), anchor))
    element.text = words
    return element


def _turned(element: Element) -> None:
    element.set("transform", "rotate(-90 {} {})".format(element.get("x"), element.get("y")))


def _layer(parent: Element, name: str, label: str) -> Element:
    group = _add(parent, "g", id=name)
    group.set("{%s}groupmode" % INKSCAPE, "layer")
    group.set("{%s}label" % INKSCAPE, label)
    return group


def _add(parent: Element, tag: str, namespace: str = SVG, id: str = "") -> Element:
    element = etree.SubElement(parent, "{%s}%s" % (namespace, tag))
    if id:
        element.set("id", id)
    return element


def _joined(*words: str) -> str:
    return "-".join(word for word in words if word)


def _pair(point: Sequence[float]) -> str:
    # A millionth of a millimetre: far below what counts, far above rounding noise.
    return ",".join(write_number(round(float(value), 6)) for value in point)


if __name__ == "__main__":
    (FOLDER / "master.svg").write_bytes(master(read_chart()))
