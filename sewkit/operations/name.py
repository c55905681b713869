"""Name a piece and its edges."""

from typing import Dict, List, Mapping, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.operation import Count, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.outline import Edge, Outline, begun_at_an_edge, other_way_round
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam, check_name
from sewkit.report import Finding, Level, Report

# Two clicked nodes must lie this near a corner to stand for it (mm).
_AT_CORNER = 0.01


@operation(
    title="Name a piece and its edges",
    menu="Names",
    select=(
        "Select one outline, or all sizes of one piece; two nodes of it to name just the edge between them."
    ),
    example="sewkit name samples/waistcoat/master.svg -o named.svg --piece back --cloth lining",
    preview=False,
)
def name(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    called: Text("Name of the piece", "such as front; empty keeps the one it has") = "",
    line_sizes: Text("Sizes of the lines", "one for each selected line in order, such as 3 4 5") = "",
    edges: Text(
        "Edges", "in path order from corner to corner, such as neck shoulder armhole side hem centre"
    ) = "",
    corner: Count(
        "First name begins at corner",
        "as Show names counts them; one name alone then goes to the edge that begins there; 0: at 1, all",
        0,
        99,
    ) = 0,
    folds: Text("Edges on the fold", "such as centre") = "",
    hems: Text("Hem edges", "such as hem") = "",
    darts: Text("Dart legs", "such as bust-dart; they are never counted in a length") = "",
    cut: Count("Cut", "how many to cut", 0, 99) = 0,
    cloth: Text("Cloth", "such as main or lining") = "",
) -> Outcome:
    """Give a piece, its sizes and its edges their names.

    Edges run from corner to corner, in the direction in which the path was drawn; show
    the names afterwards to see which is which. Give a list of all of them; or one name
    and the corner at which its edge begins; or select two nodes, and the one name goes to
    what lies between them without a corner, else in path direction. All selected lines become sizes of one
    piece and take the same edge names. What is sewn to a renamed edge stays sewn to it.
    An edge that a dart interrupts is named twice, with the dart's two legs between; so is
    one with a pleat in it, and what lies between is not counted in its length. Names stay with the drawing:
    copying, moving and editing nodes keeps them; Combine, Break Apart, Union and the
    like of the editor lose them.
    """
    picked = chosen.picked(pattern) if chosen.outlines else ()
    if not picked:
        raise InputError(
            "No line is selected to be named.", "Select the outline of one piece.", code="choice"
        )
    owners = list(dict.fromkeys(owner.name for owner, _ in picked))
    if len(owners) > 1 and any(pattern.piece(owner).named for owner in owners):
        raise InputError(
            "The selected lines belong to several pieces: {}.".format(", ".join(owners)),
            "Select the lines of one piece.",
            code="choice",
        )
    made = _gathered(picked, called, line_sizes.split())
    was = made
    made = _with_edge_names(made, picked, edges.split(), corner, chosen)
    renamed = _renamed_edges(was, made)
    made = _carrying_over(made, renamed)
    made = made._replace(
        folds=_listed(made, folds) or made.folds,
        hems=_listed(made, hems) or made.hems,
        darts=_listed(made, darts) or made.darts,
        cut=cut or made.cut,
        cloth=cloth or made.cloth,
    )
    made = made._replace(outlines=tuple(begun_at_an_edge(line, made.darts) for line in made.outlines))
    after = _put(pattern, owners, made)
    owner = picked[0][0]
    if owner.named:
        after = after._replace(seams=_renamed_seams(after.seams, owner.name, made.name, renamed))
    return Outcome(after, _told(made))


def _gathered(picked: Tuple[Tuple[Piece, Outline], ...], wish: str, sizes: List[str]) -> Piece:
    """The selected lines as one named piece, with their sizes."""
    owner = picked[0][0]
    title = (
        check_name(wish or (owner.name if owner.named else ""), "name of a piece")
        if (wish or owner.named)
        else ""
    )
    if not title:
        raise InputError("The piece has no name yet.", "Type one, such as front.", code="name")
    if sizes and len(sizes) != len(picked):
        raise InputError(
            "{} size{} given for {} selected line{}.".format(
                len(sizes),
                " is" if len(sizes) == 1 else "s are",
                len(picked),
                "" if len(picked) == 1 else "s",
            ),
            "Name one size for each line, in the order of selecting.",
            code="name",
        )
    if not sizes and len(picked) > 1 and not owner.named:
        raise InputError(
            "{} lines are selected for one piece.".format(len(picked)),
            "Say their sizes in the order of selecting, such as 3 4 5.",
            code="name",
        )
    new = {id(outline): _size(outline, sizes, i) for i, (_, outline) in enumerate(picked)}
    owners = [owner] if owner.named else [piece for piece, _ in picked]
    outlines, cuts, marks = [], [], []
    for piece in owners:
        sized = {outline.size: new.get(id(outline), outline.size) for outline in piece.outlines}
        outlines += [outline._replace(size=sized[outline.size]) for outline in piece.outlines]
        cuts += [line._replace(size=sized.get(line.size, line.size)) for line in piece.cut_lines]
        # A mark of all sizes stays one, unless it lay beside a single bare line.
        marks += [
            mark._replace(size=sized[mark.size])
            if mark.size in sized and (mark.size or not owner.named)
            else mark
            for mark in piece.marks
        ]
    _refuse_twice(title, [outline.size for outline in outlines])
    return owner._replace(
        name=title, outlines=tuple(outlines), cut_lines=tuple(cuts), marks=tuple(marks), named=True
    )


