"""A page of fields that would be higher than a small screen, in two columns.

The editor gives a dialog no scroll bar: what stands below the edge of the screen, the button
that starts the operation among it, cannot be reached.
"""

from typing import Any, List

# Heights in dots, measured in photographs of the dialogs (the editor's own look, usual letters).
_FIELD, _FLAG, _LINE, _MARGIN, _SPACER = 38, 29, 17, 4, 16
_AROUND, _PREVIEW = 118, 40  # tabs, frame and buttons; the box for a live preview
_LETTERS = 66  # in a line of the page

# A screen of 768 dots less the desktop's bar and the window's title.
HIGHEST = 700

# What has to do with files stays across both columns: first where it goes, last the report.
_ACROSS = ("file", "print-file", "show-report", "report-file")


def page_height(page: Any, preview: bool) -> int:
    """How high (dots) the dialog becomes with this page of an .inx file."""
    return _AROUND + (_PREVIEW if preview else 0) + _height(list(page))


def fit_page(page: Any, preview: bool) -> None:
    """Lay the values of the page in two columns where one would be too high."""
    values = [child for child in page if _kind(child) == "param" and child.get("name") not in _ACROSS]
    if page_height(page, preview) <= HIGHEST or len(values) < 2:
        return
    space = values[0].tag[: -len("param")]
    place = list(page).index(values[0])
    row = page.makeelement(space + "hbox")
    for number, column in enumerate(_halves(values)):
        if number:
            row.append(page.makeelement(space + "spacer"))
        box = page.makeelement(space + "vbox")
        box.extend(column)
        row.append(box)
    page.insert(place, row)


def _halves(values: List[Any]) -> List[List[Any]]:
    """The first column is as high as the second or a little higher; the order goes down, then right."""
    cut = 1
    while _height(values[:cut]) < _height(values[cut:]):
        cut += 1
    return [values[:cut], values[cut:]]


def _height(children: List[Any]) -> int:
    return sum(_one(child) for child in children)


def _one(child: Any) -> int:
    kind = _kind(child)
    if kind == "hbox":
        return max(_one(part) for part in child)
    if kind == "vbox":
        return _height(list(child))
    if kind == "label":
        return -(-len(child.text) // _LETTERS) * _LINE + _MARGIN
    if kind == "spacer":
        return _SPACER
    return _FLAG if child.get("type") == "bool" else _FIELD


def _kind(child: Any) -> str:
    return str(child.tag).rpartition("}")[2]
