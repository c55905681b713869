"""All stages of an import together: what only shows when they meet."""

import numpy as np

from sewkit.geometry.path import Path
from sewkit.report import Level
from sewkit.sheet.bring import bring
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words

BLACK = Style("#000000", 0.5)


def box(left, top, width, height):
    right, bottom = left + width, top + height
    return Path.through([(left, top), (right, top), (right, bottom), (left, bottom)], closed=True)


def drawn(path, style=BLACK, **more):
    return Drawn(path.curves, (0,), (path.closed,), style, **more)


def brought(things, words=()):
    """The import of one page 800 mm square."""
    placed = tuple(thing._replace(order=number) for number, thing in enumerate(things))
    return bring(Printed((Page(1, 800.0, 800.0, 0, placed, tuple(words)),), total=1))


def told(found, code):
    return [finding for finding in found.report.findings if finding.code == code]


def test_lines_cut_off_along_a_shape_are_told_with_their_page_and_number():
    whole, cut = box(100, 100, 200, 300), box(400, 100, 200, 300)
    hidden = drawn(box(400, 500, 200, 100), cut_by_shape=True, hidden=True)

    one = brought([drawn(whole), drawn(cut, cut_by_shape=True), hidden])
    none = brought([drawn(whole), drawn(cut)])

    (finding,) = told(one, "pdf-cut-out")
    assert finding.level == Level.WARN
    assert finding.text.startswith("1 line on page 1 may be partly hidden by a cut-out shape in the file;")
    assert told(none, "pdf-cut-out") == []


def test_a_test_square_is_not_counted_among_lines_without_a_piece_and_is_kept():
    square = drawn(box(500, 500, 50, 50))
    label = Words("Test square 5 cm", 505.0, 528.0, 0.0, 4.0, 30.0)

    found = brought([drawn(box(100, 100, 200, 300)), square], [label])

    assert [len(line.path) for line in found.rest] == [4]
    assert np.allclose(found.rest[0].path.nodes.min(axis=0), (500, 500))
    assert "no piece" not in found.report.summary
    assert (
        "1 line belongs to no piece."
        in brought(
            [drawn(box(100, 100, 200, 300)), drawn(Path.through([(500, 600), (700, 650)]))]
        ).report.summary
    )


def test_the_picture_keeps_every_place_of_what_the_report_tells_once():
    whole = drawn(box(100, 100, 200, 100))
    corners = [(0, 0), (200, 0), (200, 100), (0, 100), (0, 20)]  # 20 mm are missing
    opened = [drawn(Path.through([(400 + x, 100 + 150 * n + y) for x, y in corners])) for n in range(3)]

    found = brought([whole, *opened])

    (once,) = told(found, "open")
    places = [place for place in found.places if place.code == "open"]
    assert len({place.point for place in places}) == 3
    assert once.text == places[0].text + " (and at 2 more places)"


def test_a_hidden_piece_gives_way_to_the_one_that_is_seen_in_its_name():
    hidden = [
        drawn(box(100 - 6 * n, 100 - 6 * n, 200 + 12 * n, 300 + 12 * n), layers=(layer,), hidden=True)
        for n, layer in enumerate(("Size 36", "Size 38"))
    ]
    shown = [
        drawn(box(450 - 6 * n, 100 - 6 * n, 200 + 12 * n, 300 + 12 * n), layers=(layer,))
        for n, layer in enumerate(("Size 40", "Size 42"))
    ]
    words = [Words("Front", 180.0, 250.0, 0.0, 8.0, 20.0), Words("Front", 530.0, 250.0, 0.0, 8.0, 20.0)]

    found = brought([*hidden, *shown], words)

    assert [(piece.name, piece.sizes) for piece in found.pattern.pieces] == [
        ("front-2", ("36", "38")),
        ("front", ("40", "42")),
    ]
    assert set(found.hidden) == {("front-2", "36"), ("front-2", "38")}
