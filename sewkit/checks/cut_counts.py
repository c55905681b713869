"""Are as many cut as are worn: on the fold, in pairs, left and right; and of which cloth?

Nothing in a drawing proves how often a piece is worn, so only what contradicts itself is told as
something to look at; what is unusual is a note.
"""

import re
from typing import List, Sequence

from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

# Pieces that are worn twice, by a word of their name.
_PAIRS = ("sleeve", "undersleeve", "oversleeve", "cuff", "leg")

# Pieces that are rightly cut twice on the fold: an outer and an inner one.
_DOUBLE = ("collar", "stand", "yoke", "waistband", "band", "hood", "belt", "cuff", "flap", "tab", "facing")

# Edges in the middle of the body: a piece that ends there is one half.
_CENTRES = ("centre-front", "centre-back", "center-front", "center-back", "cf", "cb")


def cut_counts_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """What to look at in how often and of what the pieces are cut, in the drawing's order."""
    found: List[Finding] = []
    cloths = [piece for piece in pattern.pieces if piece.named and piece.cloth]
    seen = set()
    for piece, outline, _ in drawn_sizes(pattern, sizes):
        if piece.named and piece.name not in seen:
            seen.add(piece.name)
            found += _of_one(pattern, piece, outline, bool(cloths))
    return found


def _of_one(pattern: Pattern, piece: Piece, outline: Outline, cloths: bool) -> List[Finding]:
    found: List[Finding] = []
    at = spot(outline.path.nodes.mean(axis=0))

    def tell(code: str, level: Level, text: str, cure: str) -> None:
        found.append(Finding(code, level, "{}: {}".format(piece.name, text), piece.name, at, cure))

    words = re.split(r"[^a-z]+", piece.name.lower())
    on_fold = any(name in outline.names for name in piece.folds)
    centre = next((n for n in outline.names if n in _CENTRES and n not in piece.folds), "")
    if on_fold and piece.cut > 1 and not set(words) & set(_DOUBLE):
        text = "it is cut {} times on the fold, which makes {} whole pieces; are they worn as two layers?"
        tell("cut-fold", Level.INFO, text.format(piece.cut, piece.cut), "If not, say cut 1.")
    if on_fold and piece.unfolded:
        text = "it was opened to a whole piece and still has an edge on the fold: it would be cut double."
        tell("cut-unfolded", Level.FAIL, text, "Take the fold off, or fold the piece again.")
    if piece.side and piece.cut > 1:
        text = "it is worn on the {} only and cut {} times.".format(piece.side, piece.cut)
        tell("cut-side", Level.WARN, text, "Say cut 1, or that it serves both sides.")
    if piece.cut == 1 and not on_fold and not piece.side and not piece.unfolded:
        if set(words) & set(_PAIRS):
            text = "it is cut once, and people wear two."
            tell("cut-once", Level.WARN, text, "Say cut 2, or on which side it is worn.")
        elif centre:
            text = "it is cut once and not on the fold, but ends at the edge '{}': half of it is missing."
            tell("cut-once", Level.WARN, text.format(centre), "Say cut 2, or put the edge on the fold.")
    other = _other_side(pattern, piece)
    if other:
        text = "it is worn on the {}, and there is no '{}'.".format(piece.side, other)
        tell("cut-side", Level.INFO, text, "Right if the two sides differ on purpose.")
    if cloths and not piece.cloth:
        tell("no-cloth", Level.INFO, "it does not say of which cloth it is cut.", "Name its cloth.")
    return found


def _other_side(pattern: Pattern, piece: Piece) -> str:
    """The name that a piece's other half should have and no piece has; else empty."""
    opposite = {"left": "right", "right": "left"}.get(piece.side, "")
    if not opposite or piece.side not in piece.name:
        return ""
    wanted = piece.name.replace(piece.side, opposite)
    return "" if any(one.name == wanted for one in pattern.pieces) else wanted
