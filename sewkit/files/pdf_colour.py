"""Colours of a PDF as ``#rrggbb``, or by the name of a printing ink.

Good enough to tell one size's lines from another's and to show them; not colour
management.  The formulas for grey and CMYK are those of ISO 32000-1, 10.3.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.files.pdf_file import Pdf, key_of, number_or

MOST_COLOURS = 10000  # remembered at once; a shaded drawing may use more
_DEEPEST = 8  # colour spaces built on each other
_SIMPLE = {
    "DeviceGray": ("grey", 1),
    "G": ("grey", 1),
    "CalGray": ("grey", 1),
    "DeviceRGB": ("rgb", 3),
    "RGB": ("rgb", 3),
    "CalRGB": ("rgb", 3),
    "DeviceCMYK": ("cmyk", 4),
    "CMYK": ("cmyk", 4),
    "Pattern": ("pattern", 0),
}
_PROCESS = ("Cyan", "Magenta", "Yellow", "Black")
PATTERN = "#808080"  # a tiled or shaded area: mid grey stands for it
# Less ink than this is none: printers' own smallest step is about as much.
_NO_INK = 0.004


class Space(NamedTuple):
    """A colour space: its kind, how many numbers a colour has, ink names, space beneath, table."""

    kind: str
    size: int
    inks: Tuple[str, ...] = ()
    base: Optional["Space"] = None  # type: ignore[misc]
    table: bytes = b""
    bounds: Tuple[float, ...] = ()


GREY = Space("grey", 1)
RGB = Space("rgb", 3)
CMYK = Space("cmyk", 4)


class Colours:
    """Colour spaces of one file, each read once."""

    def __init__(self, pdf: Pdf) -> None:
        self.pdf = pdf
        self._known: Dict[object, Space] = {}
        self._texts: Dict[Tuple[object, ...], str] = {}

    def text(self, space: Space, numbers: List[float]) -> str:
        """As ``colour``, remembered: a page sets few colours, thousands of times."""
        key = (space,) + tuple(numbers)
        found = self._texts.get(key)
        if found is None:
            if len(self._texts) > MOST_COLOURS:
                self._texts.clear()
            found = self._texts[key] = colour(space, numbers)
        return found

    def space(self, name: str, resources: object) -> Space:
        """The space a stream calls by a name."""
        given = self.pdf.table(resources, "/ColorSpace").get("/" + name)
        if given is not None:
            key = key_of(given)
            if isinstance(key, tuple):
                return self._read(given, 0)
            if key not in self._known:
                self._known[key] = self._read(given, 0)
            return self._known[key]
        kind, size = _SIMPLE.get(name, ("grey", 1))
        return Space(kind, size)

    def _read(self, given: object, depth: int) -> Space:
        what = self.pdf.value(given)
        parts = what if isinstance(what, list) else [what]
        name = str(self.pdf.value(parts[0]) if parts else "").lstrip("/")
        if depth > _DEEPEST:
            return GREY
        below = (
            self._read(parts[1], depth + 1)
            if name in ("Indexed", "I", "Pattern") and len(parts) > 1
            else None
        )
        if name == "Pattern":
            return Space("pattern", below.size if below else 0, base=below)
        if name in ("Indexed", "I") and below is not None and len(parts) > 3:
            return Space("indexed", 1, base=below, table=self._table(parts[3]))
        if name in ("Separation", "DeviceN") and len(parts) > 2:
            return self._inks(parts, depth)
        if len(parts) > 1 and name == "ICCBased":
            size = int(number_or(self.pdf.get(self.pdf.value(parts[1]), "/N"), 3.0))
            return {1: GREY, 4: CMYK}.get(size, RGB)
        if len(parts) > 1 and name == "Lab":
            return Space("lab", 3, bounds=tuple(self.pdf.numbers(self.pdf.value(parts[1]), "/Range")))
        kind, size = _SIMPLE.get(name, ("grey", 1))
        return Space(kind, size)

    def _table(self, thing: object) -> bytes:
        what = self.pdf.value(thing)
        if isinstance(what, str):
            raw = getattr(what, "original_bytes", None)
            return raw if isinstance(raw, bytes) else what.encode("latin-1", "replace")
        return what if isinstance(what, bytes) else self.pdf.bytes_of(what)

    def _inks(self, parts: Sequence[object], depth: int) -> Space:
        names = self.pdf.value(parts[1])
        names = names if isinstance(names, list) else [names]
        inks = tuple(str(self.pdf.value(name) or "").lstrip("/") for name in names)
        return Space("inks", len(inks), inks, self._read(parts[2], depth + 1))


def colour(space: Space, numbers: List[float]) -> str:
    """A colour in its space as text; empty where it leaves no mark (the ink "None")."""
    numbers = (list(numbers) + [0.0] * space.size)[: max(space.size, 0)]
    if space.kind == "grey":
        return _hex(numbers * 3)
    if space.kind == "rgb":
        return _hex(numbers)
    if space.kind == "cmyk":
        return _from_cmyk(numbers)
    if space.kind == "inks":
        return _from_inks(space.inks, numbers)
    if space.kind == "lab":
        return _from_lab(numbers)
    if space.kind == "indexed" and space.base is not None:
        return _from_table(space.base, space.table, int(numbers[0]))
    if space.kind == "pattern" and space.base is not None:
        return colour(space.base, numbers)
    return PATTERN


def first_colour(space: Space) -> str:
    """The colour a space begins with when it is chosen: black, or full ink."""
    if space.kind == "inks":
        return colour(space, [1.0] * space.size)
    return colour(space, [0.0, 0.0, 0.0, 1.0] if space.kind == "cmyk" else [0.0] * space.size)


def _hex(numbers: Sequence[float]) -> str:
    return "#" + "".join(
        "{:02x}".format(int(round(min(max(value, 0.0), 1.0) * 255))) for value in numbers[:3]
    )


def _from_cmyk(numbers: Sequence[float]) -> str:
    black = numbers[3]
    return _hex([1.0 - min(1.0, value + black) for value in numbers[:3]])


def _from_inks(inks: Tuple[str, ...], numbers: Sequence[float]) -> str:
    """Inks by name, each with its strength where that is not full; black ink is a grey."""
    if set(inks) <= set(_PROCESS):
        amounts = dict(zip(inks, numbers))
        if len(inks) > 1 or inks == ("Black",):
            return _from_cmyk([amounts.get(ink, 0.0) for ink in _PROCESS])
    used = []
    for ink, amount in zip(inks, numbers):
        if ink != "None" and amount > _NO_INK:
            strength = "" if amount > 1.0 - _NO_INK else " {:.0f}%".format(amount * 100)
            used.append(ink + strength)
    if used:
        return "ink:" + "+".join(used)
    return "" if set(inks) == {"None"} else "#ffffff"


def _from_lab(numbers: Sequence[float]) -> str:
    """CIE Lab to sRGB: CIE 15 for the first step, IEC 61966-2-1 for the matrix and the curve."""
    height = (numbers[0] + 16.0) / 116.0
    parts = (height + numbers[1] / 500.0, height, height - numbers[2] / 200.0)
    white = (0.9505, 1.0, 1.089)
    x, y, z = (w * (p**3 if p > 6 / 29 else 3 * (6 / 29) ** 2 * (p - 4 / 29)) for p, w in zip(parts, white))
    linear = (
        3.2406 * x - 1.5372 * y - 0.4986 * z,
        -0.9689 * x + 1.8758 * y + 0.0415 * z,
        0.0557 * x - 0.2040 * y + 1.0570 * z,
    )
    return _hex([12.92 * v if v <= 0.0031308 else 1.055 * max(v, 0.0) ** (1 / 2.4) - 0.055 for v in linear])


def _from_table(base: Space, table: bytes, index: int) -> str:
    at = max(0, index) * base.size
    row = [byte / 255.0 for byte in table[at : at + base.size]]
    if base.kind == "lab" and len(row) == 3:
        low, high, low2, high2 = base.bounds if len(base.bounds) == 4 else (-100.0, 100.0, -100.0, 100.0)
        row = [row[0] * 100.0, low + row[1] * (high - low), low2 + row[2] * (high2 - low2)]
    return colour(base, row)
