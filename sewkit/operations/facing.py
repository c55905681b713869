"""A facing, a band or a lining derived from other pieces, which follows them from then on."""

from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.checks.cuts import recut_findings
from sewkit.checks.followers import remake
from sewkit.checks.seams import guard
from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.operation import Choice, Flag, Length, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.clicked_edge import clicked_edges
from sewkit.pattern.derived import derive, follow_of, followers, joined_seams
from sewkit.pattern.derived_anew import with_lines
from sewkit.pattern.derived_band import EXTENSION, SEWN, best_ends
from sewkit.pattern.derived_facing import INNER
from sewkit.pattern.derived_place import beside, moved_piece
from sewkit.pattern.edge_called import called as edge_called
from sewkit.pattern.follow_text import BAND, FACING, LINING, Follow, in_words
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.pattern.seam import EdgeRef, Seam, check_name, parse_ref
from sewkit.report import Finding, Level, Report


class _Asked(NamedTuple):
    """What every new piece is to have."""

    outer: float
    cloth: str
    called: str


@operation(
    title="Facing, band or lining",
    menu="Pieces",
    select="Select two nodes of each edge, or the pieces, and type the edges; a facing to make it anew.",
    example="sewkit facing samples/bodice/master.svg -o faced.svg --edges 'front/neck back/neck'",
    preview=False,
    beside=True,
)
def facing(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {
            "make": "Make a new piece",
            "anew": "Make it anew from its parents as they are now",
            "free": "Set it free: it follows no longer",
        },
    ) = "make",
    kind: Choice(
        "Which piece",
        "",
        {
            "facing": "Facing: as the piece is along its edges",
            "band": "Band: a straight strip as long as the edges",
            "lining": "Lining: the piece without its facings",
        },
    ) = "facing",
    edges: Text("Edges", "such as front/neck back/neck; empty: where two nodes each are selected") = "",
    width: Length("Width", "of a facing, or of a band as finished", 1, 1000) = 50.0,
    turn: Length("Turn of cloth", "how much further in the facing's edge lies; thick cloth 3", 0, 10) = 0.0,
    outer: Length("Allowance on its outer edge", "0 where it is only neatened", 0, 100) = 0.0,
    doubled: Flag("Band folded along its middle", "it is cut twice as wide") = True,
    extension: Length("Band stands out beyond the end", "for a button or a hook", 0, 500) = 0.0,
    hem: Length("Lining shorter by", "at the hem", 0, 200) = 20.0,
    pleat: Length("Pleat in the lining", "at the centre back, on each half", 0, 100) = 0.0,
    armhole: Length("Lining higher under the arm by", "", 0, 50) = 6.0,
    side: Length("Lining wider at the side by", "", 0, 50) = 3.0,
    cloth: Text("Cloth", "empty: that of its parent; a lining is lining") = "",
    called: Text("Name of the new piece", "empty makes one") = "",
) -> Outcome:
    """Derive a facing, a band or a lining from pieces; it follows them when they change.

    A facing is cut as the piece is along one or several edges: its outer edge is everywhere
    as far from them as its width, it ends on the edges beside them, and darts in it are
    closed. Edges of several pieces give one facing each; neighbours such as neck and
    front-edge of one piece give one facing together. With a turn of cloth its edge lies a
    little further in, so that the seam rolls to the inside.

    A band is a straight strip, as long as the edges are when they are sewn, with a notch
    where two pieces meet and at their notches. A lining is the piece without the facings it
    has, shorter at the hem, a little wider at the side and higher under the arm; a pleat of
    20 to 25 mm at the centre back gives room to move (common practice, as are the amounts
    that stand here).

    Grain, fold, notches, cloth and number to cut come from the parent, and it has the parent's sizes. The
    new piece is laid beside it and paired with it. From then on it remembers its parents: after every change
    of theirs it is made anew in its place and keeps what you put on it. A piece changed by
    hand is found by a check, and made anew when you ask; set free, it stays as it is.
    """
    if action != "make":
        return _again(pattern, chosen, edges or called, action)
    values: Dict[str, float] = {"width": width}
    if kind == LINING:
        follows = _linings(pattern, chosen, edges, dict(hem=hem, pleat=pleat, armhole=armhole, side=side))
    elif kind == BAND:
        values.update(doubled=float(doubled), extension=extension)
        follows = [Follow(BAND, best_ends(pattern, _refs(pattern, chosen, edges)), values=values)]
    else:
        values.update(turn=turn)
        follows = _facings(_refs(pattern, chosen, edges), values)
    return _made(pattern, follows, _Asked(outer, cloth, called))


# -- what is asked for ------------------------------------------------------------------------


