"""Edges smoothed over seams, at darts and at kinks, and squared at folds."""

from typing import Dict, FrozenSet, List, NamedTuple, Sequence, Set, Tuple

from sewkit.checks.cuts import recut_findings
from sewkit.checks.edge_lengths import edge_report
from sewkit.checks.edge_shapes import KINK_GOOD
from sewkit.checks.seam_ends import end_fault, fold_fault, rough_edges
from sewkit.checks.seams import guard
from sewkit.checks.smooth_words import (
    AS_MEANT,
    RUNS_ON,
    LeftAlone,
    SmoothedPlace,
    changes,
    kept_findings,
    left_darts,
    left_sentence,
    place_table,
    sentence,
)
from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.operation import Choice, Length, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.edge_called import called
from sewkit.pattern.edge_joints import EdgeJoint, edge_joints
from sewkit.pattern.fold_end import fold_ends
from sewkit.pattern.follow_text import in_words, parse_follow
from sewkit.pattern.joined_edges import Arm, Joint
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.pattern.seam import Seam
from sewkit.pattern.seam_end import CROSSES, MEANT, MEANT_CORNER, SeamEnd, seam_end, seam_ends
from sewkit.pattern.smooth_reach import reach_of
from sewkit.pattern.smoothed import Smoothed, smoothed_end, smoothed_kink, squared_fold, with_changes
from sewkit.report import Report

ENDS, FOLDS, KINKS = "ends", "folds", "kinks"


class _Asked(NamedTuple):
    """What is asked; ``at``: names of pieces and edges, none for all."""

    at: Tuple[str, ...]
    what: str
    gives: str
    reach: float
    most: float

    def wants(self, kind: str) -> bool:
        return self.what in ("all", kind)

    def means(self, *names: str) -> bool:
        """Whether one of some edges, written piece/edge, is asked for."""
        pieces = [name.split("/")[0] for name in names]
        return not self.at or any(word in names or word in pieces for word in self.at)


# A corner turns too by more than this (degrees) where its partner did over another seam, to stay alike.
_ALIKE = 0.01

# A corner of an edge: piece, size, edge, and whether it is the edge's end.
_Corner = Tuple[str, str, str, bool]


class _Work(NamedTuple):
    """The pattern as far as it is smoothed, which of it may change, and what was done.

    ``turned``: corners of arms that were smoothed over a seam, and over which; ``shared``: those that
    meet others over several seams, as a back does that is sewn to a left and to a right front.
    """

    pattern: Pattern
    asked: _Asked
    mine: FrozenSet[Tuple[str, str]]
    places: Tuple[SmoothedPlace, ...] = ()
    looked_at: int = 0
    alone: Tuple[LeftAlone, ...] = ()
    turned: Tuple[Tuple[_Corner, Seam], ...] = ()
    shared: FrozenSet[_Corner] = frozenset()

    def put(self, place: SmoothedPlace, made: Smoothed) -> "_Work":
        """With a place drawn anew, unless a line would move too far."""
        if made.most > self.asked.most:
            kept = "stays in an angle of {:.1f} degrees; a line would move by {:.2f} mm, and at most {:g} may"
            place = place._replace(kept=kept.format(place.total, made.most, self.asked.most))
            return self._replace(places=self.places + (place,))
        pattern = self.pattern
        for piece, size in dict.fromkeys((one.piece, one.size) for one in made.changes):
            ours = [one for one in made.changes if (one.piece, one.size) == (piece, size)]
            pattern = pattern.with_piece(with_changes(pattern.piece(piece), size, ours))
        return self._replace(pattern=pattern, places=self.places + (place,))

    def seen(self) -> "_Work":
        """With one more place looked at."""
        return self._replace(looked_at=self.looked_at + 1)

    def left(self, what: str, pieces: Sequence[str], size: str, why: str) -> "_Work":
        """With a place told at which nothing is to be done."""
        return self._replace(alone=(*self.alone, LeftAlone(what, tuple(dict.fromkeys(pieces)), size, why)))

    def outline(self, arm: Arm) -> Outline:
        """The outline of an arm as it is by now."""
        return self.pattern.piece(arm.piece).outline(arm.size)

    def reaches(self, joint: Joint) -> Tuple[float, float]:
        """How much of both arms may change (mm)."""
        arms = joint.first, joint.second
        first, second = (
            reach_of(self.pattern.piece(arm.piece), self.outline(arm), arm, self.asked.reach) for arm in arms
        )
        return first, second


