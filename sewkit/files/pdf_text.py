"""Text operators of a PDF's page: where each shown string stands, and what it says.

Positions follow ISO 32000-1, 9.4.  A string becomes a piece; ``pdf_words`` joins pieces.
"""

import math
from typing import List, Optional, Tuple

from sewkit.files.pdf_state import UNIT, Matrix, Piece, State, times
from sewkit.sheet.drawn import Box

# Text drawn neither filled nor stroked: a scan's searchable text, or a word behind outlines.
_INVISIBLE = (3, 7)
_STROKED = (1, 5)


class TextPart:
    """The text half of a painter; it has its ``state``, ``scene``, ``book``, ``member``."""

    state: State

    def start_text(self) -> None:
        """Begin with no text line open."""
        self.text: Matrix = UNIT
        self.line: Matrix = UNIT

    def begin_text(self, operands: List[object]) -> None:
        """BT: forget where text stood."""
        self.text = self.line = UNIT

    def set_font(self, operands: List[object]) -> None:
        """Tf: the font and its size."""
        name, size = operands[-2:]
        fonts = self.book.pdf.table(self.resources, "/Font")  # type: ignore[attr-defined]
        self.state.font = self.book.font(fonts.get("/" + name))  # type: ignore[attr-defined, operator]
        self.state.size = float(size)  # type: ignore[arg-type]

    def set_letter_gap(self, operands: List[float]) -> None:
        """Tc: more room after each letter."""
        self.state.letter_gap = float(operands[-1])

    def set_word_gap(self, operands: List[float]) -> None:
        """Tw: more room after each blank."""
        self.state.word_gap = float(operands[-1])

    def set_stretch(self, operands: List[float]) -> None:
        """Tz: letters wider or narrower, percent."""
        self.state.stretch = float(operands[-1]) / 100.0

    def set_leading(self, operands: List[float]) -> None:
        """TL: from one line to the next."""
        self.state.leading = float(operands[-1])

    def set_rise(self, operands: List[float]) -> None:
        """Ts: above the baseline."""
        self.state.rise = float(operands[-1])

    def set_mode(self, operands: List[float]) -> None:
        """Tr: filled, stroked, or not seen."""
        self.state.mode = int(operands[-1])

    def move_line(self, operands: List[float]) -> None:
        """Td: the start of the next line."""
        x, y = operands[-2:]
        self.text = self.line = times((1.0, 0.0, 0.0, 1.0, float(x), float(y)), self.line)

    def move_line_leading(self, operands: List[float]) -> None:
        """TD: as Td, and that is the leading."""
        self.state.leading = -float(operands[-1])
        self.move_line(operands)

    def set_text_matrix(self, operands: List[float]) -> None:
        """Tm: where text stands, and how it is turned."""
        a, b, c, d, e, f = (float(value) for value in operands[-6:])
        self.text = self.line = (a, b, c, d, e, f)

    def next_line(self, operands: List[object]) -> None:
        """T*: the next line."""
        self.move_line([0.0, -self.state.leading])

    def next_line_show(self, operands: List[object]) -> None:
        """': the next line, and its text."""
        self.next_line([])
        self.show(operands)

    def next_line_show_spaced(self, operands: List[object]) -> None:
        """The operator of a double quote: gaps, the next line, and its text."""
        self.state.word_gap, self.state.letter_gap = float(operands[0]), float(operands[1])  # type: ignore[arg-type]
        self.next_line([])
        self.show(operands)

    def show_spaced(self, operands: List[list]) -> None:  # type: ignore[type-arg]
        """TJ: strings with jumps between."""
        state = self.state
        for item in operands[-1]:
            if isinstance(item, bytes):
                self.show([item])
            elif isinstance(item, float):
                self._advance(-item / 1000.0 * state.size * state.stretch)

    def show(self, operands: List[object]) -> None:
        """One string: a piece, and the text matrix moved past it."""
        raw, state = operands[-1], self.state
        font = state.font
        if not isinstance(raw, bytes) or font is None:
            return
        words, ems, letters, blanks = font.read(raw)  # type: ignore[attr-defined]
        width = (ems * state.size + letters * state.letter_gap + blanks * state.word_gap) * state.stretch
        place = _placed(state, self.text, width)
        if place is not None and words:
            x, y, ahead, height, length = place
            paint = state.stroke if state.mode in _STROKED else state.fill
            unseen = state.mode in _INVISIBLE or not state.fill_seen
            self.scene.pieces.append(  # type: ignore[attr-defined]
                Piece(words, x, y, ahead, height, length, paint, self.member, unseen, state.clip)  # type: ignore[attr-defined]
            )
        self._advance(width)

    def _advance(self, width: float) -> None:
        a, b, c, d, e, f = self.text
        if math.isfinite(width):
            self.text = (a, b, c, d, e + width * a, f + width * b)


Placed = Tuple[float, float, Tuple[float, float], float, float]


def _placed(state: State, text: Matrix, width: float) -> Optional[Placed]:
    """Start, direction, height and length of a string on the page; None where it has no size."""
    whole = times(text, state.matrix)
    a, b, c, d = whole[:4]
    along = math.hypot(a, b)
    height = abs(state.size) * (abs(a * d - b * c) / along if along > 0 else 0.0)
    if not (height > 0 and math.isfinite(height) and math.isfinite(width)):
        return None
    x = c * state.rise + whole[4]
    y = d * state.rise + whole[5]
    sign = -1.0 if state.size * state.stretch < 0 else 1.0
    return x, y, (sign * a / along, sign * b / along), height, abs(width) * along


def clipped_away(piece: Piece, dx: float, dy: float, clip: Optional[Box]) -> bool:
    """Whether no letter of a piece can be seen within a clip."""
    if clip is None:
        return False
    x, y = piece.x + dx, piece.y + dy
    end_x, end_y = x + piece.ahead[0] * piece.width, y + piece.ahead[1] * piece.width
    reach = piece.height
    outside = max(x, end_x) + reach < clip[0] or min(x, end_x) - reach > clip[2]
    return outside or max(y, end_y) + reach < clip[1] or min(y, end_y) - reach > clip[3]
