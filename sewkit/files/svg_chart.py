"""The size chart that a drawing carries: the text of a table in its metadata, never drawn.

<metadata><sewkit:chart>size,chest,waist
1,88,74
</sewkit:chart></metadata>
"""

from typing import Any, Optional

from lxml import etree

from sewkit.files.svg_names import SEWKIT, SVG

_CHART = "{%s}chart" % SEWKIT
_METADATA = "{%s}metadata" % SVG


def chart_text(root: Any) -> str:
    """The table's text without blank lines around it; empty where the drawing carries none."""
    found = _element(root)
    return "".join(found.itertext()).strip() if found is not None else ""


def set_chart_text(root: Any, text: str) -> None:
    """Put a table into the drawing; an equal one changes nothing, an empty one goes."""
    if text.strip() == chart_text(root):
        return
    found = _element(root)
    if found is None:
        above = root.find(_METADATA)
        if above is None:
            above = etree.Element(_METADATA)
            root.insert(0, above)
        found = etree.SubElement(above, _CHART)
    if text.strip():
        found.text = text.strip() + "\n"
        del found[:]
    else:
        above = found.getparent()
        above.remove(found)


def _element(root: Any) -> Optional[Any]:
    return next(root.iter(_CHART), None)