def _size(outline: Outline, sizes: List[str], number: int) -> str:
    return check_name(sizes[number], "size") if sizes else outline.size


def _refuse_twice(piece: str, sizes: List[str]) -> None:
    for size in sizes:
        if sizes.count(size) > 1:
            raise InputError(
                "Two lines of the piece '{}' would both be called size '{}'.".format(piece, size or "(none)"),
                "Give each line a size of its own.",
                code="size-twice",
            )


def _with_edge_names(
    piece: Piece,
    picked: Tuple[Tuple[Piece, Outline], ...],
    names: List[str],
    corner: int,
    chosen: Chosen,
) -> Piece:
    if not names:
        return piece
    # The sign of a smooth beginning, as it stands in the drawing, may be typed as well.
    names = [check_name(word.lstrip("~"), "name of an edge") for word in names]
    keys = {outline.key for _, outline in picked}
    outlines = []
    for outline in piece.outlines:
        if outline.key in keys:
            old_owner = next(owner.name for owner, line in picked if line.key == outline.key)
            old_size = next(line.size for _, line in picked if line.key == outline.key)
            nodes = chosen.nodes_on(old_owner, old_size)
            if nodes:
                outline = _named_span(outline, nodes, names)
            elif corner and len(names) == 1 < len(outline.edges):
                outline = _named_one(outline, names[0], corner, piece.name)
            else:
                outline = _named_all(outline, names, corner or 1, piece.name)
        outlines.append(outline)
    return piece._replace(outlines=tuple(outlines))


def _named_all(outline: Outline, names: List[str], begin: int, piece: str) -> Outline:
    runs = [edge for edge in outline.edges if not edge.smooth]
    if len(names) != len(outline.edges) and len(names) != len(runs):
        raise InputError(
            "'{}' has {} edges from corner to corner, and {} names are given.".format(
                piece, len(runs), len(names)
            ),
            "Give one name for each, in path order.",
            code="corners",
        )
    edges = outline.edges if len(names) == len(outline.edges) else _merged(outline)
    shift = _edge_at(edges, begin, piece)
    return outline._replace(
        edges=tuple(edge._replace(name=names[(i - shift) % len(names)]) for i, edge in enumerate(edges))
    )


def _named_one(outline: Outline, name: str, corner: int, piece: str) -> Outline:
    """Name the one edge that begins at a corner."""
    at = _edge_at(outline.edges, corner, piece)
    edges = [e._replace(name=name) if i == at else e for i, e in enumerate(outline.edges)]
    return outline._replace(edges=tuple(edges))


def _edge_at(edges: Sequence[Edge], corner: int, piece: str) -> int:
    """The place in the list of the edge that begins at a corner, counted from 1."""
    corners = [number for number, edge in enumerate(edges) if not edge.smooth]
    if corner > len(corners):
        raise InputError(
            "'{}' has only {} corners.".format(piece, len(corners)), "Begin at one of them.", code="corners"
        )
    return corners[corner - 1]


def _renamed_edges(was: Piece, made: Piece) -> Dict[str, str]:
    """Old names of edges to new ones, where an old name is gone and a new one is in its place."""
    found: Dict[str, str] = {}
    kept = {name for outline in made.outlines for name in outline.names}
    for old, new in zip(was.outlines, made.outlines):
        if len(old.edges) == len(new.edges):
            found.update({a.name: b.name for a, b in zip(old.edges, new.edges) if a.name not in kept})
    return found


def _carrying_over(piece: Piece, renamed: Mapping[str, str]) -> Piece:
    """The piece's own lists and its notches by the new names of its edges."""

    def new(name: str) -> str:
        return renamed.get(name, name)

    marks = tuple(
        mark if mark.on is None else mark._replace(on=mark.on._replace(edge=new(mark.on.edge)))
        for mark in piece.marks
    )
    rules = {(new(a), new(b)): rule._replace(leads=new(rule.leads)) for (a, b), rule in piece.corners.items()}
    return piece._replace(
        folds=tuple(map(new, piece.folds)),
        hems=tuple(map(new, piece.hems)),
        darts=tuple(map(new, piece.darts)),
        allowance={new(name): width for name, width in piece.allowance.items()},
        corners=rules,
        marks=marks,
        pressed={new(name): side for name, side in piece.pressed.items()},
    )


