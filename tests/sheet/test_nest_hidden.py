"""Lines that the file hides complete no outline that is seen."""

import pytest

from sewkit.geometry.path import Path
from sewkit.sheet.groups import group_lines, with_sizes
from sewkit.sheet.nest import find_pieces
from tests.sheet.nests import style, whole

CORNERS = [(100, 100), (300, 100), (300, 400), (100, 400)]


@pytest.mark.parametrize("main_hidden, side_hidden, closed", [(0, 1, False), (1, 0, True), (1, 1, True)])
def test_a_hidden_line_closes_only_what_is_hidden_itself(main_hidden, side_hidden, closed):
    look = style(0, "colours")
    outline = whole(Path.through(CORNERS), look)._replace(hidden=bool(main_hidden))
    side = whole(Path.through([CORNERS[-1], CORNERS[0]]), style(1, "colours"))._replace(
        hidden=bool(side_hidden)
    )
    other = whole(Path.through([(500, 100), (700, 100), (700, 400), (500, 400)], closed=True), look)
    lines = [outline, side, other]
    grouping = group_lines(lines, [])
    grouping = with_sizes(
        grouping, {group.key: "all" if 1 in group.lines else "36" for group in grouping.groups}
    )

    found = find_pieces(lines, [], grouping)

    assert len(found.pieces) == 1 + closed
