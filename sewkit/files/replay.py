"""A fit sheet done on a master: also on another one than it was made from.

A step that does not apply there, because the pattern has no such piece, edge or level, is
left out, and always told.  So is a step that is off.  Sizes and allowances are never left
out whole: without them the pieces could not be cut, so the job ends and says why.
"""

import io
from typing import Any, Dict, List, Optional, Tuple

from sewkit.errors import InputError
from sewkit.files.fit_sheet import FitSheet, FitStep, hash_of, running_steps
from sewkit.files.job import Done, Instead, Otherwise, run_job
from sewkit.files.recipe import RecipeStep
from sewkit.operation import Text
from sewkit.pattern.mark import DART
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report
from sewkit.sheet.drawn import Progress

# Faults that say that the pattern has not what the step is about: no such piece or edge, no
# such level, no such size, no such seam.
_LACKING = ("name", "no-level", "nest", "seam")

# Without these there is nothing to cut, so they are never left out.
_NEEDED = ("size", "allowance")

# Their values that give lengths by the names of edges.
_BY_EDGE = {"allowance": ("edges", "old_edges")}


def run_fit_sheet(source: Any, sheet: FitSheet, progress: Progress = None) -> Done:
    """Do a fit sheet on a file, stream or tree; see ``run_job``.

    ``InputError`` where a step cannot be done for another reason than that it does not apply.
    """
    done = run_job(source, running_steps(sheet), progress, otherwise_of(sheet))
    return done._replace(report=Report("", switched_off(sheet)).then(done.report))


def run_on_file(source: Any, sheet: FitSheet, progress: Progress = None) -> Done:
    """Do a fit sheet on a file by its name, or on a stream, and tell where its master was another one."""
    if hasattr(source, "read"):
        data = source.read()
        done = run_fit_sheet(io.BytesIO(data), sheet, progress)
    else:
        done = run_fit_sheet(source, sheet, progress)
        data = _bytes_of(source)
    changed = other_master(sheet, data)
    return done if changed is None else done._replace(report=Report("", (changed,)).then(done.report))


def _bytes_of(source: Any) -> bytes:
    with open(str(source), "rb") as stream:
        return stream.read()


def switched_off(sheet: FitSheet) -> Tuple[Finding, ...]:
    """One finding for each step that is off."""
    words = "Switched off in the fit sheet: {}."
    return tuple(Finding("off", Level.INFO, words.format(_words(one))) for one in sheet.steps if one.off)


def other_master(sheet: FitSheet, master: bytes) -> Optional[Finding]:
    """What to tell where a sheet was made from another master; None where it was this one or names none."""
    made_from = sheet.made_from.get("master")
    if made_from is None or made_from == hash_of(master):
        return None
    text = (
        "This fit sheet was made from another master, or the master was changed since. Look at every step: "
        "amounts that were meant for the other one may not fit this one."
    )
    return Finding("master-changed", Level.WARN, text)


def otherwise_of(sheet: FitSheet) -> Otherwise:
    """What a job does with the steps of a sheet that cannot be done as they are written."""
    # A line that a swing would have drawn, and the size it would have left.
    lost: Dict[str, str] = {}
    for one in sheet.steps:
        if one.off:
            _lose(one.step, lost)

    def otherwise(one: RecipeStep, pattern: Pattern, error: InputError) -> Optional[Instead]:
        gone = {made: first for made, first in lost.items() if made not in pattern.sizes}
        renamed = _without_lost(one, gone)
        if renamed != one:
            names = ", ".join("{} for {}".format(first, made) for made, first in gone.items())
            text = "{}: a swing was left out, so size {}.".format(one.step.operation.title, names)
            return Instead(renamed, (Finding("line-not-made", Level.INFO, text),))
        if not _applies_not(error, pattern):
            return None
        lesser, missing = _reduced(one, pattern)
        if missing and lesser is not None:
            text = "{}: this pattern has no {}; done without.".format(
                one.step.operation.title, ", no ".join(missing)
            )
            return Instead(lesser, (Finding("part-left-out", Level.WARN, text),))
        if one.step.operation.name in _NEEDED:
            return None
        _lose(one, lost)
        known = next((fit for fit in sheet.steps if fit.step == one), FitStep(one))
        text = "Left out, because it does not apply here: {}. {}".format(_words(known), error)
        return Instead(None, (Finding("left-out", Level.WARN, text),))

    return otherwise


def _applies_not(error: InputError, pattern: Pattern) -> bool:
    if error.code == "dart":
        return not any(p.darts or any(mark.kind == DART for mark in p.marks) for p in pattern.pieces)
    return error.code in _LACKING


def _lose(one: RecipeStep, lost: Dict[str, str]) -> None:
    """Note the line that a step would have drawn."""
    values = one.step.values
    called, first = values.get("called"), values.get("first")
    if one.step.operation.name == "blend" and called and first:
        lost[called] = lost.get(first, first)


def _without_lost(one: RecipeStep, lost: Dict[str, str]) -> RecipeStep:
    """A step that speaks of the sizes there are, not of lines that were not drawn."""
    kinds = {param.name: param.kind for param in one.step.operation.params}
    values = {
        name: lost.get(value, value) if type(kinds[name]) is Text and name != "called" else value
        for name, value in one.step.values.items()
    }
    sizes = tuple(lost.get(size, size) for size in one.sizes)
    return one._replace(step=one.step._replace(values=values), sizes=sizes)


def _reduced(one: RecipeStep, pattern: Pattern) -> Tuple[Optional[RecipeStep], List[str]]:
    """A step without pieces, and without widths of edges, that the pattern lacks; and what those are.

    None in place of a step of which no piece is left.
    """
    known = {piece.name: piece for piece in pattern.pieces}
    pieces = tuple(name for name in one.pieces if name in known)
    missing = ["piece '{}'".format(name) for name in one.pieces if name not in known]
    if one.pieces and not pieces:
        return None, missing
    chosen = [known[name] for name in pieces] if pieces else list(pattern.pieces)
    edges = {name for piece in chosen for outline in piece.outlines for name in outline.names}
    values = dict(one.step.values)
    for own in _BY_EDGE.get(one.step.operation.name, ()):
        missing += ["edge '{}'".format(name) for name in values.get(own, {}) if name not in edges]
        if own in values:
            values[own] = {name: mm for name, mm in values[own].items() if name in edges}
    return one._replace(step=one.step._replace(values=values), pieces=pieces), missing


def _words(one: FitStep) -> str:
    """A step in a few words: its title, its place, why it was to be done."""
    values = one.step.step.values
    spots = ["{} {}".format(name, values[name]) for name in ("edge", "at", "until") if values.get(name)]
    where = " ({})".format(", ".join(spots)) if spots else ""
    return "{}{}{}".format(
        one.step.step.operation.title, where, ": " + one.why.rstrip(".") if one.why else ""
    )