@operation(
    title="Smooth and square",
    menu="Seams",
    select="Select the pieces that may change, others stay as they are; nothing means all.",
    example="sewkit smooth samples/bodice/master.svg -o smooth.svg --at back/shoulder",
)
def smooth(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do", "", {"apply": "Smooth and square", "show": "Only tell what would move, and by how much"}
    ) = "apply",
    at: Text("At", "a seam or edge such as front/side, or a piece; several with blanks; empty: all") = "",
    what: Choice(
        "What to smooth",
        "",
        {
            "all": "All of these",
            "ends": "Edges that run over a seam",
            "folds": "Edges that meet a fold",
            "kinks": "Kinks within an edge and over its darts",
        },
    ) = "all",
    gives: Choice(
        "Which piece gives way",
        "at a seam",
        {"both": "Both, each by half", "first": "The first of the seam", "second": "The second"},
    ) = "both",
    reach: Length("Changes reach so far", "along an edge from the joint", 5, 200) = 30.0,
    most: Length("Moves a line at most", "where it would move further it is left, and told", 0, 50) = 3.0,
) -> Outcome:
    """Smooth the edges that run over seams and closed darts, and square those that meet a fold.

    Each piece may be smooth alone and the pair still come to a beak or a dip: so the pieces are laid
    together at each end of every seam, darts closed, and the neck over the shoulder, the armhole
    over the shoulder and under the arm, the waist and the hem over the side are looked at. The
    angles of both pieces are to make 180 degrees, good within 1. An edge meets a fold square, good
    within half a degree, for 5 mm. Inside an edge a kink of more than 1 degree is smoothed, also
    where a dart is closed: draw a waist softly before its darts are trued.

    The smallest change counts. The corner stays, and the ends of the edges are bent into each other
    within the reach, or up to the next corner or notch; the seam itself keeps its length, and so do
    dart legs. Only where the line would still dip or stand out by more than 0.5 mm, the corner moves
    along the seam, on both pieces alike. Curves stay curves, and what lies beyond the reach stays
    as it is. Doing it twice changes nothing more.

    A corner that is more than 30 degrees off is taken as meant, such as that of a vent; so is, where
    seams cross, the bend of a side seam at the waist. Smooth shoulders before the sleeve is made to
    fit: the edges change their length a little, and you are told by how much. A facing, band or
    lining that follows is never smoothed itself: it comes along when its parents are.
    """
    asked = _Asked(tuple(at.replace(",", " ").split()), what, gives, reach, most)
    _check_names(pattern, asked)
    picked = _leading(chosen.picked(pattern), asked)
    work = _Work(pattern, asked, frozenset((piece.name, outline.size) for piece, outline in picked))
    for piece, outline in picked:
        work = _smooth_kinks(work, piece.name, outline.size) if asked.wants(KINKS) else work
        work = _square_folds(work, piece.name, outline.size) if asked.wants(FOLDS) else work
    for size in pattern.sizes if asked.wants(ENDS) else ():
        work = work._replace(shared=_shared(work.pattern, size))
        for seam in pattern.seams:
            for last in (False, True):
                work = _smooth_end(work, seam, last, size)
    return _outcome(pattern, work, action == "apply")


def _check_names(pattern: Pattern, asked: _Asked) -> None:
    """``InputError`` for a word of ``at`` that is neither a piece nor one of its edges."""
    for word in asked.at:
        name, _, edge = word.partition("/")
        piece = pattern.piece(name)
        known = list(dict.fromkeys(one for outline in piece.outlines for one in outline.names))
        if edge and edge not in known:
            raise InputError(
                "'{}' has no edge called '{}'.".format(name, edge),
                "Its edges are: {}.".format(", ".join(known)),
                code="name",
            )


def _leading(picked: Sequence[Tuple[Piece, Outline]], asked: _Asked) -> List[Tuple[Piece, Outline]]:
    """What was picked without pieces that follow others: they are smooth when their parents are.

    ``InputError`` where nothing is left, or where a place on such a piece was asked for.
    """
    following = {piece.name: piece for piece, _ in picked if piece.follows}
    found = [(piece, outline) for piece, outline in picked if piece.name not in following]
    meant = [name for name in (word.partition("/")[0] for word in asked.at) if name in following]
    meant = meant or ([] if found else list(following))
    if meant:
        follows = parse_follow(following[meant[0]].follows)
        raise InputError(
            "'{}' follows {}, so a change of its own would not last.".format(meant[0], in_words(follows)),
            "Smooth {}: what follows is made anew by itself.".format(" and ".join(follows.parents)),
            code="parent",
        )
    return found


# -- kinks and folds ----------------------------------------------------------------------


