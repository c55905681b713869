"""The names of our attributes in a drawing, and small helpers to read them."""

from typing import Any, Dict, Iterator, Optional, Tuple

SVG = "http://www.w3.org/2000/svg"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
SODIPODI = "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"
XLINK = "http://www.w3.org/1999/xlink"
SEWKIT = "urn:sewkit:1"
PREFIX = "sewkit"

SEAM_LINE = "seam-line"
CUT_LINE = "cut-line"

# Elements whose content is not drawn where it stands.
_NOT_DRAWN = {"", "defs", "symbol", "clipPath", "mask", "pattern", "marker", "metadata"}
SHAPES = {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use"}


def tag(element: Any) -> str:
    """The name of an SVG element, such as ``path``; empty for comments and foreign elements."""
    if not isinstance(element.tag, str):
        return ""
    space, _, name = element.tag.rpartition("}")
    return name if space in ("", "{" + SVG) else ""


def own(element: Any, name: str) -> Optional[str]:
    """One of our attributes, or None."""
    value = element.get("{%s}%s" % (SEWKIT, name))
    return value.strip() if value is not None else None


def set_own(element: Any, name: str, value: str) -> None:
    """Set one of our attributes; an empty value takes it away; an equal one changes nothing."""
    key = "{%s}%s" % (SEWKIT, name)
    if value == (own(element, name) or ""):
        return
    if value:
        element.set(key, value)
    else:
        del element.attrib[key]


def words(element: Any, name: str) -> Tuple[str, ...]:
    """An attribute that lists names."""
    return tuple((own(element, name) or "").split())


def drawn(element: Any) -> Iterator[Any]:
    """The element and everything below it that is drawn where it stands, in order."""
    waiting = [element]
    while waiting:
        here = waiting.pop()
        if tag(here) not in _NOT_DRAWN:
            yield here
            waiting += reversed(here)


def hidden(element: Any) -> bool:
    """Whether the element or one above it is hidden."""
    while element is not None:
        style = (element.get("style") or "").replace(" ", "")
        if "display:none" in style or element.get("display") == "none":
            return True
        element = element.getparent()
    return False


def by_id(root: Any) -> Dict[str, Any]:
    """All elements by id; where an id stands twice, the first counts."""
    found: Dict[str, Any] = {}
    for element in root.iter():
        name = element.get("id") if isinstance(element.tag, str) else None
        if name:
            found.setdefault(name, element)
    return found


def shown_name(element: Any) -> str:
    """How to call an element when talking to a person: its label, else its id, else its kind."""
    return element.get("{%s}label" % INKSCAPE) or element.get("id") or tag(element)
