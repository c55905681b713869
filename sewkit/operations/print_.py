"""Print the pieces at true size: on tiles, on large sheets, on a roll."""

from typing import List, Sequence, Tuple

from sewkit.checks.before_cutting import before_cutting, uncut_findings
from sewkit.checks.told_by_size import size_words
from sewkit.operation import Choice, Flag, Length, Outcome, Text, operation
from sewkit.paper.content import PieceInk, content
from sewkit.paper.front import Said, legend_of
from sewkit.paper.furniture import BAR, LONG_BAR
from sewkit.paper.laid_out import Printed, Printing, laid_out
from sewkit.paper.lay import Asked
from sewkit.paper.line_kinds import CUT, SEAM, weight_named
from sewkit.paper.picked_sizes import Picked, picked_sizes, with_labels
from sewkit.paper.repeated import UNSAID, Repeated, repeated
from sewkit.paper.sizes import LIMIT, paper_named
from sewkit.paper.tiling import checked
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.garment_title import garment_for
from sewkit.pattern.mark import LABEL
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece_label import About
from sewkit.report import Finding, Level, Report, Table
from sewkit.units import write_number

# So many letters of the maker's notice fit along the foot of a page.
_SHORT = 90

# So many letters of the drawing's words are told in a report.
_TOLD = 160

_MEASURE = (
    "Before you cut, measure the bars along both sides of a page: {} mm each, within 0.25 %, which is {} mm. "
    "Print at 100 %; 'fit to page' makes every piece smaller."
)
_LONG = {
    "plain": "The page is {} m long and its size is written plainly: some viewers stop at 5.08 m, so measure "
    "both bars, and print it split if they are wrong.",
    "userunit": "The page is {} m long and written in larger units: some viewers and copy shops ignore them "
    "and print a part of the true size, so measure both bars, and print it split if they are wrong.",
}


@operation(
    title="Print at true size",
    menu="Paper",
    select="Select pieces or lines, or nothing for all of them.",
    example="sewkit print samples/waistcoat/master.svg -o waistcoat.pdf --size 3 --paper A4",
    changes=False,
    beside=True,
    prints=True,
)
def print_(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    paper: Text("Paper", "A0 to A5, Letter, ANSI, Arch, safe (A4 and Letter), roll 36in, 900x1500mm") = "A4",
    turn: Choice(
        "Page", "", {"auto": "Whichever takes fewer pages", "portrait": "Upright", "landscape": "On its side"}
    ) = "auto",
    margin: Length("Margin", "that the printer leaves empty", 0, 100) = 10.0,
    overlap: Length("Overlap", "that two pages both show; 0: edge to edge", 0, 100) = 10.0,
    print_sizes: Text("Sizes to print", "such as 3 or 3, 5; empty: those selected, or all") = "",
    lines: Choice(
        "Lines", "", {"both": "Seam line and cut line", "seam": "Seam line only", "cut": "Cut line only"}
    ) = "both",
    weight: Text("Line weight", "fine, normal, strong, or such as 0.35mm") = "normal",
    lay: Choice(
        "Pieces lie",
        "",
        {
            "packed": "Packed where that saves paper",
            "packed-grain": "Packed, the grain as it is drawn",
            "as-drawn": "Where they are drawn",
        },
    ) = "packed",
    gap: Length("Gap between packed pieces", "", 0, 200) = 10.0,
    oversize: Choice(
        "Sheets longer than 5 m",
        "",
        {"split": "Split and join", "plain": "One page, plain", "userunit": "One page, in larger units"},
    ) = "split",
    only: Text("Only these pages", "a spoiled one again, such as B3; empty: all") = "",
    front: Flag("Front page", "with test squares and the map of the pages") = True,
    cut_list: Flag("Cut list", "on the front page") = True,
    garment: Text("Garment", "empty: what the drawing is called") = "",
    person: Text("For whom", "initials or a number") = "",
    note: Text("Note", "production, version; may be empty") = "",
    date: Text("Date", "as it is to stand on every page; empty: none") = "",
) -> Outcome:
    """Put the pieces on pages at true size, with all that is needed to test and to join them.

    A page with nothing on it is left out, and pieces are packed where that saves a page; the
    whole nest of a piece moves as one. Each page has its name, row and column, a bar of 100 mm
    along both sides, and at each join a half circle: two of one number make a circle. Where pages
    overlap, cut each along its frame on the left and on top and lay it on its neighbour's broken line;
    with no overlap put them edge to edge. A front page has squares of 100 mm and 4 in, the
    map of the pages, what the lines mean, and the cut list. On large sheets and rolls that
    stands at the head, and bars are 300 mm.

    Sizes and kinds of lines are layers that a viewer can switch. In a nest each size has dashes of its
    own and its name along the line. A roll is as long as it needs to be, and split and joined
    after 5 m, because most viewers stop at 5.08 m.
    """
    sheet = paper_named(paper)
    checked((sheet.width, sheet.height), margin, overlap, sheet.name)
    width = weight_named(weight)
    picked = picked_sizes(pattern, chosen, print_sizes)
    title = garment.strip() or garment_for(pattern.title, picked.sizes) or "Pattern"
    told = _sizes_told(picked.sizes, pattern.sizes)
    picked = with_labels(picked, _about(title, person.strip(), told, note.strip(), date.strip()))
    pieces = [content(piece, sizes, picked.sizes, lines, width) for piece, sizes in picked.pieces]
    shown = [layer for piece in pieces for stroke in piece.drawn.strokes for layer in stroke.layers]
    kinds = [kind for piece in pieces for kind in piece.kinds]
    legend = legend_of(picked.sizes, "Seam lines" in shown, "Cut lines" in shown, width, kinds)
    words = _maker(pattern, "Cut lines" in shown)
    # Without a front the maker's notice is nowhere else.
    foot = words.kept if not front and sum(map(len, words.kept)) <= _SHORT else ()
    below = _below(person.strip(), picked.sizes, [told, note.strip(), date.strip(), *foot])
    said = Said(title, below, sheet.name, picked.rows if cut_list else (), words.kept, picked.legend)
    asked = Asked(sheet, turn, margin, overlap, lay, gap, oversize)
    names = tuple(dict.fromkeys(only.upper().replace(",", " ").split()))
    done = laid_out(pieces, Printing(asked, said, legend, picked.sizes, front, names))
    first = before_cutting(pattern, [piece.name for piece, _ in picked.pieces], picked.sizes)
    report = _report(done, asked, names, bool(said.rows)).then(Report("", first))
    report = report.then(_cautions(done, asked, picked, pieces, lines)).then(Report("", _unsaid(words)))
    return Outcome(pattern, report, (done.document,))


