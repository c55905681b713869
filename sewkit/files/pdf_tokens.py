"""The language of a PDF's page, cut into instructions.

Strings, names, arrays and dictionaries become Python values; runs of path operators stay
text and are read together by ``pdf_runs``.  The pattern below never looks at a byte more
than a few times, whatever the bytes are.
"""

import re
from typing import Dict, List, NamedTuple, Tuple

from sewkit.errors import FileError
from sewkit.files.pdf_runs import Runs, number, read_runs

# Steps of drawing in one file: a curve kept is one, an instruction half a one.  A dense file
# of forty pages takes half a million; at this limit reading takes some twenty seconds and
# some hundred megabytes.
MOST_STEPS = 5000000
# Arrays and dictionaries inside each other; drawings have three.
DEEPEST = 32
# Values before one operator or in one array; a long line of spaced text has some hundred.
MOST_OPERANDS = 20000

_BLANK = rb"[\x00\t\n\f\r ]"
_NUMBER = rb"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)" + _BLANK + rb"+"
_END = rb"(?=[\x00\t\n\f\r /\[(<%]|\Z)" + _BLANK + rb"*"
_TWO = rb"(?:" + _NUMBER + rb"){2}"
_STEP = _TWO + rb"(?:[ml]|" + _TWO + rb"(?:[vy]|re|" + _TWO + rb"c))" + _END + rb"|h" + _END
# A run is cut after some thousand steps: the pattern's own memory grows with each.
_TOKEN = re.compile(
    _BLANK
    + rb"*(?:((?:"
    + _STEP
    + rb"){1,4000})"  # 1: path operators with their numbers
    + rb"|([-+.0-9\x00\t\n\f\r ]{0,4000})([A-Za-z'\"][A-Za-z0-9*'\"]*)"  # 2, 3: numbers and operator
    + rb"|([-+.0-9][-+.0-9\x00\t\n\f\r ]{0,4000})"  # 4: numbers alone
    + rb"|/([^\x00\t\n\f\r ()<>\[\]{}/%]*)"  # 5: a name
    + rb"|\(([^()\\]*(?:\\.[^()\\]*)*)\)"  # 6: a string without brackets in it
    + rb"|<([0-9A-Fa-f\x00\t\n\f\r ]*)>"  # 7: a string in hexadecimal digits
    + rb"|(<<|>>|[\[\]])"  # 8
    + rb"|%[^\r\n]*)",
    re.DOTALL,
)
_BLANKS = re.compile(_BLANK + rb"*")
_ESCAPE = re.compile(rb"\\([0-7]{1,3}|\r\n|.)", re.DOTALL)
_ESCAPED = {
    b"n": b"\n",
    b"r": b"\r",
    b"t": b"\t",
    b"b": b"\b",
    b"f": b"\f",
    b"\n": b"",
    b"\r": b"",
    b"\r\n": b"",
}
_HEX_IN_NAME = re.compile(rb"#([0-9A-Fa-f]{2})")
_BRACKET = re.compile(rb"\\.|[()]", re.DOTALL)
_IMAGE_END = re.compile(rb"(?<=[\x00\t\n\f\r ])EI(?=[\x00\t\n\f\r ]|\Z)")
_PLAIN_TEXT = re.compile(rb"[\t\n\f\r -~]*\Z")

_PATHS = {b"m": 2, b"l": 2, b"c": 6, b"v": 4, b"y": 4, b"re": 4, b"h": 0}
# What painting does: (operator it counts as, closes first, only fills).
_PAINTS = {
    b"S": ("S", False, False),
    b"s": ("S", True, False),
    b"f": ("f", False, True),
    b"F": ("f", False, True),
    b"f*": ("f", False, True),
    b"B": ("B", False, False),
    b"B*": ("B", False, False),
    b"b": ("B", True, False),
    b"b*": ("B", True, False),
    b"n": ("n", False, True),
}
_WORDS = {b"true": True, b"false": False, b"null": None}


