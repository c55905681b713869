"""What the sheet itself says about seam allowance, for the person to read.

Whether an outline is a seam line or a cut line cannot be seen from its shape, and makers
say it in a sentence.  The sentence is told, never acted upon.
"""

import re
from typing import List, Sequence

from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Words

# As patterns print it; common practice, no source.
_MENTION = re.compile(r"seam\s+allowance|nahtzugabe|(?:marge|valeur)s?\s+de\s+couture", re.IGNORECASE)
_NOTHING_SAID = (
    "Outlines came in as seam lines, just as they are drawn. Look in the maker's instructions: if seam "
    "allowance is included, take it off with Seams > Seam allowance before you change anything."
)
# More sentences than this are the instructions, not a note beside the pieces.
_MOST = 3
_LONGEST = 120


def told_allowance(words: Sequence[Words]) -> List[Finding]:
    """The sentences that mention seam allowance, each once, and what they mean for the outlines."""
    said = dict.fromkeys(" ".join(one.text.split()) for one in words if _MENTION.search(one.text))
    if not said:
        return [Finding("allowance-unknown", Level.INFO, _NOTHING_SAID)]
    quoted = " / ".join(text[:_LONGEST] for text in list(said)[:_MOST])
    text = (
        "The sheet says: '{}'. Outlines came in as they are drawn: if seam allowance is included, "
        "take it off with Seams > Seam allowance before you change anything."
    )
    return [Finding("allowance-words", Level.INFO, text.format(quoted))]
