"""What a garment is called where one of its sizes is cut: "Waistcoat" of "Waistcoat, eight sizes"."""

import re
from typing import Sequence

_COUNTS = "two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|all|both|many|several"
_SIZES = re.compile(
    r"(?:\s*[,;:(]|\s+[-–—])\s*(?:in\s+)?(?:(?:\d+|{})\s+sizes|sizes\s.*)\)?\s*$".format(_COUNTS), re.I
)


def garment_for(title: str, sizes: Sequence[str]) -> str:
    """The title of a drawing as it fits the sizes that are cut: one alone is not called several."""
    several = len({size for size in sizes if size}) > 1
    return title if several else _SIZES.sub("", title).strip()