def _smooth_kinks(work: _Work, name: str, size: str) -> _Work:
    """Every kink of one outline; the outline is looked at anew after each, for its curves are others."""
    done: Set[Tuple[str, float, float]] = set()
    while True:
        piece = work.pattern.piece(name)
        kinks = edge_joints(piece, piece.outline(size), KINK_GOOD)
        kinks = [one for one in kinks if work.asked.means("{}/{}".format(name, one.joint.first.edge))]
        rough = rough_edges(kinks)
        left = [
            one for one in kinks if _key(one) not in done and (one.dart or one.joint.first.edge not in rough)
        ]
        if not left:
            return work
        kink, joint = left[0], left[0].joint
        done.add(_key(kink))
        work = work.seen()
        what = "{} over {}" if kink.dart else "{} at a kink"
        what = what.format(called(piece.outline(size), joint.first.edge), kink.dart)
        if abs(joint.turn) > MEANT_CORNER:
            work = work.left(what, [name], size, AS_MEANT)
            continue
        made = smoothed_kink(piece.outline(size), joint, work.reaches(joint))
        work = work.put(SmoothedPlace(what, size, joint, 180.0, joint.total, made.away, 0.0), made)


def _key(kink: EdgeJoint) -> Tuple[str, float, float]:
    return (kink.joint.first.edge, round(kink.joint.spot[0], 3), round(kink.joint.spot[1], 3))


def _square_folds(work: _Work, name: str, size: str) -> _Work:
    """Every edge of one outline that meets a fold; squaring one leaves the others where they are."""
    for number in range(len(fold_ends(work.pattern.piece(name), work.pattern.piece(name).outline(size)))):
        piece = work.pattern.piece(name)
        outline = piece.outline(size)
        joint, fold = fold_ends(piece, outline)[number]
        edge = joint.first.edge
        folded = next(one.name for one in outline.edges if one.start <= fold.start < one.stop)
        if not work.asked.means("{}/{}".format(name, edge), "{}/{}".format(name, folded)):
            continue
        work = work.seen()
        off = joint.turn / 2.0
        what = "{} at the fold".format(called(outline, edge))
        if fold_fault(joint) is None or abs(off) > MEANT_CORNER:
            work = work.left(what, [name], size, RUNS_ON if fold_fault(joint) is None else AS_MEANT)
            continue
        made = squared_fold(outline, joint, fold, work.reaches(joint)[0])
        work = work.put(SmoothedPlace(what, size, joint, 90.0, 90.0 + off, made.away[:1], made.slid), made)
    return work


# -- seam ends --------------------------------------------------------------------------


def _smooth_end(work: _Work, seam: Seam, last: bool, size: str) -> _Work:
    """One end of a seam in one size: its angle first, and then what still dips or stands out."""
    for again in (False, True):
        try:
            end = seam_end(work.pattern, seam, last, size)
        except InputError:
            return work  # not drawn in this size; the walk of the seams tells it
        if end is None or not _is_meant(work, end):
            return work
        weights, joint = _weights(work, end), end.joint
        outlines = work.outline(joint.first), work.outline(joint.second)
        what = "{} over {}".format(called(outlines[0], joint.first.edge), end.refs[0].edge)
        if not any(weights):
            return _not_given(work, end, what, size)
        work = work if again else work.seen()
        fault = end_fault(joint)
        follows = min(weights) == 0.0 and bool(_elsewhere(work, end)) and abs(joint.turn) > _ALIKE
        if end.kind == MEANT or (fault is None and not follows):
            pieces, why = (joint.first.piece, joint.second.piece), AS_MEANT if end.kind == MEANT else RUNS_ON
            return work if again else work.left(what, pieces, joint.first.size or size, why)
        slides = not {_corner(joint.first), _corner(joint.second)} & work.shared
        made = smoothed_end(outlines, end, weights, work.reaches(joint), slides, fault is not None)
        size_shown = joint.first.size or size
        place = SmoothedPlace(what, size_shown, joint, 180.0, joint.total, made.away[:2], made.slid)
        if fault is not None and fault.code == "end-dip" and end_fault(made.joint) is not None:
            kept = "wavers by {:.1f} mm within 30 mm, and does so too when it is smoothed within its reach"
            return work._replace(places=work.places + (place._replace(kept=kept.format(fault.amount)),))
        done = work.put(place, made)
        if done.pattern is work.pattern:
            return done
        arms = [arm for arm, weight in zip((joint.first, joint.second), weights) if weight]
        work = done._replace(turned=done.turned + tuple((_corner(arm), seam) for arm in arms))
    return work


