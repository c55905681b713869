"""The side of an import that the editor talks to: a PDF's file name in, a whole drawing out.

The drawing on the screen is only replaced where nothing stands in it yet: what somebody
has drawn is never lost to an import.
"""

import argparse
import io
from typing import Any, Tuple

from sewkit.arguments import unit_of, values_of
from sewkit.editor.host import OperationExtension
from sewkit.editor.message import warnings_only
from sewkit.editor.notes import put_notes
from sewkit.editor.told import named_file
from sewkit.errors import InputError
from sewkit.files import svg
from sewkit.files.job import run_job
from sewkit.files.recipe import RecipeStep
from sewkit.files.svg_names import INKSCAPE, SHAPES, SODIPODI, drawn, tag
from sewkit.operation import Step
from sewkit.pattern.chosen import EVERYTHING


class PagesExtension(OperationExtension):
    """An operation that works on the pages of a PDF and begins a drawing."""

    def add_arguments(self, pars: argparse.ArgumentParser) -> None:
        """The file, then the values of the operation."""
        pars.add_argument("--file", default="", help="the PDF")
        super().add_arguments(pars)

    def _result(self) -> Tuple[bytes, bool]:
        """The imported drawing; what was found stands in a layer of notes below the pieces.

        A message would have to be clicked away before anything can be looked at, and would
        hold up an editor that works without a screen.
        """
        values = values_of(self.operation, self.options, unit_of(self.options))
        name = named_file(self.options.file)
        if not name:
            raise InputError("No PDF was chosen.", "Choose the file in the first field.", code="file")
        empty = svg.read_tree(io.BytesIO(self.document))
        _refuse_to_replace(empty)
        done = run_job(name, [RecipeStep(Step(self.operation, values))])
        told = [done.report.summary, *warnings_only(done.report), _groups(done.brought)]
        put_notes(done.drawing, told, EVERYTHING)
        _keep_view(done.drawing.root, empty.getroot())
        return done.drawing.as_bytes(), True


def _keep_view(root: Any, before: Any) -> None:
    """Keep the document's own view: given a new one, the editor shows no page until it is saved."""
    name = "{%s}namedview" % SODIPODI
    ours, theirs = root.find(name), before.find(name)
    if ours is not None and theirs is not None:
        theirs.set("{%s}document-units" % INKSCAPE, "mm")
        root.replace(ours, theirs)


def _groups(brought: Any) -> str:
    """Which lines were taken for which size, as the dialog's last field takes it back."""
    taken = " ".join("{}={}".format(group.key, group.size) for group in brought.grouping.groups)
    return "Sizes of the lines: {}. To change them, import again with this in the last field.".format(taken)


def _refuse_to_replace(tree: Any) -> None:
    for element in drawn(tree.getroot()):
        if tag(element) in (*SHAPES, "text", "image"):
            raise InputError(
                "Something is drawn in this document already, and an import begins a new one.",
                "Open a new document (File > New) and bring the PDF in there.",
                code="file",
            )
