"""Edges that were picked by clicking two of their nodes."""

from typing import List, Sequence

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef

# A node lies on an edge if it is this near to it (mm).
_ON_IT = 1e-3


def edge_between(outline: Outline, nodes: Sequence[np.ndarray], piece: str) -> str:
    """The edge on which two nodes (2,) lie, mm; ``InputError`` where there is none."""
    for name in outline.names:
        runs = outline.runs(name)
        on_it = all(min(nearest(run, node).distance for run in runs) < _ON_IT for node in nodes)
        if on_it and len(nodes) == 2:
            return name
    raise InputError(
        "The nodes selected on '{}' do not lie on one edge.".format(piece),
        "Select its two ends.",
        code="choice",
    )


def clicked_edges(pattern: Pattern, chosen: Chosen) -> List[EdgeRef]:
    """The edges of which two nodes each were clicked one after the other, in that order."""
    found: List[EdgeRef] = []
    for piece, size in dict.fromkeys((node.piece, node.size) for node in chosen.nodes):
        nodes = chosen.nodes_on(piece, size)
        outline = pattern.piece(piece).outline(size)
        for number in range(0, len(nodes), 2):
            found.append(EdgeRef(piece, edge_between(outline, nodes[number : number + 2], piece)))
    return list(dict.fromkeys(found))