def _merged(outline: Outline) -> Tuple[Edge, ...]:
    """Edges with smooth beginnings joined to the edge before."""
    edges: List[Edge] = []
    for edge in outline.edges:
        if edge.smooth and edges:
            edges[-1] = edges[-1]._replace(stop=edge.stop)
        else:
            edges.append(edge)
    return tuple(edges)


def _named_span(outline: Outline, nodes: Tuple[np.ndarray, ...], names: List[str]) -> Outline:
    """Name the run between two clicked nodes; nodes in mid-edge split it smoothly."""
    if len(nodes) != 2 or len(names) != 1:
        raise InputError(
            "{} nodes are selected and {} names are given.".format(len(nodes), len(names)),
            "Select two nodes and give the one name of the run between them.",
            code="choice",
        )
    first, last = (_node(outline, spot) for spot in nodes)
    if first == last:
        raise InputError("Both selected nodes are the same.", "Select two.", code="choice")
    if other_way_round(outline, first, last):
        first, last = last, first
    cuts = {edge.start: edge for edge in outline.edges}
    for node in (first, last):
        if node not in cuts and node != len(outline.path):
            around = next(e for e in outline.edges if e.start < node < e.stop)
            cuts[node] = Edge(around.name, node, around.stop, True)
    starts = sorted(cuts)
    edges = []
    for start, stop in zip(starts, starts[1:] + [len(outline.path)]):
        inside = first <= start < last if first < last else (start >= first or start < last)
        edges.append(cuts[start]._replace(stop=stop, name=names[0] if inside else cuts[start].name))
    return outline._replace(edges=tuple(_joined(edges)))


def _joined(edges: List[Edge]) -> List[Edge]:
    """Neighbours of one name that run on smoothly are one edge."""
    out: List[Edge] = []
    for edge in edges:
        if out and edge.smooth and out[-1].name == edge.name:
            out[-1] = out[-1]._replace(stop=edge.stop)
        else:
            out.append(edge)
    return out


def _node(outline: Outline, spot: np.ndarray) -> int:
    nodes = outline.path.nodes
    number = int(np.hypot(*(nodes - spot).T).argmin())
    if np.hypot(*(nodes[number] - spot)) > _AT_CORNER + nearest(outline.path, spot).distance:
        raise InputError("A selected node is not on the outline.", "Select two of its nodes.", code="choice")
    return number


def _listed(piece: Piece, text: str) -> Tuple[str, ...]:
    known = {name for outline in piece.outlines for name in outline.names}
    for word in text.split():
        if word not in known:
            raise InputError(
                "'{}' has no edge called '{}'.".format(piece.name, word),
                "Its edges are: {}.".format(", ".join(sorted(known))),
                code="name",
            )
    return tuple(text.split())


def _put(pattern: Pattern, owners: List[str], made: Piece) -> Pattern:
    """The pattern with the new piece in the place of the lines it was made of."""
    for other in pattern.pieces:
        if other.name == made.name and other.name not in owners:
            raise InputError(
                "There is already a piece called '{}'.".format(made.name),
                "Choose another name, or select all its lines together.",
                code="piece-twice",
            )
    first = owners[0]
    pieces = []
    for other in pattern.pieces:
        if other.name == first:
            pieces.append(made)
        elif other.name not in owners:
            pieces.append(other)
    return pattern._replace(pieces=tuple(pieces))


def _renamed_seams(seams: Tuple[Seam, ...], old: str, new: str, edges: Mapping[str, str]) -> Tuple[Seam, ...]:
    """The seams by the new names of a piece and of its edges."""

    def side(refs: Tuple[EdgeRef, ...]) -> Tuple[EdgeRef, ...]:
        return tuple(
            ref._replace(piece=new, edge=edges.get(ref.edge, ref.edge)) if ref.piece == old else ref
            for ref in refs
        )

    return tuple(seam._replace(first=side(seam.first), second=side(seam.second)) for seam in seams)


def _told(piece: Piece) -> Report:
    outline = piece.outlines[0]
    lines = "{} line{}".format(len(piece.outlines), "" if len(piece.outlines) == 1 else "s")
    summary = "The piece '{}' has {} with the edges {}.".format(piece.name, lines, ", ".join(outline.names))
    findings = []
    if len({tuple(edge.name for edge in o.edges) for o in piece.outlines}) > 1:
        findings.append(
            Finding(
                "edges-differ", Level.WARN, "Not all sizes of '{}' have the same edges.".format(piece.name)
            )
        )
    return Report(summary, tuple(findings))
