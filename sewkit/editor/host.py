"""The side of an operation that the editor talks to.

inkex gives what it is good at: the arguments, the streams, the way to say something.
The drawing itself goes past it as bytes, because inkex rounds transforms and paths to
six digits when it merely reads them.

Manners, because the editor may run a script at every change of a number: nothing on
standard error but a sentence for the person, the same output for the same input, nothing
written but the drawing.
"""

import argparse
import io
import os
import re
import traceback
import warnings
from typing import Any, Callable, List, Tuple

import inkex

from sewkit.arguments import Subjects, add_unit, add_values, takes_lengths, unit_of, values_of
from sewkit.editor.menu_words import in_the_menu
from sewkit.editor.message import all_told, message, warnings_only
from sewkit.editor.notes import put_notes
from sewkit.editor.printed import add_print_option, print_into, print_target
from sewkit.editor.told import add_report_options, named_file, tell
from sewkit.errors import SewkitError
from sewkit.files import svg
from sewkit.files.atomic import write_bytes
from sewkit.operation import LengthsByName, Operation, Sheet, Text, find

# inkex switches every warning on; each would open a message box in the editor.
warnings.simplefilter("ignore")

_SORRY = (
    "Sewkit met something it was not made for ({}: {}), and has changed nothing. "
    "Please report it, if you can with this drawing."
)


class OperationExtension(inkex.EffectExtension):
    """One operation as an extension; a subclass names it in ``runs``."""

    runs = ""

    def __init__(self) -> None:
        self.operation: Operation = find(self.runs)
        super().__init__()
        self.arg_parser.error = _refuse  # type: ignore[assignment]

    def add_arguments(self, pars: argparse.ArgumentParser) -> None:
        """The values of the operation, their unit, and the page of the dialog."""
        pars.add_argument("--tab", default=None, help=argparse.SUPPRESS)
        add_values(pars, self.operation, for_editor=True)
        if takes_lengths(self.operation):
            add_unit(pars)
        if self.operation.told or self.operation.prints:
            add_report_options(pars, shown=self.operation.prints)
        if self.operation.prints:
            add_print_option(pars)

    def parse_arguments(self, args: List[str]) -> None:
        """Read the arguments; an emptied field is not passed by the editor at all."""
        super().parse_arguments(args)
        given = {word.partition("=")[0] for word in args}
        for param in self.operation.params:
            if param.option in given:
                if isinstance(param.kind, Sheet):
                    name = _spoken(named_file, getattr(self.options, param.name))
                    setattr(self.options, param.name, name)
                continue
            if self.options.tab is None:  # not from the dialog: what is left out takes its default
                if param.default is None:
                    setattr(self.options, param.name, None)
            elif isinstance(param.kind, (Text, LengthsByName)) and not param.default:
                setattr(self.options, param.name, "")

    def load(self, stream: Any) -> bytes:
        """The drawing as it is, untouched."""
        return getattr(stream, "buffer", stream).read()

    def effect(self) -> bool:
        """Run the operation; ``AbortExtension`` with one sentence where that is not possible."""
        self.document, changed = _spoken(self._result)
        return changed

    def has_changed(self, ret: Any) -> bool:
        """A named output is always written; the editor wants one only for a change."""
        return bool(ret) or isinstance(self.options.output, str)

    def save_raw(self, ret: Any) -> None:
        """Write the result; a named file gets its name only when it is whole."""
        target = self.options.output
        if not isinstance(target, str):
            super().save_raw(ret)
        else:
            source = self.options.input_file
            _spoken(write_bytes, target, self.document, never=[source] if isinstance(source, str) else [])

    def _result(self) -> Tuple[bytes, bool]:
        """The drawing after the operation, and whether it is to be taken back."""
        values = values_of(self.operation, self.options, unit_of(self.options))
        target = print_target(self.options) if self.operation.prints else ""
        subjects = Subjects(tuple(self.options.ids), tuple(self.options.selected_nodes))
        drawing, chosen = svg.open_drawing(io.BytesIO(self.document), *subjects)
        pattern = drawing.with_beside(drawing.pattern) if self.operation.beside else drawing.pattern
        outcome = self.operation.function(pattern, chosen, **values)
        if self.operation.prints:
            # Without a screen nobody could click a message away: there it can be switched off.
            tell(print_into(target, outcome, self.options).report, self.operation.title, self.options)
            return self.document, False
        unseen = outcome.pattern is pattern and not self.operation.preview
        if unseen or not self.operation.changes:
            inkex.errormsg(message(outcome.report))
            return self.document, False
        drawing.put(outcome.pattern)
        put_notes(drawing, _noted(self.operation, pattern, outcome), chosen)
        if self.operation.told:
            tell(outcome.report, self.operation.title, self.options)
        return drawing.as_bytes(), True


def _noted(operation: Operation, before: Any, outcome: Any) -> List[str]:
    """What stands in the notes; where nothing changed the drawing has nothing else to show."""
    told = warnings_only(outcome.report)
    if operation.told and not told and outcome.pattern.pieces is before.pieces:
        return [outcome.report.summary]
    return all_told(outcome.report) if outcome.pattern is before and not operation.told else told


def _spoken(work: Callable[..., Any], *arguments: Any, **named: Any) -> Any:
    """Do it; every error becomes one sentence for the person."""
    try:
        return work(*arguments, **named)
    except SewkitError as error:
        raise inkex.AbortExtension(in_the_menu(str(error))) from None
    except Exception as error:
        raise inkex.AbortExtension(_sorry(error)) from None


def _refuse(words: str) -> None:
    words = re.sub(r"^argument \S+: ", "", words)
    raise inkex.AbortExtension(words[:1].upper() + words[1:] + ".")


def _sorry(error: Exception) -> str:
    if os.environ.get("SEWKIT_DEBUG"):
        return traceback.format_exc()
    return _SORRY.format(type(error).__name__, error)
