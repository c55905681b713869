"""What the sheet itself says about seam allowance, for the person to read.

Whether an outline is a seam line or a cut line cannot be seen from its shape, and makers
say it in a sentence.  The sentence is told, never acted upon.
"""

import re
from typing import List, Optional, Sequence

import numpy as np

from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import along, aside
from sewkit.sheet.role_words import reading

# As patterns print it; common practice, no source.  What is allowed for ease is something else.
_MENTION = re.compile(
    r"(?<!ease )\ballowances?\b|\b(?:naht|saum)?zugaben?\b|(?:marge|valeur)s?\s+de\s+couture", re.IGNORECASE
)
_NOTHING_SAID = (
    "Outlines came in as seam lines, just as they are drawn. Look in the maker's instructions: if seam "
    "allowance is included, take it off with Seams > Seam allowance before you change anything."
)
# More sentences than this are the instructions, not a note beside the pieces.
_MOST = 3
_LONGEST = 120

# A sentence goes on in the line below, so many heights of its letters further down.
_NEXT_LINE = (0.9, 2.0)
# Both lines are of one size (share) and begin within this many heights of each other.
_SAME_SIZE, _FLUSH = 0.05, 1.0
_ENDS = re.compile(r"[.!?][)\"'”’]?$")


def told_allowance(words: Sequence[Words]) -> List[Finding]:
    """The sentences that mention seam allowance, each once, and what they mean for the outlines."""
    said = dict.fromkeys(_sentence(one, words) for one in words if _MENTION.search(one.text))
    if not said:
        return [Finding("allowance-unknown", Level.INFO, _NOTHING_SAID)]
    quoted = " / ".join(text[:_LONGEST].rstrip(".") for text in list(said)[:_MOST])
    text = (
        "The sheet says: '{}'. Outlines came in as they are drawn: if seam allowance is included, "
        "take it off with Seams > Seam allowance before you change anything; if none is, add it there when "
        "the pieces are right."
    )
    return [Finding("allowance-words", Level.INFO, text.format(quoted))]


def _sentence(mention: Words, words: Sequence[Words]) -> str:
    """A line with those above and below it that belong to its sentence."""
    lines = [mention]
    while len(lines) < _MOST and not _ENDS.search(_plain(lines[-1])):
        below = next((one for one in words if _goes_on(lines[-1], one)), None)
        if below is None:
            break
        lines.append(below)
    above: Optional[Words] = mention
    while above is not None and len(lines) < 2 * _MOST and _plain(lines[0])[:1].islower():
        begun = [one for one in words if _goes_on(one, lines[0]) and not _ENDS.search(_plain(one))]
        above = begun[0] if begun else None
        lines = begun[:1] + lines
    return " ".join(map(_plain, lines))


def _plain(one: Words) -> str:
    return " ".join(one.text.split())


def _goes_on(one: Words, other: Words) -> bool:
    """Whether the other stands right below, as the next line of a paragraph does."""
    start, step = np.array([one.x, one.y]), np.array([other.x, other.y])
    down = float(aside(step, start, reading(one))) / max(one.height, 1e-9)
    flush = abs(float(along(step, start, reading(one)))) <= _FLUSH * one.height
    alike = abs(one.height - other.height) <= _SAME_SIZE * one.height and abs(one.angle - other.angle) < 1.0
    return alike and flush and _NEXT_LINE[0] <= down <= _NEXT_LINE[1]
