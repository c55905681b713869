"""The same thing found in many sizes of a piece, told once, from the least to the most.

A nest of eight sizes would otherwise be told eight times that a part leans from the grain.
"""

import re
from typing import Dict, List, Sequence, Tuple

from sewkit.pattern.piece import Piece
from sewkit.report import Finding

# What may differ from size to size: a spot on the sheet, or a number that is no part of a name.
_TOKEN = re.compile(r"'[^']*'|(\(-?\d+, -?\d+\)|[-+]?\d+(?:\.\d+)?)")

# Findings that say the same but for their numbers, and, in each, which of several such of its size it is.
_Key = Tuple[str, str, int]


def told_by_size(findings: Sequence[Finding], piece: Piece) -> List[Finding]:
    """The findings, those that differ by size and numbers alone put together where the first one stood.

    A finding is of a size where its text begins "NAME size SIZE:".  Each number becomes "least to
    most", and the most serious level counts.
    """
    return told_together(findings, piece.name, piece.sizes)


def told_together(findings: Sequence[Finding], name: str, sizes: Sequence[str]) -> List[Finding]:
    """The same for whatever has a name and sizes, such as a seam."""
    groups: Dict[_Key, List[Tuple[str, Finding]]] = {}
    # Groups only fill up, so the first one that was free for a size is where the next search begins.
    free: Dict[Tuple[str, str, str], int] = {}
    for finding in findings:
        size, rest = _size_of(finding, name, sizes)
        skeleton = _skeleton(rest)
        number = free.get((finding.code, skeleton, size), 0)
        while any(size == known or not size for known, _ in groups.get((finding.code, skeleton, number), [])):
            number += 1
        groups.setdefault((finding.code, skeleton, number), []).append((size, finding))
        free[(finding.code, skeleton, size)] = number + 1
    return [_together(some, name, sizes) for some in groups.values()]


def _size_of(finding: Finding, name: str, sizes: Sequence[str]) -> Tuple[str, str]:
    """The size of a finding and its text without; no size where it is of the whole piece."""
    for size in sizes:
        begin = "{} size {}: ".format(name, size)
        if size and finding.text.startswith(begin):
            return size, finding.text[len(begin) :]
    return "", finding.text


def _skeleton(text: str) -> str:
    return _TOKEN.sub(lambda found: "#" if found.group(1) else found.group(), text)


def _together(some: Sequence[Tuple[str, Finding]], name: str, sizes: Sequence[str]) -> Finding:
    first = some[0][1]
    if len(some) == 1:
        return first
    texts = [_size_of(finding, name, sizes)[1] for _, finding in some]
    rest = _ranged(texts)
    text = "{} {}: {}".format(name, size_words([size for size, _ in some], sizes), rest)
    cures = [finding.cure for _, finding in some]
    alike = len({_skeleton(cure) for cure in cures}) == 1
    level = max(finding.level for _, finding in some)
    return first._replace(text=text, level=level, where=name, cure=_ranged(cures) if alike else first.cure)


def _ranged(texts: Sequence[str]) -> str:
    """Texts that differ by numbers alone as one, each number from the least to the most."""
    columns = iter(zip(*([f.group(1) for f in _TOKEN.finditer(text) if f.group(1)] for text in texts)))
    return _TOKEN.sub(lambda found: _range(next(columns)) if found.group(1) else found.group(), texts[0])


def _range(words: Sequence[str]) -> str:
    """From the least to the most of numbers; from the first to the last of spots."""
    ends = (words[0], words[-1]) if words[0][0] == "(" else (min(words, key=float), max(words, key=float))
    return " to ".join(dict.fromkeys(ends))


def size_words(named: Sequence[str], every: Sequence[str]) -> str:
    """ "size 4", "sizes 4 and 6", "sizes 4 to 8" or "sizes 4, 8, 12", of every size there is, in order."""
    if len(named) < 3:
        return "size{} {}".format("" if len(named) == 1 else "s", " and ".join(named))
    first = every.index(named[0])
    in_a_row = list(every[first : first + len(named)]) == list(named)
    return "sizes " + ("{} to {}".format(named[0], named[-1]) if in_a_row else ", ".join(named))
