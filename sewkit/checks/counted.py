"""Which pieces make the girth of a garment, and how often each of them is in it.

A facing lies on its parent and a pocket on the cloth: they are as wide as they like and add
nothing to the girth.  What a piece is called tells; and a piece that is sewn to one other piece
along two edges with the same corner between them lies on it: beside it, it could not be sewn so.
"""

import re
from typing import Dict, Mapping, NamedTuple, Optional, Tuple

from sewkit.body.measures import known_measure, plain_words
from sewkit.geometry.path import turns
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# Pieces that lie on others, by a word of their name; and what each of them is.
_LAID_ON = {
    "facing": "a facing",
    "lining": "a lining",
    "interfacing": "an interfacing",
    "interlining": "an interlining",
    "underlining": "an underlining",
    "canvas": "a canvas",
    "stay": "a stay",
    "pocket": "a pocket",
    "bag": "a pocket",
    "flap": "a flap",
    "welt": "a welt",
    "placket": "a placket",
    "fly": "a fly",
    "collar": "a collar",
    "hood": "a hood",
    "cuff": "a cuff",
    "band": "a band",
    "waistband": "a waistband",
    "binding": "a binding",
    "belt": "a belt",
    "loop": "a loop",
    "tie": "a tie",
    "strap": "a strap",
    "tab": "a tab",
    "ruffle": "a ruffle",
    "frill": "a frill",
    "pad": "a pad",
}
_SLEEVE = "a sleeve"

# Levels of an arm or a leg: there the girth is that of one of the two.
_LIMBS = ("upper arm", "biceps", "bicep", "elbow", "forearm", "wrist", "thigh", "knee", "calf", "ankle")

# Of two pieces sewn to each other along two edges in a row the one laid on is smaller than
# this part of the other (common practice, no source).
_SMALLER = 0.8

# A corner that tells (degrees): a panel seam bends less at the bust.  On a piece that lies on
# another both corners agree within this (degrees; common practice, no source).
_CORNER, _ALIKE = 20.0, 10.0


class Counting(NamedTuple):
    """Who counts.

    Args:
        names: the pieces that count, in the order of the drawing.
        left_out: the others, and why, in words.
        times: how often, where somebody said so.
    """

    names: Tuple[str, ...]
    left_out: Mapping[str, str]
    times: Mapping[str, float] = {}


def counting(pattern: Pattern, size: str, said: Mapping[str, float] = {}, level: str = "") -> Counting:
    """Which pieces count at a level.

    Args:
        said: the pieces that count, with how often (0: as often as they are cut); empty: found
            out by their names and by how they are sewn on.
    """
    if said:
        names = tuple(piece.name for piece in pattern.pieces if piece.name in said)
        left = {p.name: "not asked for" for p in pattern.pieces if p.name not in said}
        return Counting(names, left, {name: times for name, times in said.items() if times > 0})
    left_out: Dict[str, str] = {}
    for piece in pattern.pieces:
        why = _why_not(pattern, piece, size, level)
        if why:
            left_out[piece.name] = why
    return Counting(tuple(p.name for p in pattern.pieces if p.name not in left_out), left_out)


def times(piece: Piece, on_fold: bool, level: str, who: Counting) -> float:
    """How often the drawn width of a piece is in the girth: how many are cut, on the fold twice."""
    if piece.name in who.times:
        return who.times[piece.name]
    count = max(piece.cut / 2.0, 1.0) if is_limb(level) else float(piece.cut)
    return count * (2.0 if on_fold else 1.0)


def is_limb(level: str) -> bool:
    """Whether the level goes round one arm or one leg."""
    return level_key(level) in _LIMBS


def level_key(level: str) -> str:
    """One name for levels that mean the same: waist for waist-line, chest for bust."""
    words = re.sub(r"[ -]?(line|level)$", "", plain_words(level)) or plain_words(level)
    measure = known_measure(words)
    if measure is None:
        return words
    return min(name for name in (measure.name, measure.twin) if name)


def _why_not(pattern: Pattern, piece: Piece, size: str, level: str) -> str:
    """Why a piece does not count, in words; empty where it does."""
    words = [re.sub(r"s$", "", word) for word in re.findall(r"[a-z]+", piece.name.lower())]
    for word in words:
        if word in _LAID_ON:
            return _LAID_ON[word]
    if "sleeve" in words and not is_limb(level):
        return _SLEEVE
    parent = _laid_on(pattern, piece, size)
    return "it is sewn on to {}".format(parent) if parent else ""


def outline_in(piece: Piece, size: str) -> Optional[Outline]:
    """The outline that serves a size, or None where it is not drawn in it."""
    own = next((outline for outline in piece.outlines if outline.size == size), None)
    if own is None and len(piece.outlines) == 1 and not piece.outlines[0].size:
        return piece.outlines[0]
    return own


def _laid_on(pattern: Pattern, piece: Piece, size: str) -> str:
    """The piece on which this one lies; empty where there is none."""
    mine = outline_in(piece, size)
    for other in pattern.pieces:
        theirs = outline_in(other, size)
        if other.name == piece.name or mine is None or theirs is None:
            continue
        if abs(signed_area(mine.path)) >= _SMALLER * abs(signed_area(theirs.path)):
            continue
        sewn = _sewn(pattern, piece.name, other.name)
        corners = _corners(theirs)
        for (before, after), turn in _corners(mine).items():
            pair = sewn.get(before, ""), sewn.get(after, "")
            there = corners.get(pair, corners.get(pair[::-1], 0.0))
            if turn >= _CORNER and abs(there - turn) <= _ALIKE:
                return other.name
    return ""


def _sewn(pattern: Pattern, piece: str, other: str) -> Dict[str, str]:
    """The edges of a piece that are sewn to another, and to which of its edges."""
    found: Dict[str, str] = {}
    for seam in pattern.seams:
        for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
            if len(here) == len(there) == 1 and (here[0].piece, there[0].piece) == (piece, other):
                found[here[0].edge] = there[0].edge
    return found


def _corners(outline: Outline) -> Dict[Tuple[str, str], float]:
    """How far the outline turns inwards (degrees) from each edge to the next."""
    if not outline.path.closed or not len(outline.path):
        return {}
    way = 1.0 if signed_area(outline.path) >= 0 else -1.0
    bends = turns(outline.path)
    edges = outline.edges
    return {
        (before.name, after.name): way * float(bends[after.start])
        for before, after in zip(edges[-1:] + edges[:-1], edges)
    }
