"""Lines that are not seen on paper: hidden in the file, or white."""

from sewkit.sheet.drawn import Style
from sewkit.sheet.groups import group_lines
from sewkit.sheet.nest import find_pieces
from tests.sheet.nests import apart, bodice, fronts, ring, say, style, whole

PLACES = ((20.0, 80.0), (320.0, 80.0))


def sizes_of(grouping):
    """Sizes by their lines: {"36": {0, 5, 10}, ...}."""
    found = {}
    for group in grouping.groups:
        found.setdefault(group.size, set()).update(group.lines)
    return found


def between(x, y):
    """An outline between the first size and the second."""
    return ring(bodice(x, y, 170, 380, 5.0))


def outlines_are_true(drawing, drawn, grouping):
    found = find_pieces(drawn, [], grouping)
    assert len(found.pieces) == len({t.piece for t in drawing.truth})
    for t in drawing.truth:
        assert apart(found.pieces[t.piece].outlines[t.size].path, t.path) < 0.02
    assert all(len(piece.outlines) == 3 for piece in found.pieces)


def test_an_old_outline_hidden_in_a_size_s_colour_is_no_line_of_it():
    drawing = fronts(PLACES, 3, "colours")
    drawn = list(drawing.lines)
    drawn.append(whole(between(*PLACES[0]), style(1, "colours"), ("old",))._replace(hidden=True))

    grouping = group_lines(drawn, [])

    assert sizes_of(grouping) == {"1": {0, 3}, "2": {1, 4}, "3": {2, 5}, "-": {6}}
    outlines_are_true(drawing, drawn, grouping)


def test_a_white_outline_renames_nothing():
    drawing = fronts(PLACES, 3, "colours")
    drawn = list(drawing.lines) + [whole(between(*PLACES[0]), Style("#ffffff", 1.0))]

    grouping = group_lines(drawn, [])

    assert sizes_of(grouping) == {"1": {0, 3}, "2": {1, 4}, "3": {2, 5}, "-": {6}}
    outlines_are_true(drawing, drawn, grouping)


def test_a_hidden_layer_named_as_a_size_stays_that_size():
    drawing = fronts(PLACES, 3, "nothing", layers=True)
    drawn = [line._replace(hidden="Size 38" in line.layers) for line in drawing.lines]

    assert sizes_of(group_lines(drawn, [])) == {"36": {0, 3}, "38": {1, 4}, "40": {2, 5}}


def test_what_is_hidden_beside_the_lines_of_a_size_is_no_line_of_it():
    drawing = fronts(PLACES, 3, "nothing", layers=True)
    drawn = list(drawing.lines)
    drawn.append(whole(between(*PLACES[0]), style(0, "nothing"), ("Size 38",))._replace(hidden=True))

    assert sizes_of(group_lines(drawn, []))["-"] == {6}


def test_a_drawing_that_is_hidden_altogether_is_looked_at_all_the_same():
    drawing = fronts(PLACES, 3, "colours")
    drawn = [line._replace(hidden=True) for line in drawing.lines]

    assert sizes_of(group_lines(drawn, [])) == {"1": {0, 3}, "2": {1, 4}, "3": {2, 5}}


def test_hidden_words_name_no_size():
    drawing = fronts(PLACES, 3, "colours")
    words = []
    for t in drawing.truth:  # below the hem's end; the old numbers are hidden
        x, y = t.path.curves[4, 3]
        words.append(say(str(40 + 2 * t.size), x + 30, y + 1.0, height=2.0))
        words.append(say(str(8 + 2 * t.size), x + 60, y + 1.0, height=2.0, hidden=True))
        words.append(say(str(8 + 2 * t.size), x + 90, y + 1.0, height=2.0, hidden=True))

    assert sizes_of(group_lines(drawing.lines, words)) == {"40": {0, 3}, "42": {1, 4}, "44": {2, 5}}
