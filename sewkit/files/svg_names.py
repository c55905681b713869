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
_NOT_DRAWN = {"defs", "symbol", "clipPath", "mask", "pattern", "marker", "metadata", "namedview"}
SHAPES = {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use"}


def tag(element: Any) -> str:
    """The element's name without its namespace; empty for comments."""
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def own(element: Any, name: str) -> Optional[str]:
    """One of our attributes, or None."""
    value = element.get("{%s}%s" % (SEWKIT, name))
    return value.strip() if value is not None else None


def set_own(element: Any, name: str, value: str) -> None:
    """Set one of our attributes; an empty value takes it away; an equal one changes nothing."""
    key = "{%s}%s" % (SEWKIT, name)
    if not value:
        if key in element.attrib:
            del element.attrib[key]
    elif element.get(key) != value:
        element.set(key, value)


def words(element: Any, name: str) -> "Tuple[str, ...]":
    """An attribute that lists names."""
    return tuple((own(element, name) or "").split())


def drawn(element: Any) -> Iterator[Any]:
    """The element and everything below it that is drawn where it stands, in order."""
    if tag(element) in _NOT_DRAWN or not isinstance(element.tag, str):
        return
    yield element
    for child in element:
        yield from drawn(child)


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
