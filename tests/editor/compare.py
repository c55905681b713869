"""The result of one door beside that of another."""

import numpy as np
from lxml import etree

from sewkit.files.svg import open_drawing
from sewkit.files.svg_names import drawn, tag
from sewkit.files.svg_shapes import drawn_lines
from sewkit.operation import find


def in_python(name, source, target, ids=(), nodes=(), **values):
    """The operation as a plain Python call on a file; the result is another file."""
    opened, chosen = open_drawing(str(source), ids=ids, nodes=nodes)
    operation = find(name)
    pattern = opened.with_beside(opened.pattern) if operation.beside else opened.pattern
    opened.put(operation.function(pattern, chosen, **values).pattern)
    opened.save(str(target))
    return target


def lines_of(file):
    """Every path that is drawn, by its id, in mm on the sheet."""
    paths = [element for element in drawn(etree.parse(str(file)).getroot()) if tag(element) == "path"]
    return {element.get("id"): [run.path for run in drawn_lines(element).runs] for element in paths}


def check_same_lines(first, second):
    """Both drawings hold the same lines under the same ids, node by node."""
    first, second = lines_of(first), lines_of(second)
    assert set(first) == set(second)
    for name in first:
        assert len(first[name]) == len(second[name])
        for one, other in zip(first[name], second[name]):
            assert one.closed == other.closed
            np.testing.assert_allclose(one.curves, other.curves, atol=1e-6, rtol=0, err_msg=name)