class TooMuch(FileError):
    """More steps of drawing than a pattern can have."""

    def __init__(self) -> None:
        super().__init__(
            "This PDF has more than {} million steps of drawing, which no pattern needs; reading it would "
            "take all of this computer's memory.".format(MOST_STEPS // 1000000),
            "Read fewer pages at a time, or ask the maker for another copy.",
            code="pdf-too-much",
        )


class Budget:
    """Counts the steps of a whole file, and stops it at the limit."""

    def __init__(self) -> None:
        self.left = MOST_STEPS
        self.lines = 0

    def spend(self, steps: int) -> None:
        """Take steps off; raises ``TooMuch`` when none are left."""
        self.left -= steps
        if self.left < 0:
            raise TooMuch()

    def count_lines(self, lines: int) -> None:
        """Lines that were seen and not yet drawn; raises ``TooMuch`` as soon as they must be too many."""
        self.lines += lines
        if 1.5 * self.lines > MOST_STEPS:
            raise TooMuch()


class Reference(NamedTuple):
    """Another object of the file, by its number."""

    number: int
    generation: int


class Program(NamedTuple):
    """The instructions of one stream: (operator, operands), and its paths.

    A painting instruction (``S``, ``f``, ``B``, ``n``) has the number of its run, or -1 for
    none, in place of operands.  ``lost``: some of the stream could not be understood.
    """

    steps: List[Tuple[str, object]]
    runs: Runs
    lost: bool


def read_program(data: bytes, budget: Budget) -> Program:
    """Cut a content stream into its instructions; damaged places are stepped over."""
    return _Reader(data, budget).read()


class _Reader:
    """One pass over a stream: operands gather until their operator comes."""

    def __init__(self, data: bytes, budget: Budget) -> None:
        self.data = data
        self.budget = budget
        self.steps: List[Tuple[str, object]] = []
        self.bare: Dict[bytes, Tuple[str, object]] = {}  # instructions without operands, made once
        self.texts: List[bytes] = []
        self.filled: List[bool] = []
        self.pieces: List[bytes] = []  # of the run being gathered
        self.clips = False
        self.operands: List[object] = []
        self.outer: List[Tuple[List[object], bool]] = []  # operands around an open bracket
        self.lost = False

    def read(self) -> Program:
        """All of it."""
        match, at, data = _TOKEN.match, 0, self.data
        count = 0
        while True:
            found = match(data, at)
            if found is None:
                at = self._odd(_BLANKS.match(data, at).end())  # type: ignore[union-attr]
                if at < 0:
                    break
                continue
            at = found.end()
            kind = found.lastindex
            if kind == 1 and not self.outer:
                self._path(found.group(1))
            elif kind == 3:
                at = self._operator(found.group(2), found.group(3), at)
            else:
                self._operand(kind, found)
            count += 1
            if count >= 1000:
                self.budget.spend(count // 2)
                count = 0
            if len(self.operands) > MOST_OPERANDS:
                count += len(self.operands)
                self.operands, self.lost = [], True
        return Program(self.steps, read_runs(self.texts, self.filled), self.lost)

    def _odd(self, at: int) -> int:
        """Step over what is no token; a string with brackets in it is read here.  -1 at the end."""
        if at >= len(self.data):
            return -1
        if self.data[at] != ord("("):
            self.lost = True
            return at + 1
        depth = 0
        for found in _BRACKET.finditer(self.data, at):
            depth += {b"(": 1, b")": -1}.get(found.group(), 0)
            if depth == 0:
                self.operands.append(_string(self.data[at + 1 : found.start()]))
                return found.end()
        self.lost = True
        return len(self.data)

    def _operand(self, kind: object, found: "re.Match[bytes]") -> None:
        if kind == 4 or kind == 1:
            words = found.group(kind).replace(b"\0", b" ").split()
            self.operands.extend(number(word) for word in words if word[:1] not in b"mlcvyrh")
        elif kind == 5:
            self.operands.append(_name(found.group(5)))
        elif kind == 6:
            self.operands.append(_string(found.group(6)))
        elif kind == 7:
            digits = b"".join(found.group(7).replace(b"\0", b"").split())
            self.operands.append(bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii")))
        elif kind == 8:
            self._bracket(found.group(8))

    def _bracket(self, mark: bytes) -> None:
        if mark in (b"[", b"<<"):
            if len(self.outer) >= DEEPEST:
                self.lost = True
                return
            self.outer.append((self.operands, mark == b"<<"))
            self.operands = []
        elif self.outer:
            inside = self.operands
            self.operands, is_dictionary = self.outer.pop()
            if is_dictionary:
                keys, values = inside[::2], inside[1::2]
                self.operands.append({k: v for k, v in zip(keys, values) if isinstance(k, str)})
            else:
                self.operands.append(inside)

    def _path(self, text: bytes) -> None:
        if self.pieces or text.lstrip()[:1] != b"h" and _starts(text):
            self.pieces.append(text)
            self.budget.count_lines(text.count(b"l") + text.count(b"c") + 4 * text.count(b"r"))
        else:
            self.lost = True

    def _operator(self, numbers: bytes, name: bytes, at: int) -> int:
        """One operator; the place to read on."""
        operands = self.operands
        if numbers and not numbers.isspace():
            operands.extend([number(word) for word in numbers.replace(b"\0", b" ").split()])
        if self.outer:
            self._inside(name)
            return at
        if name in _PAINTS:
            self._paint(name)
        elif name in _PATHS:
            self._loose_path(name)
        elif name == b"BI":
            pass  # its keys gather as operands until ID
        elif name == b"ID":
            at = self._image(at)
        elif operands:
            self.steps.append((name.decode("ascii"), operands))
        else:
            if name == b"W" or name == b"W*":
                self.clips, name = True, b"W"
            bare = self.bare.get(name)
            if bare is None:
                bare = self.bare[name] = (name.decode("ascii"), [])
            self.steps.append(bare)
        if operands:
            self.operands = []
        return at

    def _inside(self, name: bytes) -> None:
        """A word between brackets: true, false, null, or the R of a reference."""
        if name in _WORDS:
            self.operands.append(_WORDS[name])
        elif name == b"R" and len(self.operands) >= 2:
            generation, which = self.operands.pop(), self.operands.pop()
            if isinstance(which, float) and isinstance(generation, float) and 0 < which < 1e9:
                self.operands.append(Reference(int(which), int(generation)))
        elif name in _PAINTS or name in ("Q", "q", "ET", "BT"):
            # A bracket that nobody closed: drawing goes on.
            self.operands, self.outer, self.lost = [], [], True

    def _loose_path(self, name: bytes) -> None:
        """A path operator with too many numbers, or numbers written oddly."""
        need = _PATHS[name]
        values = [value for value in self.operands if isinstance(value, float)]
        if len(values) < need:
            self.lost = True
            return
        # Long but finite: repr of a float has no exponent below 1e16; larger is damage anyway.
        plain = [
            "{:.17g}".format(value) if abs(value) < 1e16 else "1" + "0" * 16
            for value in values[len(values) - need :]
        ]
        text = " ".join("0" if "e" in word else word for word in plain)
        self._path(text.encode("ascii") + b" " + name + b" ")

    def _paint(self, name: bytes) -> None:
        kind, closes, fills = _PAINTS[name]
        run = -1
        if self.pieces and (kind != "n" or self.clips):
            if closes:
                self.pieces.append(b"h ")
            run = len(self.texts)
            text = b"".join(self.pieces) if len(self.pieces) > 1 else self.pieces[0]
            self.texts.append(text)
            self.filled.append(fills)
            self.budget.spend((text.count(b"l") + text.count(b"c") + text.count(b"m")) // 2)
        if run >= 0 or self.clips:
            self.steps.append((kind, run))
        if self.pieces:
            self.pieces = []
        self.clips = False

    def _image(self, at: int) -> int:
        """Step over the bytes of an image in the stream; what follows must look like text."""
        pairs = self.operands
        keys = {k: v for k, v in zip(pairs[::2], pairs[1::2]) if isinstance(k, str)}
        start = at + _plain_length(keys)
        for found in _IMAGE_END.finditer(self.data, min(start, len(self.data))):
            if _PLAIN_TEXT.match(self.data[found.end() : found.end() + 40]):
                self.steps.append(("EI", []))
                return found.end()
        self.lost = True
        return len(self.data)


def _starts(text: bytes) -> bool:
    """Whether a run begins with a point of its own."""
    for byte in text:
        if byte > 57:  # the first letter
            return byte in b"mr"
    return False


def _plain_length(keys: Dict[str, object]) -> int:
    """Bytes of an image that is not packed; 1 where that cannot be told."""
    if "F" in keys or "Filter" in keys:
        return 1
    width, height = keys.get("W", keys.get("Width")), keys.get("H", keys.get("Height"))
    bits = (
        1.0 if keys.get("IM", keys.get("ImageMask")) else keys.get("BPC", keys.get("BitsPerComponent", 8.0))
    )
    inks = {"RGB": 3, "DeviceRGB": 3, "CMYK": 4, "DeviceCMYK": 4}.get(
        str(keys.get("CS", keys.get("ColorSpace"))), 1
    )
    if not all(isinstance(value, float) and 0 <= value < 1e5 for value in (width, height, bits)):
        return 1
    return 1 + (int(width) * int(bits) * inks + 7) // 8 * int(height)  # type: ignore[call-overload]


def _name(raw: bytes) -> str:
    if b"#" in raw:
        raw = _HEX_IN_NAME.sub(lambda found: bytes([int(found.group(1), 16)]), raw)
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


def _string(raw: bytes) -> bytes:
    if b"\\" not in raw:
        return raw
    return _ESCAPE.sub(_unescaped, raw)


def _unescaped(found: "re.Match[bytes]") -> bytes:
    what = found.group(1)
    if what[0] in b"01234567":
        return bytes([int(what, 8) & 255])
    return _ESCAPED.get(what, what)
