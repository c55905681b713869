"""What the file that a command is to write may be called, said before any work is done."""

import os

from sewkit.errors import InputError

_DRAWING, _PRINTED = ".svg", ".pdf"
_ALL = "-"  # standard output


def check_output(output: str, dry_run: bool, changes: bool, prints: bool = False) -> None:
    """``InputError`` where a drawing cannot go there, or the documents printed beside it.

    Args:
        output: empty where none was named.
        changes: there is a new drawing to be written.
        prints: there is something to be printed beside it.
    """
    if (changes or prints) and not (output or dry_run):
        what = "new drawing" if changes else "printed file"
        raise InputError(
            "Where shall the {} go?".format(what), "Give -o FILE, or --dry-run to write none.", code="file"
        )
    if prints and output == _ALL and not dry_run:
        raise InputError(
            "What is printed goes beside the drawing, and standard output has no place beside it.",
            "Give -o a file name.",
            code="file",
        )
    if output and output != _ALL and os.path.splitext(output)[1].lower() not in ("", _DRAWING):
        raise InputError(
            "The new drawing is an SVG, and '{}' is named like something else.".format(output),
            "Give it a name that ends in .svg.",
            code="file",
        )


def check_printed(output: str, dry_run: bool = False) -> None:
    """``InputError`` where nothing but printed documents is wanted and they cannot go there."""
    if not (output or dry_run):
        raise InputError(
            "Where shall the PDF go?", "Give -o FILE.pdf, or --dry-run to write none.", code="file"
        )
    if output and output != _ALL and os.path.splitext(output)[1].lower() != _PRINTED:
        raise InputError(
            "What is printed is a PDF, and '{}' is named like something else.".format(output),
            "Give it a name that ends in .pdf.",
            code="file",
        )
