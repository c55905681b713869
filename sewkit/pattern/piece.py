"""A piece: its outlines by size, its cut lines, its marks, and how it is cut."""

from typing import Dict, Mapping, NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.geometry.corner import Corner, Style
from sewkit.geometry.path import Path
from sewkit.pattern.mark import FOLD, GRAIN, LEVEL, Mark
from sewkit.pattern.outline import Outline

# The longest point of an extended corner, in widths, where nobody asked for another.
MITRE_LIMIT = 2.5


# To which side the intake of a dart is pressed.
CENTRE, SIDE, UP, DOWN = "centre", "side", "up", "down"
SIDES = (CENTRE, SIDE, UP, DOWN)


class CutLine(NamedTuple):
    """Where the scissors go (mm); derived from the outline of the same size.

    ``bought``: it is the line the pattern came with, from which the outline was derived.
    """

    size: str
    path: Path
    key: str = ""
    bought: bool = False


class CornerRule(NamedTuple):
    """How the allowance turns the corner between two edges, and which of them leads."""

    style: Style
    leads: str


class Piece(NamedTuple):
    """One shape to cut.

    Args:
        name: unique in the pattern; for a bare path, the path's id.
        outlines: seam lines, one a size, in the order of the drawing.
        cut_lines: one a size at most.
        marks: of all sizes.
        folds, hems, darts: names of edges that are folds, hems, dart legs.
        allowance: width per edge name (mm); "" is the width of all others.
        corners: rules by the pair of edge names, in path order.
        cut: how many to cut.
        cloth: of which cloth.
        named: False for a bare path that was only selected.
        key: how the drawing knows its group; empty for a bare path.
        guess: how sure a guessed name is, above 0 to 1; 0 where somebody named it.
        other_corners: how the allowance turns the corners without a rule; None: hems
            turned back, all others extended.
        mitre_limit: the longest point of a corner of the allowance, in widths.
        pressed: to which side a dart's intake is pressed, by the dart's name: one of ``SIDES``.
        follows: from which edges of which pieces it was derived, and how, as text; empty for a
            piece of its own.
        side: "left" or "right" where it is worn on one side only; else empty.
        unfolded: the name of the fold along which a half was opened to this whole piece; else empty.
    """

    name: str
    outlines: Tuple[Outline, ...] = ()
    cut_lines: Tuple[CutLine, ...] = ()
    marks: Tuple[Mark, ...] = ()
    folds: Tuple[str, ...] = ()
    hems: Tuple[str, ...] = ()
    darts: Tuple[str, ...] = ()
    allowance: Mapping[str, float] = {}
    corners: Mapping[Tuple[str, str], CornerRule] = {}
    cut: int = 1
    cloth: str = ""
    named: bool = True
    key: str = ""
    guess: float = 0.0
    other_corners: Optional[Style] = None
    mitre_limit: float = MITRE_LIMIT
    pressed: Mapping[str, str] = {}
    follows: str = ""
    side: str = ""
    unfolded: str = ""

    @property
    def sizes(self) -> Tuple[str, ...]:
        """The sizes it is drawn in, in the order of the drawing."""
        return tuple(outline.size for outline in self.outlines)

    def outline(self, size: str) -> Outline:
        """The outline of a size; a piece drawn once serves every size."""
        for outline in self.outlines:
            if outline.size == size:
                return outline
        if len(self.outlines) == 1 and not self.outlines[0].size:
            return self.outlines[0]
        raise InputError(
            "The piece '{}' has no size '{}'.".format(self.name, size),
            "Its sizes are: {}.".format(", ".join(self.sizes) or "none"),
            code="nest",
        )

    def cut_line(self, size: str) -> Optional[CutLine]:
        """The cut line of a size, or None."""
        return next((line for line in self.cut_lines if line.size == size), None)

    def marks_for(self, size: str) -> Tuple[Mark, ...]:
        """The marks of a size: its own, and those that serve all sizes.

        A level, a grain line or a fold bracket of its own stands for those of that name that
        serve all sizes.
        """
        kinds = (LEVEL, GRAIN, FOLD)
        own = {(m.kind, m.name) for m in self.marks if size and m.size == size and m.kind in kinds}
        return tuple(
            mark
            for mark in self.marks
            if mark.size == size or (not mark.size and (mark.kind, mark.name) not in own)
        )

    def with_outline(self, outline: Outline) -> "Piece":
        """With an outline put in the place of the one of its size, or added."""
        kept = [o for o in self.outlines if o.size != outline.size]
        if len(kept) == len(self.outlines):
            return self._replace(outlines=self.outlines + (outline,))
        return self._replace(outlines=tuple(outline if o.size == outline.size else o for o in self.outlines))

    def with_cut_line(self, line: CutLine) -> "Piece":
        """With a cut line put in the place of the one of its size, or added."""
        kept = tuple(c for c in self.cut_lines if c.size != line.size)
        old = self.cut_line(line.size)
        return self._replace(cut_lines=kept + (line._replace(key=old.key if old else line.key),))


_STYLES: Dict[str, Style] = {style.value: style for style in Style}


def parse_corners(text: str) -> Dict[Tuple[str, str], CornerRule]:
    """Read ``side/hem=turned-back:hem hem/centre=extended``."""
    rules = {}
    for word in text.split():
        pair, _, rule = word.partition("=")
        before, _, after = pair.partition("/")
        style, _, leads = rule.partition(":")
        if not (before and after) or style not in _STYLES or leads not in ("", before, after):
            raise InputError(
                "'{}' is not a corner.".format(word),
                "Write it as side/hem=turned-back:hem; styles: {}.".format(", ".join(_STYLES)),
                code="corner",
            )
        rules[(before, after)] = CornerRule(_STYLES[style], leads or before)
    return rules


def write_corners(rules: Mapping[Tuple[str, str], CornerRule]) -> str:
    """Write corner rules; ``parse_corners`` reads them back."""
    return " ".join(
        "{}/{}={}:{}".format(before, after, rule.style.value, rule.leads)
        for (before, after), rule in rules.items()
    )


def parse_pressed(text: str) -> Dict[str, str]:
    """Read ``bust-dart=down waist-dart=centre``; ``InputError`` for a word that says no side."""
    pressed = {}
    for word in text.split():
        name, _, side = word.partition("=")
        if not name or side not in SIDES:
            raise InputError(
                "'{}' does not say where a dart is pressed.".format(word),
                "Write it as bust-dart=down; sides: {}.".format(", ".join(SIDES)),
                code="dart",
            )
        pressed[name] = side
    return pressed


def write_pressed(pressed: Mapping[str, str]) -> str:
    """Write the sides; ``parse_pressed`` reads them back."""
    return " ".join("{}={}".format(name, side) for name, side in pressed.items())


def corner_at(piece: Piece, before: str, after: str) -> Corner:
    """How the cut line turns the corner between two edges of a piece.

    A rule of the piece comes first, then what it keeps for all other corners.  Without
    either a hem is turned back, so that it lies flat when it is folded up, and every other
    corner is extended; so is a hem's end at a fold, where nothing folds back and the cut
    runs straight on along the fold.
    """
    rule = piece.corners.get((before, after))
    if rule is not None:
        return Corner(rule.style, 0 if rule.leads == before else 1)
    if piece.other_corners is not None:
        return Corner(piece.other_corners, 1 if after in piece.hems and before not in piece.hems else 0)
    for number, edge in enumerate((before, after)):
        other = (after, before)[number]
        if edge in piece.hems and other not in piece.hems + piece.folds:
            return Corner(Style.TURNED_BACK, number)
    return Corner(Style.EXTENDED, 0)
