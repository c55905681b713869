"""How wide words are in Helvetica, which every PDF viewer has or has the like of.

Widths in thousandths of the letters' size, from Adobe's metrics of the fourteen standard
fonts (Core 14 AFM).  Letters are those of the code page Windows-1252, as a PDF has them by
name without bringing a font along.
"""

import functools
import unicodedata
from typing import Tuple

_CODE = "cp1252"
_FIRST = 32  # the first code that is a letter: the blank

# One number for each code from 32 to 255; 0 where there is no letter.
_PLAIN = """
278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556
556 278 278 584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 667 778
722 667 611 722 667 944 667 667 611 278 278 278 469 556 333 556 556 500 556 556 278 556 556 222 222
500 222 833 556 556 556 556 333 500 278 556 500 722 500 500 500 334 260 334 584 0 556 0 222 556
333 1000 556 556 333 1000 667 333 1000 0 611 0 0 222 222 333 333 350 556 1000 333 1000 500 333 944 0
500 667 278 333 556 556 556 556 260 556 333 737 370 556 584 333 737 333 400 584 333 333 333 556 537
278 333 333 365 556 834 834 834 611 667 667 667 667 667 667 1000 722 667 667 667 667 278 278 278 278
722 722 778 778 778 778 778 584 778 722 722 722 722 667 667 611 556 556 556 556 556 556 889 500 556
556 556 556 278 278 278 278 556 556 556 556 556 556 556 584 611 556 556 556 556 500 556 500
"""
_BOLD = """
278 333 474 556 556 889 722 238 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556
556 333 333 584 584 584 611 975 722 722 722 722 667 611 778 722 278 556 722 611 833 722 778 667 778
722 667 611 722 667 944 667 667 611 333 278 333 584 556 333 556 611 556 611 556 333 611 611 278 278
556 278 889 611 611 611 611 389 556 333 611 556 778 556 556 500 389 280 389 584 0 556 0 278 556
500 1000 556 556 333 1000 667 333 1000 0 611 0 0 278 278 500 500 350 556 1000 333 1000 556 333 944 0
500 667 278 333 556 556 556 556 280 556 333 737 370 556 584 333 737 333 400 584 333 333 333 611 556
278 333 333 365 556 834 834 834 611 722 722 722 722 722 722 1000 722 667 667 667 667 278 278 278 278
722 722 778 778 778 778 778 584 778 722 722 722 722 667 667 611 556 556 556 556 556 556 889 556 556
556 556 556 278 278 278 278 611 611 611 611 611 611 611 584 611 611 611 611 611 556 611 556
"""
_WIDTHS = tuple(tuple(int(word) for word in table.split()) for table in (_PLAIN, _BOLD))

# Signs that the fonts lack and that can be said with others; letters with marks lose the marks.
_OTHERWISE = {
    "\u00a0": " ",
    "\u00ad": "",
    "\u2010": "-",
    "\u2011": "-",
    "\u2012": "-",
    "\u2212": "-",
    "\u2044": "/",
    "\u2190": "<-",
    "\u2192": "->",
    "\u2260": "not =",
    "\u2264": "<=",
    "\u2265": ">=",
    "\u0110": "D",
    "\u0111": "d",
    "\u0131": "i",
    "\u0141": "L",
    "\u0142": "l",
}

UNKNOWN = "?"  # in place of a letter that cannot be said with others


def text_width(text: str, height: float, bold: bool = False) -> float:
    """How long a line of text is (mm) in letters of the size ``height`` (mm)."""
    widths = _WIDTHS[1 if bold else 0]
    return sum(widths[code - _FIRST] for code in letters(text)) * height / 1000.0


def letters(text: str) -> bytes:
    """The text in the letters of the fonts, one byte a letter."""
    return "".join(_said(sign) for sign in text).encode(_CODE)


def lost_letters(text: str) -> Tuple[str, ...]:
    """The letters of a text in whose place only ``?`` can be printed, each once."""
    return tuple(dict.fromkeys(sign for sign in text if sign != UNKNOWN and _said(sign) == UNKNOWN))


@functools.lru_cache(maxsize=4096)
def _said(sign: str) -> str:
    """A sign as the fonts can say it."""
    if sign in _OTHERWISE:
        return _OTHERWISE[sign]
    if _known(sign):
        return sign
    if sign.isspace():
        return " "
    if unicodedata.category(sign) in ("Cc", "Cf", "Mn"):
        return ""  # nothing that is seen by itself
    parts = unicodedata.normalize("NFKD", sign)
    said = "".join(_OTHERWISE.get(one, one) for one in parts if not unicodedata.combining(one))
    return said if said and all(_known(one) for one in said) else UNKNOWN


def _known(sign: str) -> bool:
    try:
        code = sign.encode(_CODE)[0]
    except UnicodeEncodeError:
        return False
    return code >= _FIRST and _WIDTHS[0][code - _FIRST] > 0
