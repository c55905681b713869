"""Bring in a bought PDF: from its pages to a pattern at true scale."""

from typing import Dict

from sewkit.errors import InputError
from sewkit.operation import Choice, Count, Length, Text, operation
from sewkit.sheet.bring import Wishes, bring
from sewkit.sheet.brought import Brought
from sewkit.sheet.drawn import Printed, Progress
from sewkit.sheet.size_names import size_name
from sewkit.sheet.tiles import Grid


@operation(
    title="Bring in a bought PDF",
    menu="Pattern",
    select="Start with a new, empty document; nothing has to be selected.",
    example="sewkit import samples/waistcoat/bought.pdf -o master.svg --report import.html",
    preview=False,
)
def import_(
    printed: Printed,
    progress: Progress = None,
    pages: Text("Pages (empty: all)", "such as 2-10,14") = "",
    only_sizes: Text("Only the sizes (empty: all)", "such as 36 38") = "",
    known: Text(
        "Known length, such as 100mm=97.0",
        "what a line should be and, after the sign, what it measures in the file",
    ) = "",
    scale_found: Choice(
        "Scale",
        "what to do where test squares and rulers agree that the file is not at true scale",
        {"correct": "correct it where two agree", "keep": "leave it as it is"},
    ) = "correct",
    columns: Count("Columns of pages (0: find out)", "how many pages lie side by side", 0, 100) = 0,
    order: Choice(
        "Order of pages",
        "with columns given",
        {
            "rows": "row by row",
            "columns": "column by column",
            "snake": "row by row, to and fro",
        },
    ) = "rows",
    trim: Length("Trim", "with columns given: margin to cut off all round a page", 0, 100) = 0.0,
    overlap: Length("Overlap", "with columns given: strip that two trimmed pages both show", 0, 100) = 0.0,
    groups: Text(
        "Sizes of the lines, such as A=36 B=38",
        "which group of lines is which size, as the size table or the notes name them; all serves every "
        "size, - is none",
    ) = "",
) -> Brought:
    """Bring in a bought PDF at true scale: pages joined, sizes apart, lines whole.

    The PDF may be one large sheet or many pages to be joined, with all sizes drawn over
    each other. The result is one drawing in millimetres: a layer for each piece, in it a
    layer for each size, the marks with what they are taken for, and the rest of the sheet.

    Test squares and rulers in the file are measured on the middle of the pen line.
    Nothing is scaled unless two of them agree or you give a length that you know.

    Pages are joined by what is drawn on them, not by eye: lines that go on on the next
    page, and shapes that two pages both show. What proves each join is told; a page that
    nothing proves is placed by its order and told as well. If that fails, say how many
    columns there are.

    Sizes are told apart by layer, by look of the line, by the rhythm of its dashes, or by
    lying inside each other, whichever works first. Which lines were taken for which size
    stands in the size table; correct it and give it back.

    What a mark is taken for is a guess with a score; look at it and confirm it with
    Names > Confirm what was guessed. Outlines come in as drawn: if the pattern includes
    seam allowance, take it off with Seams > Seam allowance.

    Bought patterns stay their maker's. Make the master for yourself, and read the maker's
    terms before you pass anything on.
    """
    grid = Grid(columns, trim, overlap, order) if columns else None
    if grid is None and (trim or overlap or order != "rows"):
        raise InputError(
            "The order of pages, trim and overlap are only used with the number of columns.",
            "Say how many pages lie side by side, or leave them out.",
            code="value",
        )
    wishes = Wishes(
        known=known,
        correct=scale_found == "correct",
        grid=grid,
        sizes=size_answers(groups),
        only_sizes=tuple(size_name(word) for word in only_sizes.replace(",", " ").split()),
    )
    return bring(printed, wishes, progress)


def size_answers(text: str) -> Dict[str, str]:
    """Read ``A=36 B=38 C=all D=-``; ``InputError`` names the word that is none."""
    answers: Dict[str, str] = {}
    for word in text.replace(",", " ").replace(";", " ").split():
        key, sign, size = word.partition("=")
        if not (key and sign and size) or key in answers:
            raise InputError(
                "'{}' does not say which lines are which size.".format(word),
                "Write the group's letter and its size, each once: A=36 B=38.",
                code="value",
            )
        answers[key] = size.lower() if size.lower() in ("all", "-") else size_name(size)
    return answers
