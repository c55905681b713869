"""Which words of a drawing a print repeats: whose it is, what it may be used for, its scale.

Anything else may have become untrue: the pieces were changed since, and what is printed says how.
"""

import re
from typing import NamedTuple, Sequence, Tuple

# Words by which a maker says whose a drawing is, what is allowed with it, and its scale.
_NOTICE = re.compile(
    r"licen[cs]e|copyright|©|\(c\)|all rights|public domain|\bcc[ -]?(by|0)\b|personal use|commercial|"
    r"https?://|www\.|^by |\b(made|drawn|drafted|designed|published) by\b|\bscale\b",
    re.IGNORECASE,
)

# Words by which a drawing tells of its allowance and of its lines.
_ALLOWANCE = re.compile(r"allowance|seam lines?\b|stitch(ing)? lines?\b|cut(ting)? lines?\b", re.IGNORECASE)

# A sentence of the drawing ends so; other words stand in tables and beside lines.
_END = re.compile(r"[.!?]$")
_BETWEEN = re.compile(r"(?<=[.!?])\s+")


# The code of the finding that tells which words of the drawing are printed nowhere.
UNSAID = "words-not-printed"


class Repeated(NamedTuple):
    """What of a drawing's own words is repeated, and which of its sentences are not."""

    kept: Tuple[str, ...]
    left_out: Tuple[str, ...]


def repeated(texts: Sequence[str], cut: bool) -> Repeated:
    """Sort the words of a drawing that belong to no piece, each once.

    Args:
        cut: cut lines are printed, so that words that ask for an allowance would have it added twice.
    """
    kept, left_out = [], []
    for text in dict.fromkeys(" ".join(text.split()) for text in texts):
        if not _NOTICE.search(text):
            left_out += [text] * bool(_END.search(text))
            continue
        sentences = _BETWEEN.split(text)
        wrong = [one for one in sentences if cut and _ALLOWANCE.search(one)]
        rest = " ".join(one for one in sentences if one not in wrong)
        kept += [rest] * bool(_NOTICE.search(rest))
        left_out += wrong
    return Repeated(tuple(kept), tuple(left_out))
