"""Say which edge is sewn to which."""

from typing import FrozenSet, List, Set, Tuple

from sewkit.checks.seams import seam_reports
from sewkit.errors import InputError
from sewkit.operation import Choice, Length, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.clicked_edge import edge_between
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam, parse_ref
from sewkit.report import Report


@operation(
    title="Pair two edges",
    menu="Names",
    select="Select two nodes on each of two pieces, one pair on each edge; or nothing, and type the edges.",
    example="sewkit pair samples/waistcoat/master.svg -o paired.svg --first front/side --second back/side",
    preview=False,
)
def pair(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    first: Text("This edge", "piece/edge, such as front/side; several end to end with +") = "",
    second: Text("is sewn to", "piece/edge, such as back/side") = "",
    direction: Choice(
        "Directions",
        "how the second edge runs",
        {
            "auto": "find out from the neighbours (one edge to one edge)",
            "same": "both run the same way",
            "opposite": "they run opposite ways",
        },
    ) = "auto",
    ease_least: Length("First edge longer by at least", "meant ease", -200, 200) = 0.0,
    ease_most: Length("and at most", "meant ease", -200, 200) = 0.0,
) -> Outcome:
    """Remember that two edges are sewn together.

    From then on every change walks the seam again and tells whether it still fits. If
    one edge is longer on purpose, say by how much. An edge that meets several, as a
    collar meets two necks, takes them end to end: front/neck+back/neck. Pairing the same
    two edges again replaces what was said before.
    """
    if ease_least > ease_most:
        raise InputError(
            "The least ease ({:g} mm) is more than the most ({:g} mm).".format(ease_least, ease_most),
            "Swap them.",
            code="value",
        )
    here, there = _sides(pattern, chosen, first, second)
    if direction != "auto":
        turn = direction == "opposite"
        there = tuple(ref._replace(turned=turn) for ref in there)
    elif len(here) == len(there) == 1 and not (here[0].turned or there[0].turned):
        there = (there[0]._replace(turned=_opposite(pattern, here[0], there[0])),)
    seam = Seam(here, there, (ease_least, ease_most))
    kept = tuple(s for s in pattern.seams if not _same_edges(s, seam))
    after = pattern._replace(seams=kept + (seam,))
    told = seam_reports(after, _sizes_of(pattern, seam), [seam])
    return Outcome(after, Report("{} is sewn to {}.".format(*seam.name.split(" to ", 1))).then(told))


def _sides(
    pattern: Pattern, chosen: Chosen, first: str, second: str
) -> Tuple[Tuple[EdgeRef, ...], Tuple[EdgeRef, ...]]:
    if first or second:
        sides = [tuple(parse_ref(word) for word in text.split("+") if word) for text in (first, second)]
        if not all(sides):
            raise InputError(
                "Only one of the two edges is given.",
                "Type both, such as front/side and back/side.",
                code="choice",
            )
    else:
        sides = [(ref,) for ref in _from_nodes(pattern, chosen)]
    for ref in sides[0] + sides[1]:
        for outline in pattern.piece(ref.piece).outlines[:1]:
            outline.edge(ref.edge) or outline.edge_path(ref.edge)
    names = [(ref.piece, ref.edge) for ref in sides[0] + sides[1]]
    if len(set(names)) < len(names):
        raise InputError(
            "The same edge stands twice in this seam.", "An edge cannot be sewn to itself.", code="seam"
        )
    return sides[0], sides[1]


def _from_nodes(pattern: Pattern, chosen: Chosen) -> List[EdgeRef]:
    """The edges on which two clicked nodes each lie."""
    places = list(dict.fromkeys((node.piece, node.size) for node in chosen.nodes))
    refs = []
    for piece, size in places:
        outline = pattern.piece(piece).outline(size)
        if not pattern.piece(piece).named:
            raise InputError(
                "'{}' has no name yet.".format(piece), "Name the piece and its edges first.", code="name"
            )
        refs.append(EdgeRef(piece, edge_between(outline, chosen.nodes_on(piece, size), piece)))
    if len(refs) != 2:
        raise InputError(
            "Two edges are needed, and {} are selected.".format(len(refs)),
            "Select two nodes on each, or type their names.",
            code="choice",
        )
    return refs


def _opposite(pattern: Pattern, here: EdgeRef, there: EdgeRef) -> bool:
    """Whether two edges run opposite ways, judged by the names of their neighbours.

    Without a name in common it is the usual case: two pieces drawn the same way round.
    """
    before, after = _neighbours(pattern, here)
    other_before, other_after = _neighbours(pattern, there)
    if before == other_before or after == other_after:
        return False
    return True


def _neighbours(pattern: Pattern, ref: EdgeRef) -> Tuple[str, str]:
    names = [edge.name for edge in pattern.piece(ref.piece).outlines[0].edges]
    first = names.index(ref.edge)
    last = len(names) - 1 - names[::-1].index(ref.edge)
    return names[first - 1], names[(last + 1) % len(names)]


def _same_edges(one: Seam, other: Seam) -> bool:
    def bare(seam: Seam) -> Set[FrozenSet[str]]:
        return {frozenset(str(r) for r in seam.first), frozenset(str(r) for r in seam.second)}

    return bare(one) == bare(other)


def _sizes_of(pattern: Pattern, seam: Seam) -> List[str]:
    """The sizes in which its pieces are drawn; the empty one where they have none."""
    drawn = {size for ref in seam.refs for size in pattern.piece(ref.piece).sizes if size}
    return [size for size in pattern.sizes if size in drawn] or [""]
