"""All that is wrong in a piece's group which cannot be read, not only the first of it."""

from typing import Any, Callable, List

from sewkit.errors import InputError
from sewkit.files.svg_names import CUT_LINE, SEAM_LINE, own
from sewkit.files.svg_read import members, read_cut_line, read_mark, single_run
from sewkit.pattern.naming import name_edges
from sewkit.pattern.piece import parse_corners, parse_pressed
from sewkit.pattern.seam import parse_seams


def faults(group: Any, first: InputError) -> List[InputError]:
    """Every fault of a piece's group, the one on which its reading ended first."""
    name = own(group, "piece") or ""
    found = [first]
    readers: List[Callable[[], Any]] = []
    for element in members(group):
        readers.append(lambda element=element: _read(element, name))
    readers += [
        lambda: parse_corners(own(group, "corners") or ""),
        lambda: parse_pressed(own(group, "pressed") or ""),
        lambda: parse_seams(own(group, "sewn") or "", name),
    ]
    for read in readers:
        try:
            read()
        except InputError as error:
            if str(error) not in [str(other) for other in found]:
                found.append(error)
    return found


def _read(element: Any, name: str) -> None:
    """Read one element of the piece for its faults alone."""
    role, size = own(element, "role") or "", own(element, "size") or ""
    if role == CUT_LINE:
        read_cut_line(element, size, "", {})
    elif role != SEAM_LINE:
        read_mark(element, role, size, "", {})
    else:
        run, text = single_run(element, "", {}), own(element, "edges")
        if text:
            name_edges(run, text, size, "", "'{}'{}".format(name, " size {}".format(size) if size else ""))
