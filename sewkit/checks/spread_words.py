"""A piece slashed and spread, as one would say it at the table."""

import math
from typing import Dict, List, Sequence

import numpy as np

from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.path import Path
from sewkit.pattern.edge_called import called
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import moved_runs
from sewkit.pattern.slash import Slash, edge_at, strays, where
from sewkit.pattern.spreading import Asked, Spread, drawn_whole, gained, is_straight, opens
from sewkit.pattern.whole_edge import WholeEdge
from sewkit.report import Change, Finding, Level
from sewkit.units import in_both, write_number

# A part that leans less than this keeps its grain (degrees).
_LEANS = 0.05

# From here on (degrees) cloth hangs and stretches visibly otherwise than on the grain: a third
# of the way to the bias.  Common practice, no source.
_LEANS_MUCH = 15.0

# What an edge gained beside the openings that were asked (mm), and is worth a word: less is
# the arc over the gap of a flared hem.
_ASIDE = 0.5

# An edge whose length changed by more than this (mm) was redrawn at its hinge.
_REDRAWN = 1e-6

# A drawn line that strays further than this from straight (mm) was drawn bent.
BENT = 1.0


def sentence(name: str, spreads: Dict[str, Spread], asked: Asked) -> str:
    """What was done to one piece, in its first size."""
    size, one = next(iter(spreads.items()))
    old = one.change.parting.old
    count = len(one.openings)
    verb = "lapped" if one.openings[0] < 0 else "opened"
    gains = [_longer(gained(one, edge)) for edge in one.opened]
    edges = [called(old, edge) for edge in one.opened]
    text = "The {} of '{}'{} {}: {}, {} by {}".format(
        edges[0],
        name,
        " in size {}".format(size) if len(spreads) > 1 else "",
        " and ".join(["is " + gains[0]] + ["the {} {}".format(*p) for p in zip(edges[1:], gains[1:])]),
        "1 slash" if count == 1 else "{} slashes".format(count),
        verb,
        _range([abs(g) for g in one.openings], "mm"),
    )
    if asked.way == "parallel":
        return text + " from edge to edge."
    hinges = dict.fromkeys(edge_at(old, slash.ending) for slash in one.change.parting.slashes)
    kept = " and ".join(called(old, edge) for edge in hinges if edge not in one.opened)
    text += " ({}).".format(_range([abs(a) for a in one.angles], "degrees"))
    if kept and any(abs(gained(one, edge)) > _REDRAWN for edge in hinges if edge not in one.opened):
        return text + " The {} is drawn softly through the hinge.".format(kept)
    return text + (" Nothing changed at the {}.".format(kept) if kept else "")