def _below(person: str, sizes: Sequence[str], more: Sequence[str]) -> str:
    """For whom and in which sizes (first of ``more``), unless the only size is called like the person."""
    told = more[1:] if tuple(sizes) == (person,) else more
    return ", ".join(filter(None, [person, *told]))


def _sizes_told(sizes: Sequence[str], every: Sequence[str]) -> str:
    """ "size 3", "sizes 3 and 5", "sizes 1 to 8", "sizes 1, 3, 8", of all there are; "" without names."""
    named = [size for size in every if size and size in sizes]
    return size_words(named, every) if named else ""


def _about(title: str, person: str, sizes: str, note: str, date: str) -> About:
    """What labels say; they would call sizes that leave others out "1 to 8", so those are written out."""
    return About(title, person, "" if " to " in sizes or not sizes.startswith("sizes") else sizes, note, date)


def _maker(pattern: Pattern, cut: bool) -> Repeated:
    """What is repeated of the drawing's words that belong to no piece."""
    said = [mark.text for mark in pattern.beside if mark.kind == LABEL and mark.text]
    return repeated([text for text in said if text.strip() != pattern.title], cut)


def _unsaid(words: Repeated) -> Tuple[Finding, ...]:
    """Which sentences of the drawing are printed nowhere."""
    if not words.left_out:
        return ()
    told = " ".join(words.left_out)
    told = told if len(told) <= _TOLD else told[:_TOLD].rsplit(" ", 1)[0] + " ..."
    text = "Of the drawing's own words only its notices are repeated; the pieces may have changed since: '{}'"
    return (Finding(UNSAID, Level.INFO, text.format(told)),)


def _report(done: Printed, asked: Asked, only: Sequence[str], has_list: bool) -> Report:
    """How many pages there are, of what, and what was saved."""
    grid, pages = done.laid.grid, len(done.laid.cells)
    way = "" if asked.paper.roll else (", on its side" if done.laid.turned else ", upright")
    size = "{} x {} mm".format(*(write_number(side, 5) for side in grid.page))
    if only:
        summary = "{} of {} pages: {}.".format(len(only), pages, ", ".join(only))
    else:
        each = "" if pages == 1 else " each"
        summary = "{} of {}{}, {}{}.".format(_pages(pages), asked.paper.name, way, size, each)
    blank = grid.columns * grid.rows - pages
    if blank and not only:
        summary += " {} with nothing on {} left out.".format(
            _pages(blank), "it is" if blank == 1 else "them are"
        )
    if done.fronts and not only:
        summary += " {} before them: squares to measure{}.".format(
            "One page stands" if done.fronts == 1 else "{} pages stand".format(done.fronts),
            ", the map and the cut list" if has_list else " and the map",
        )
    if done.laid.is_packed:
        summary += " The pieces were packed."
    rows = [
        (
            name,
            str(count),
            "taken" if name == done.laid.layout else "",
        )
        for name, count in done.laid.tried
    ]
    table = Table("Pages of {} by layout".format(asked.paper.name), ("layout", "pages", ""), tuple(rows))
    joined = Table(
        "Pages",
        ("rows", "columns", "printed", "left out"),
        ((str(grid.rows), str(grid.columns), str(pages), str(blank)),),
    )
    return Report(summary, (), (joined, table))


def _pages(count: int) -> str:
    return "One page" if count == 1 else "{} pages".format(count)


def _cautions(done: Printed, asked: Asked, picked: Picked, pieces: Sequence[PieceInk], lines: str) -> Report:
    """What to measure, and what is not as it was asked for."""
    grid = done.laid.grid
    found: List[Finding] = []
    bar = LONG_BAR if asked.has_head else BAR
    found.append(
        Finding("measure", Level.INFO, _MEASURE.format(write_number(bar), write_number(bar * 0.0025)))
    )
    longest = max(grid.page)
    if longest > LIMIT:
        kind = "userunit" if done.document.unit > 1.0 else "plain"
        text = _LONG[kind].format(write_number(longest / 1000.0, 4))
        found.append(Finding("oversize", Level.WARN, text, cure="Leave 'Sheets longer than 5 m' at split."))
    if lines != SEAM:
        found += uncut_findings([piece.name for piece in pieces if piece.uncut], lines == CUT)
    if picked.left_out:
        text = "Not drawn in these sizes, so not printed: {}.".format(", ".join(picked.left_out))
        found.append(Finding("left-out", Level.WARN, text))
    return Report("", tuple(found))