def _refs(pattern: Pattern, chosen: Chosen, edges: str) -> List[EdgeRef]:
    """The edges that were typed, else clicked; without a piece, those of the pieces that were picked."""
    pieces = chosen.pieces(pattern)
    found: List[EdgeRef] = [] if edges.strip() else clicked_edges(pattern, chosen)
    for word in edges.replace("+", " ").split():
        if "/" in word:
            ref = parse_ref(word)
            pattern.piece(ref.piece)
            found.append(ref)
            continue
        name, _, turned = word.partition(",")
        mine = [piece for piece in pieces if any(name in outline.names for outline in piece.outlines)]
        if not mine:
            known = dict.fromkeys(n for piece in pieces for o in piece.outlines for n in o.names)
            raise InputError(
                "There is no edge called '{}'.".format(name),
                "The edges are: {}.".format(", ".join(known) or "none"),
                code="name",
            )
        found += [EdgeRef(piece.name, name, turned == "turned") for piece in mine]
    if not found:
        raise InputError(
            "It is not said along which edges.",
            "Select two nodes on each, or type them, such as front/neck back/neck.",
            code="choice",
        )
    for ref in found:
        for outline in pattern.piece(ref.piece).outlines:
            outline.edge(ref.edge) or outline.edge_path(ref.edge)
    return list(dict.fromkeys(found))


def _facings(refs: Sequence[EdgeRef], values: Dict[str, float]) -> List[Follow]:
    """One facing for each piece."""
    pieces = dict.fromkeys(ref.piece for ref in refs)
    return [
        Follow(FACING, tuple(r._replace(turned=False) for r in refs if r.piece == name), values=values)
        for name in pieces
    ]


def _linings(pattern: Pattern, chosen: Chosen, words: str, values: Dict[str, float]) -> List[Follow]:
    """One lining for each piece that was named or picked; each leaves out the facings it has."""
    names = words.split() or [piece.name for piece in chosen.pieces(pattern) if not piece.follows]
    names = names if words else [name for name in names if pattern.piece(name).outlines]
    if not names:
        raise InputError("There is no piece to line.", "Select its parent, or type its name.", code="choice")
    found = []
    for name in names:
        if "/" in name:
            raise InputError(
                "A lining is made of whole pieces, and '{}' is an edge.".format(name),
                "Name the piece alone, such as {}.".format(parse_ref(name).piece),
                code="name",
            )
        pattern.piece(name)
        less = [
            one.name
            for one in followers(pattern)
            if one.follows.startswith(FACING) and name in follow_of(one).parents
        ]
        found.append(Follow(LINING, (), name, tuple(less), values))
    return found


# -- making ----------------------------------------------------------------------------------


def _made(pattern: Pattern, follows: Sequence[Follow], asked: _Asked) -> Outcome:
    after = pattern
    words: List[str] = []
    names: List[str] = []
    findings: List[Finding] = []
    for number, follow in enumerate(follows):
        name = _name(after, follow, asked.called, number)
        made = derive(after, name, follow)
        met = _met(after, made.seams) if follow.kind == FACING else ()
        if met:
            follow = follow._replace(meets=met)
            made = derive(after, name, follow)
        parent = after.piece(follow.parents[0])
        piece = _finished(after, made.piece, parent, follow, asked)
        after = _behind(after, piece, parent)
        if parent.named:
            after = after._replace(seams=joined_seams(after.seams, made.seams))
        names.append(name)
        words.append(_sentence(piece, follow))
        findings += told_by_size(recut_findings(recut(piece, piece.sizes)), piece)
        findings += _own_findings(piece, follow)
        findings += _above_hem(made.seams, piece) if follow.kind == LINING else []
    sizes = [size for size in after.sizes if any(size in after.piece(name).sizes for name in names)] or [""]
    report = Report(" ".join(words), tuple(findings))
    return Outcome(after, report.then(guard(pattern, after, [(s, s) for s in sizes], names)))


def _met(pattern: Pattern, seams: Sequence[Seam]) -> Tuple[str, ...]:
    """The facings to which a new one is sewn, at whose ends it has to end."""
    names = dict.fromkeys(ref.piece for seam in seams for ref in seam.refs)
    return tuple(p.name for p in pattern.pieces if p.name in names and p.follows.startswith(FACING))


def _finished(pattern: Pattern, piece: Piece, parent: Piece, follow: Follow, asked: _Asked) -> Piece:
    """The new piece with its allowance, cloth and cut lines, beside its parent."""
    allowance = dict(piece.allowance)
    if follow.kind == FACING and allowance:
        allowance[INNER] = asked.outer
    piece = piece._replace(
        allowance=allowance,
        cloth=asked.cloth or piece.cloth,
        # A line that nobody named cannot be remembered.
        follows=piece.follows if all(pattern.piece(name).named for name in follow.parents) else "",
    )
    piece = with_lines(piece)
    return with_lines(moved_piece(piece, beside(pattern, piece, parent)))