def labels(name: str, spreads: Dict[str, Spread]) -> List[Change]:
    """For the picture: what each opened edge gained, at its middle; in the first size."""
    one = next(iter(spreads.values()))
    made = []
    for edge in one.opened:
        runs = one.change.outline.runs(edge)
        spot: np.ndarray = point_at(runs[len(runs) // 2], path_length(runs[len(runs) // 2]) / 2.0)
        gain = gained(one, edge)
        edge_words = called(one.change.parting.old, edge)
        text = "{}: {} {}".format(edge_words, in_both(gain), "longer" if gain >= 0 else "shorter")
        made.append(Change(name, text, (float(spot[0]), float(spot[1]))))
    return made


def edge_findings(name: str, spreads: Dict[str, Spread], asked: Asked) -> List[Finding]:
    """Edges that gained more or less than was opened, and edges that are not drawn as asked."""
    one = next(iter(spreads.values()))
    old = one.change.parting.old
    found = []
    for edge in one.opened if asked.ask == "slash" else ():
        # Of a nest the size in which it shows most.
        size = max(spreads, key=lambda s: abs(_beside(spreads[s], edge, asked)))
        if abs(_beside(spreads[size], edge, asked)) > _ASIDE:
            label = "{} size {}".format(name, size) if len(spreads) > 1 else name
            text = "{}: {}".format(label, _why_beside(spreads[size], edge, asked))
            found.append(Finding("not-as-opened", Level.INFO, text, name))
    if asked.whole:
        found += _whole_findings(name, spreads)
    for edge in one.opened:
        if asked.straight and not _is_straight(old, edge):
            text = "'{}': the {} was not straight before, so it is drawn soft.".format(
                name, called(old, edge)
            )
            found.append(Finding("not-straight", Level.INFO, text, name))
    return found


def _whole_findings(name: str, spreads: Dict[str, Spread]) -> List[Finding]:
    """How far an edge that became one line lies from where the slashes left it; the size where it is most."""
    most: Dict[str, WholeEdge] = {}
    missed: Dict[str, str] = {}
    for size, one in spreads.items():
        parting = one.change.parting
        runs = moved_runs(parting, one.change.moves)
        made = drawn_whole(parting, runs)
        for number, run in enumerate(runs):
            edge = called(parting.old, run.edge.name)
            if number in made and (edge not in most or made[number].away > most[edge].away):
                most[edge] = made[number]
            elif number not in made and opens(run):
                missed.setdefault(edge, size)
    told = []
    for edge, line in most.items():
        text = "{}: the {} is one soft line now, up to {:.1f} mm beside where the slashes left it".format(
            name, edge, line.away
        )
        turned = max(line.turned)
        text += "; one corner turned by {:.1f} degrees for it.".format(turned) if turned else "."
        told.append(Finding("one-line", Level.INFO, text, name))
    for edge, size in missed.items():
        text = "{}: as one line the {} would have another shape, so it is drawn softly at the slashes only."
        where_ = "{} size {}".format(name, size) if len(spreads) > 1 else name
        told.append(Finding("not-one-line", Level.INFO, text.format(where_, edge), name))
    return told


def lean_findings(name: str, spreads: Dict[str, Spread]) -> List[Finding]:
    """That parts turned against the grain, which is what a hinge does to cloth."""
    turned = [abs(math.degrees(math.atan2(m.b, m.a))) for s in spreads.values() for m in s.change.moves]
    if max(turned) < _LEANS:
        return []
    text = "{}: beyond the slashes the cloth leans by up to {:.1f} degrees from the grain"
    text = text.format(name, max(turned))
    if max(turned) <= _LEANS_MUCH:
        return [Finding("grain-leans", Level.INFO, text + ".", name)]
    text += "; from {:g} it hangs and stretches otherwise there. Open it by less, or sew a test garment."
    return [Finding("grain-leans", Level.WARN, text.format(_LEANS_MUCH), name)]


def bent_findings(
    name: str, outline: Outline, slashes: Sequence[Slash], drawn: Sequence[Path]
) -> List[Finding]:
    """Drawn lines that were not straight: the slash is."""
    found = []
    for slash, line in zip(slashes, drawn):
        away = strays(slash, line)
        if away > BENT:
            text = (
                "'{}': the drawn line that opens {} is bent by {:.1f} mm; "
                "the slash runs straight between its two ends."
            )
            text = text.format(name, where(outline, slash.opening), away)
            found.append(Finding("line-bent", Level.INFO, text, name))
    return found


def _beside(one: Spread, edge: str, asked: Asked) -> float:
    """How much more (mm) an edge has gained than was opened on it; 0 where there is no such edge."""
    return gained(one, edge) - _opened(one, edge, asked) if edge in one.opened else 0.0


def _opened(one: Spread, edge: str, asked: Asked) -> float:
    """All openings (mm) on one edge together."""
    old, total = one.change.parting.old, 0.0
    for slash, opening in zip(one.change.parting.slashes, one.openings):
        places = (slash.opening,) if asked.way == "hinged" else (slash.opening, slash.ending)
        total += opening * sum(edge_at(old, place) == edge for place in places)
    return total


def _why_beside(one: Spread, edge: str, asked: Asked) -> str:
    """Why an edge gained something else than was opened on it, and how it gains exactly that."""
    old, opened = one.change.parting.old, _opened(one, edge, asked)
    if (asked.straight or asked.way == "parallel") and _is_straight(old, edge):
        why = "it was redrawn as one straight line, and the slash lies aslant to it"
    elif asked.whole:
        why = "it was redrawn as one soft line"
    else:
        why = "it was redrawn with a soft curve over the " + ("lap" if opened < 0 else "gap")
    text = "the {} is {} and not {:.1f} mm, for {}".format(
        called(old, edge), _longer(gained(one, edge)), abs(opened), why
    )
    if {edge_at(old, slash.opening) for slash in one.change.parting.slashes} == {edge}:
        text += "; ask for the total to get exactly {:.1f} mm".format(abs(opened))
    return text + "."


def _is_straight(old: Outline, edge: str) -> bool:
    return all(is_straight(run) for run in old.runs(edge))


def _longer(gain: float) -> str:
    return "{:.1f} mm {}".format(abs(gain), "longer" if gain >= 0 else "shorter")


def _range(values: Sequence[float], unit: str) -> str:
    least, most = min(values), max(values)
    decimals = 1 if unit == "mm" else 2
    texts = [write_number(round(value, decimals)) for value in (least, most)]
    if texts[0] == texts[1]:
        return "{} {}{}".format(texts[0], unit, " each" if len(values) > 1 else "")
    return "{} to {} {}".format(texts[0], texts[1], unit)
