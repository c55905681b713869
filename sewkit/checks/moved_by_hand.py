"""Edges that somebody moved by hand with the editor's own tools.

The drawing writes the length of every edge with its name, and whatever we change is written
anew.  So an edge that is longer than what stands there was moved by hand.  That is told until the
lengths are kept anew; it is no more than a note where both sides of its seams were moved alike.
"""

from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.checks.baseline import Before, still
from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.checks.seams import light
from sewkit.checks.told_by_size import size_words
from sewkit.errors import InputError
from sewkit.geometry.length import path_length, point_at
from sewkit.pattern.naming import MOVED
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Edited, Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.walking import drawn_in, walk_seam
from sewkit.report import Finding, Level

# Edges of one outline whose lengths all grew by one factor, to this share, were scaled together.
_ONE_FACTOR = 0.0005

# How the lengths that were moved by hand are taken as they are.
KEEP = "sewkit check --action keep"


def edited_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Edges that were moved by hand since their lengths were written, in path order."""
    found: List[Finding] = []
    factors: List[Optional[float]] = []
    for piece, outline, where in drawn_sizes(pattern, sizes):
        moved = _moved(pattern, piece, outline)
        factor = _scaled(outline, moved)
        factors.append(factor)
        if factor is not None:
            text = "{}: all its edges are {:.3f} times as long as they were; the piece was scaled by hand."
            cure = "Undo the scaling; to make a piece larger for a body, blend between sizes."
            spotted = spot(outline.path.start)
            found.append(Finding("scaled", Level.FAIL, text.format(where, factor), where, spotted, cure))
        else:
            found += [_edited_finding(pattern, outline, one, where) for one in moved]
    return _whole_scaled(factors) or found


def taken_over(pattern: Pattern, names: Sequence[str]) -> Tuple[Pattern, Tuple[Finding, ...]]:
    """The pattern with hand edits of pieces (all without ``names``) taken as they are, and a note of each.

    What was scaled as a whole by hand stays told, for no seam shows it.
    """
    taken: List[Edited] = []
    for piece in pattern.pieces:
        for outline in piece.outlines if not names or piece.name in names else ():
            moved = _moved(pattern, piece, outline)
            taken += [] if _scaled(outline, moved) is not None else moved
    notes = _by_edge(pattern, taken, "{} was moved by hand and is taken as it is now: {}.", Level.INFO)
    return pattern._replace(edited=tuple(one for one in pattern.edited if one not in taken)), tuple(notes)


def forgotten(before: Pattern, after: Pattern) -> Tuple[Pattern, List[Finding]]:
    """The pattern without the hand edits whose lengths an operation writes anew, and what to say of them.

    They would be found no more.  Where the seams had been put right it is a note.
    """
    gone: List[Edited] = []
    pieces = {piece.name: piece for piece in after.pieces}
    for piece in before.pieces:
        now = pieces.get(piece.name)
        for outline in piece.outlines:
            if now is None or outline not in now.outlines:
                gone += _moved(before, piece, outline)
    text = "{} had been moved by hand before, {}; its length is written anew now, so no check will tell it."
    found: List[Finding] = []
    for agreed in (False, True):
        some = [one for one in gone if _agrees(before, one) is agreed]
        found += _by_edge(before, some, text, Level.INFO if agreed else Level.WARN)
    return after._replace(edited=tuple(one for one in after.edited if one not in gone)), found


def _moved(pattern: Pattern, piece: Piece, outline: Outline) -> List[Edited]:
    """What of an outline was moved by hand and still is as it was read."""
    here = [one for one in pattern.edited if (one.piece, one.size) == (piece.name, outline.size)]
    return [one for one in here if still(outline, one)]


def _by_edge(pattern: Pattern, some: Sequence[Edited], text: str, level: Level) -> List[Finding]:
    """A finding for each edge: its name with its sizes, and by how much it is longer or shorter."""
    rows: Dict[Tuple[str, str], List[Edited]] = {}
    for one in some:
        rows.setdefault((one.piece, one.edge), []).append(one)
    found = []
    for (piece, edge), moved in rows.items():
        sizes = list(dict.fromkeys(one.size for one in moved if one.size))
        where = "{}/{}".format(piece, edge)
        name = "{} {}".format(where, size_words(sizes, pattern.piece(piece).sizes)) if sizes else where
        others = " and ".join(_partners(pattern, moved[0]))
        cure = "Look whether {} agrees with it.".format(others or "the allowance")
        told = text.format(name, _by_how_much([one.now - one.was for one in moved]))
        found.append(Finding("edge-edited", level, told, where, None, cure if level >= Level.WARN else ""))
    return found


def _by_how_much(changes: Sequence[float]) -> str:
    """ "2.0 mm longer", or "1.5 to 2.0 mm shorter" in several sizes."""
    words = []
    longer, shorter = [c for c in changes if c > 0], [-c for c in changes if c < 0]
    for some, word in ((longer, "longer"), (shorter, "shorter")):
        if some:
            ends = dict.fromkeys("{:.1f}".format(value) for value in (min(some), max(some)))
            words.append("{} mm {}".format(" to ".join(ends), word))
    return " or ".join(words)


def _whole_scaled(factors: Sequence[Optional[float]]) -> List[Finding]:
    """One finding where every outline there is grew by the same factor."""
    known = [factor for factor in factors if factor is not None]
    if len(known) < max(len(factors), 2) or max(known) - min(known) > _ONE_FACTOR:
        return []
    text = "The whole drawing is {:.3f} times as large as it was when its edges were named."
    cure = "Undo it, or set it right with sewkit scale."
    return [Finding("scaled", Level.FAIL, text.format(sum(known) / len(known)), cure=cure)]


def _scaled(outline: Outline, moved: Sequence[Edited]) -> Optional[float]:
    if len(moved) < len(outline.edges) or len(moved) < 3:
        return None
    factors = [one.now / one.was for one in moved if one.was > 0]
    same = len(factors) == len(moved) and max(factors) - min(factors) < _ONE_FACTOR
    return sum(one.now for one in moved) / sum(one.was for one in moved) if same else None


def _edited_finding(pattern: Pattern, outline: Outline, one: Edited, where: str) -> Finding:
    change = round(one.now, 2) - round(one.was, 2)
    text = "{}: the edge '{}' is {:.2f} mm {} than when it was named ({:.2f} mm, now {:.2f}); ".format(
        where, one.edge, abs(change), "longer" if change > 0 else "shorter", one.was, one.now
    )
    run = outline.runs(one.edge)[one.run]
    middle = spot(point_at(run, path_length(run) / 2.0))
    if _agrees(pattern, one):
        text += "it was moved by hand, and what is sewn to it agrees with it."
        cure = "If it was meant, take the lengths as they are: {}.".format(KEEP)
        return Finding("edge-edited", Level.INFO, text, where, middle, cure)
    text += "it was moved by hand."
    others = " and ".join(_partners(pattern, one))
    also = "change {} as well, put".format(others) if others else "put"
    cure = "If it was meant, {} the allowance on again and take the lengths as they are: {}; else undo it."
    cure = cure.format(also, KEEP)
    return Finding("edge-edited", Level.WARN, text, where, middle, cure)


def _agrees(pattern: Pattern, one: Edited) -> bool:
    """Whether both sides of every seam of a moved edge differ no more than before it was moved.

    Seams meant equal may also have been brought nearer to each other.  An edge that is sewn to
    nothing agrees with nothing.
    """
    began = Before(pattern._replace(baseline=""))
    seen = False
    for seam in pattern.seams_of(one.piece):
        if not any((ref.piece, ref.edge) == (one.piece, one.edge) for ref in seam.refs):
            continue
        for size in [one.size] if one.size else pattern.sizes or ("",):
            if not drawn_in(pattern, seam, size):
                continue
            try:
                walk = walk_seam(pattern, seam, size)
            except InputError:
                return False
            seen = True
            moved = began.moved(seam, size)
            nearer = seam.ease == (0.0, 0.0) and abs(walk.difference) <= abs(walk.difference - moved)
            if light(walk) > Level.PASS or not (abs(moved) <= MOVED or nearer):
                return False
    return seen


def _partners(pattern: Pattern, one: Edited) -> List[str]:
    found: List[str] = []
    for seam in pattern.seams_of(one.piece):
        for mine, other in ((seam.first, seam.second), (seam.second, seam.first)):
            if any((ref.piece, ref.edge) == (one.piece, one.edge) for ref in mine):
                found += [str(ref) for ref in other]
    return list(dict.fromkeys(found))
