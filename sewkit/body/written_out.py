"""Whether a person's name is written out, where initials or a number would serve."""

import re

# Three small letters in a row; initials and numbers have none.
_WRITTEN_OUT = re.compile(r"[a-zß-ÿ]{3}")

_TOLD = "'{}' looks like a name: initials or a number on the sheets serve as well, and tell nobody who it is."


def written_out(who: str) -> str:
    """The sentence that tells of a name that is written out; empty for initials and numbers."""
    return _TOLD.format(who) if _WRITTEN_OUT.search(who) else ""