def _behind(pattern: Pattern, piece: Piece, parent: Piece) -> Pattern:
    """The pattern with the new piece behind its parent."""
    pieces: List[Piece] = []
    for one in pattern.pieces:
        pieces += [one, piece] if one.name == parent.name else [one]
    return pattern._replace(pieces=tuple(pieces))


def _name(pattern: Pattern, follow: Follow, called: str, number: int) -> str:
    """The name that was asked for, or one by the parents; with a number if it is taken."""
    taken = {piece.name for piece in pattern.pieces}
    if called and not number:
        check_name(called)
        if called in taken:
            raise InputError(
                "There is a piece called '{}' already.".format(called), "Choose another name.", code="name"
            )
        return called
    wish = called or _usual_name(follow)
    name, count = wish, 1
    while name in taken:
        count += 1
        name = "{}-{}".format(wish, count)
    return name


def _usual_name(follow: Follow) -> str:
    if follow.kind == LINING:
        return follow.piece + "-lining"
    if follow.kind == BAND:
        edges = {ref.edge for ref in follow.edges}
        return "waistband" if edges == {"waist"} else "band"
    return "-".join([follow.edges[0].piece] + [ref.edge for ref in follow.edges][:1] + ["facing"])


# -- telling ----------------------------------------------------------------------------------


def _sentence(piece: Piece, follow: Follow) -> str:
    first, last = piece.outlines[0], piece.outlines[-1]
    edge = {FACING: follow.edges[0].edge if follow.edges else "", BAND: SEWN}.get(follow.kind, "")
    if not edge:
        less = " without {}".format(" and ".join(follow.less)) if follow.less else ""
        return "'{}' is the lining of {}{}.".format(piece.name, follow.piece, less)
    lengths = sorted({round(first.as_sewn(edge), 1), round(last.as_sewn(edge), 1)})
    shown = " to ".join("{:.1f}".format(one) for one in lengths)
    return "'{}' is a {} for {}, {:g} mm wide; its {} is {} mm long.".format(
        piece.name, follow.kind, in_words(follow), follow.value("width"), edge_called(first, edge), shown
    )


def _own_findings(piece: Piece, follow: Follow) -> List[Finding]:
    found = []
    if not piece.follows:
        text = "'{}' was made from a line nobody has named, so it does not follow it.".format(piece.name)
        found.append(Finding("follower-free", Level.INFO, text, piece.name))
    if follow.kind == BAND and piece.folds and EXTENSION in piece.outlines[0].names:
        text = "'{}' is cut on the fold, so it stands out at both ends.".format(piece.name)
        found.append(Finding("band-fold", Level.INFO, text, piece.name))
    return found


def _above_hem(seams: Sequence[Seam], lining: Piece) -> List[Finding]:
    """That a lining ends above the hem of a facing, so that their edges differ on purpose."""
    found = []
    for seam in seams:
        if seam.first[0].piece == lining.name and seam.ease != (0.0, 0.0) and seam.second[0].edge == INNER:
            text = "{} is {:g} to {:g} mm shorter than {} on purpose: the lining ends above the hem.".format(
                seam.first[0], -seam.ease[1], -seam.ease[0], seam.second[0]
            )
            found.append(Finding("lining-hem", Level.INFO, text, str(seam.first[0])))
    return found


# -- what is there already --------------------------------------------------------------------


def _again(pattern: Pattern, chosen: Chosen, words: str, action: str) -> Outcome:
    """Followers made anew, or set free."""
    names = words.split() or [piece.name for piece in chosen.pieces(pattern) if piece.follows]
    for name in names:
        if not pattern.piece(name).follows:
            raise InputError(
                "'{}' follows no other piece.".format(name),
                "Make a facing, band or lining from its parent first.",
                code="parent",
            )
    if not names:
        raise InputError(
            "No piece follows another here.", "Make a facing, band or lining first.", code="parent"
        )
    if action == "free":
        after = pattern
        for name in names:
            after = after.with_piece(after.piece(name)._replace(follows=""))
        return Outcome(after, Report("{} no longer follow{}.".format(*_all(names))))
    ordered = [piece.name for piece in followers(pattern) if piece.name in names]
    made = remake(pattern, ordered)
    text = "Made anew: {}.".format(", ".join(made.names)) if made.names else "All as it should be."
    sizes = list(pattern.sizes) or [""]
    report = Report(text, made.findings)
    return Outcome(
        made.pattern, report.then(guard(pattern, made.pattern, [(s, s) for s in sizes], made.names))
    )


def _all(names: Sequence[str]) -> Tuple[str, str]:
    quoted = ["'{}'".format(name) for name in names]
    return ", ".join(quoted), "s" if len(quoted) == 1 else ""
