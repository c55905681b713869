"""Tables that a drawing carries in its metadata, never drawn: its size chart, its baseline.

<metadata><sewkit:chart>size,chest,waist
1,88,74
</sewkit:chart></metadata>
"""

from typing import Any, Optional

from lxml import etree

from sewkit.files.svg_names import SEWKIT, SVG

_METADATA = "{%s}metadata" % SVG


def kept_text(root: Any, name: str) -> str:
    """The text of a table without blank lines around it; empty where the drawing carries none."""
    found = _element(root, name)
    return "".join(found.itertext()).strip() if found is not None else ""


def set_kept_text(root: Any, name: str, text: str) -> None:
    """Put a table into the drawing; an equal one changes nothing, an empty one goes."""
    if text.strip() == kept_text(root, name):
        return
    found = _element(root, name)
    if found is None:
        above = root.find(_METADATA)
        if above is None:
            above = etree.Element(_METADATA)
            root.insert(0, above)
        found = etree.SubElement(above, _tag(name))
    if text.strip():
        found.text = text.strip() + "\n"
        del found[:]
    else:
        above = found.getparent()
        above.remove(found)


def _tag(name: str) -> str:
    return "{%s}%s" % (SEWKIT, name)


def _element(root: Any, name: str) -> Optional[Any]:
    return next(root.iter(_tag(name)), None)
