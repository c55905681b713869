"""Nodes as an editor numbers them.

``ID:RUN:NODE`` names a node: runs and nodes count from 0 after empty moves were dropped,
each of H V L C S Q T is one node, and an explicit way back to the start is the start
node itself.  An editor first splits arcs by a rule of its own, so a path with arcs is
refused.
"""

from typing import Any, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.files.svg_names import shown_name
from sewkit.files.svg_shapes import drawn_lines


def node_point(element: Any, word: str) -> np.ndarray:
    """The point (2,), mm on the sheet, of the node that the editor calls ``word``."""
    _, run, node = _split(word)
    runs = drawn_lines(element).runs
    if any(one.arcs for one in runs):
        raise InputError(
            "'{}' has an arc in it, whose nodes cannot be counted surely.".format(shown_name(element)),
            "Move one of its nodes a little and back, so that the editor rewrites it, and try again.",
            code="arc",
        )
    if run >= len(runs) or node >= len(runs[run].path.nodes):
        raise InputError(
            "'{}' has no node {} in its line {}.".format(shown_name(element), node, run),
            "Select the nodes again.",
            code="choice",
        )
    return runs[run].path.nodes[node]


def _split(word: str) -> Tuple[str, int, int]:
    parts = word.rsplit(":", 2)
    if len(parts) != 3 or not (parts[1].isdecimal() and parts[2].isdecimal()):
        raise InputError(
            "'{}' is not a node.".format(word), "Write id:line:node, such as path1:0:3.", code="choice"
        )
    return parts[0], int(parts[1]), int(parts[2])
