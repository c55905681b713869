"""What a check found, on a layer of its own: rings with a number and a few words.

The layer lies over the pieces and belongs to none.  It is written anew as a whole, in its
old place, and goes away with the last finding.  A shape and a word tell how serious a finding
is, a colour only on top of them.
"""

from typing import Any, List, Optional, Sequence, Tuple

from lxml import etree

from sewkit.errors import InputError
from sewkit.files.svg_draw import new_path, new_text, take_out
from sewkit.files.svg_frame import to_sheet, uniform_scale
from sewkit.files.svg_names import INKSCAPE, SODIPODI, SVG, own, set_own
from sewkit.files.svg_read import read_mark
from sewkit.pattern.mark import FINDING, Mark
from sewkit.units import write_number

LAYER_ID = "sewkit-findings"
LAYER_NAME = "Sewkit findings"

# Inks that differ in lightness too, so that a grey printer keeps them apart.
_INKS = {"stop": "#b00000", "look": "#8a5a00", "note": "#20558a"}

# A ring's line as a share of its letters' height, and the white edge round letters.
_LINE, _EDGE = 0.09, 0.3


def read_findings(root: Any) -> Tuple[Mark, ...]:
    """The marks on the layer of findings, in order; what cannot be read there is left out."""
    layer = _layer(root)
    found: List[Mark] = []
    for element in layer.iter() if layer is not None else ():
        if isinstance(element.tag, str) and own(element, "role") == FINDING:
            try:
                mark = read_mark(element, FINDING, "", "", {})
            except InputError:
                continue  # it will be drawn anew by the next check
            found.append(mark._replace(form=own(element, "form") or ""))
    return tuple(found)


def put_findings(root: Any, marks: Sequence[Mark]) -> None:
    """Replace the layer of findings by one with these marks (mm on the sheet); none without marks."""
    old = _layer(root)
    place = root.index(old) if old is not None else len(root)
    if old is not None:
        take_out(old)
    if not marks:
        return
    names = {"inkscape": INKSCAPE, "sodipodi": SODIPODI}
    layer = etree.Element("{%s}g" % SVG, id=LAYER_ID, nsmap=names)
    root.insert(place, layer)
    layer.set("{%s}groupmode" % INKSCAPE, "layer")
    layer.set("{%s}label" % INKSCAPE, LAYER_NAME)
    for number, mark in enumerate(marks):
        element = _element(layer, mark)
        element.set("id", "{}-{}".format(LAYER_ID, number + 1))
        for name, value in (("role", FINDING), ("name", mark.name), ("form", mark.form)):
            set_own(element, name, value)


def _layer(root: Any) -> Optional[Any]:
    return next((e for e in root if isinstance(e.tag, str) and e.get("id") == LAYER_ID), None)


def _element(layer: Any, mark: Mark) -> Any:
    ink, height = _INKS.get(mark.form, "#000000"), mark.height or 5.0
    if mark.text:
        element = new_text(mark.text, mark.path, FINDING, layer, height)
        look = ";font-weight:bold;fill:{};stroke:#ffffff;stroke-width:{}px;stroke-linejoin:round;"
        style = "font-size:{}px;font-family:sans-serif".format(write_number(height))
        look = look.format(ink, write_number(round(_EDGE * height, 3)))
        element.set("style", style + look + "paint-order:stroke")
        return element
    if mark.path is None:
        raise ValueError("a finding is drawn somewhere")
    element = new_path(mark.path, FINDING, layer, None)
    largest, smallest = uniform_scale(to_sheet(layer))
    width = _LINE * height / ((largest * smallest) ** 0.5 or 1.0)
    element.set("style", "fill:none;stroke:{};stroke-width:{}".format(ink, write_number(width, 5)))
    return element
