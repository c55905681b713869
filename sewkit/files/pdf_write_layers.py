"""The layers of a document as a PDF's optional content (ISO 32000-1, 8.11)."""

from typing import Dict, List, Sequence, Tuple

from sewkit.files.pdf_write_objects import Body, wide_string
from sewkit.paper.document import Layer


def add_layers(body: Body, layers: Sequence[Layer]) -> Tuple[Dict[str, str], str, str]:
    """Add one group for each layer.

    Gives the name of each in the resources, the entries of the resources, and what stands in
    the catalog; nothing where there are no layers.  ``ValueError`` where two are called the same.
    """
    if not layers:
        return {}, "", ""
    if len({layer.name for layer in layers}) < len(layers):
        raise ValueError("two layers are called the same")
    numbers = [body.add("<< /Type /OCG /Name {} >>".format(wide_string(layer.name))) for layer in layers]
    known = {layer.name: "L{}".format(place) for place, layer in enumerate(layers)}
    properties = " ".join("/{} {} 0 R".format(known[one.name], n) for one, n in zip(layers, numbers))
    off = " ".join(_reference(number) for one, number in zip(layers, numbers) if not one.on)
    usual = "<< /BaseState /ON {}/Order [{}] /ListMode /AllPages >>".format(
        "/OFF [{}] ".format(off) if off else "", _order(layers, numbers)
    )
    groups = " ".join(_reference(number) for number in numbers)
    return known, properties, "/OCProperties << /OCGs [{}] /D {} >>".format(groups, usual)


def _order(layers: Sequence[Layer], numbers: Sequence[int]) -> str:
    """How a viewer lists them: each group below its heading, in the order of the first of it."""
    groups: Dict[str, List[str]] = {}
    for layer, number in zip(layers, numbers):
        groups.setdefault(layer.group, []).append(_reference(number))
    parts = []
    for heading, members in groups.items():
        listed = " ".join(members)
        parts.append("[{} {}]".format(wide_string(heading), listed) if heading else listed)
    return " ".join(parts)


def _reference(number: int) -> str:
    return "{} 0 R".format(number)