def _not_given(work: _Work, end: SeamEnd, what: str, size: str) -> _Work:
    """With an angle told that stays, for the piece that was to give way does not."""
    joint, arms = end.joint, (end.joint.first, end.joint.second)
    mine = any((arm.piece, arm.size) in work.mine for arm in arms)
    if not mine or work.asked.gives == "both" or end.kind == MEANT or end_fault(joint) is None:
        return work
    arm = arms[0] if work.asked.gives == "first" else arms[1]
    done = "was smoothed over another seam" if _corner(arm) in _elsewhere(work, end) else "is not to change"
    kept = "stays in an angle of {:.1f} degrees: '{}', which gives way, {}".format(
        joint.total, arm.piece, done
    )
    place = SmoothedPlace(what, joint.first.size or size, joint, 180.0, joint.total, (0.0, 0.0), 0.0, kept)
    return work.seen()._replace(places=work.places + (place,))


def _corner(arm: Arm) -> _Corner:
    return arm.piece, arm.size, arm.edge, arm.at_stop


def _elsewhere(work: _Work, end: SeamEnd) -> FrozenSet[_Corner]:
    """Those of an end's two corners that were smoothed over another seam."""
    mine = {_corner(end.joint.first), _corner(end.joint.second)}
    return frozenset(corner for corner, seam in work.turned if seam != end.seam and corner in mine)


def _shared(pattern: Pattern, size: str) -> FrozenSet[_Corner]:
    """Corners at which an edge runs on over several seams, as at a back with two fronts."""
    counts: Dict[_Corner, int] = {}
    for seam in pattern.seams:
        try:
            ends = seam_ends(pattern, seam, size)
        except InputError:
            continue  # not drawn in this size
        for arm in (arm for end in ends for arm in (end.joint.first, end.joint.second)):
            counts[_corner(arm)] = counts.get(_corner(arm), 0) + 1
    return frozenset(corner for corner, count in counts.items() if count > 1)


def _is_meant(work: _Work, end: SeamEnd) -> bool:
    arms = end.joint.first, end.joint.second
    if end.kind == CROSSES and not work.asked.at:
        return False
    edges = [str(ref) for ref in end.refs] + ["{}/{}".format(arm.piece, arm.edge) for arm in arms]
    return work.asked.means(*edges)


def _weights(work: _Work, end: SeamEnd) -> Tuple[float, float]:
    """Which share of the turn each piece takes; none one that may not change, that is drawn once for all
    sizes where the other is drawn in several, or that another seam at the same corner would be spoilt by.
    """
    arms = end.joint.first, end.joint.second
    done = _elsewhere(work, end)
    able = [(arm.piece, arm.size) in work.mine and _corner(arm) not in done for arm in arms]
    if arms[0].size != arms[1].size:
        able = [ok and bool(arm.size) for ok, arm in zip(able, arms)]
    share = {"both": (0.5, 0.5), "first": (1.0, 0.0), "second": (0.0, 1.0)}[work.asked.gives]
    share = tuple(part * ok for part, ok in zip(share, able))
    if work.asked.gives == "both" and sum(share) > 0.0:
        share = tuple(part / sum(share) for part in share)
    return share[0], share[1]


# -- what is told -----------------------------------------------------------------------


def _outcome(before: Pattern, work: _Work, apply: bool) -> Outcome:
    drawn = left_darts(before, work.mine, work.asked.means) if work.asked.wants(KINKS) else []
    words = [sentence(work.places, work.looked_at, apply)]
    words += [left_sentence(work.alone, before.sizes)] if work.places else []
    report = Report(
        " ".join(filter(None, words)),
        tuple(kept_findings(before, work.places) + drawn),
        place_table(work.places, before.sizes, apply),
        changes(work.places) if apply else (),
    )
    if not apply or all(place.kept for place in work.places):
        return Outcome(before, report)
    touched: Dict[str, Dict[str, None]] = {}
    for place in (place for place in work.places if not place.kept):
        for arm in (place.joint.first, place.joint.second):
            if work.pattern.piece(arm.piece) is not before.piece(arm.piece):
                touched.setdefault(arm.piece, {})[arm.size] = None
    after, findings = work.pattern, []  # type: Pattern, List[Finding]
    for name, own in touched.items():
        cut = recut(after.piece(name), list(own))
        findings += told_by_size(recut_findings(cut), cut.piece)
        after = after.with_piece(cut.piece)
    sizes = list(dict.fromkeys(size for own in touched.values() for size in own))
    lines = (sizes[0], sizes[0]) if len(sizes) == 1 else ()
    report = report.then(Report("", tuple(findings), lines=lines))
    report = report.then(edge_report(before, after, sizes, list(touched)))
    return Outcome(after, report.then(guard(before, after, [(size, size) for size in sizes], list(touched))))
