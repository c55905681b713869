"""Whatever finite lines are drawn: no error, no warning, and every outline that is given is closed.

Drawings come from seeds: lines that meet, nearly meet and lie on each other, dots, loops smaller
than a pen, paths of one curve, the same line many times, places a kilometre from the corner.
"""

import random
import warnings

import numpy as np
import pytest

from sewkit.geometry.path import Path, lines, point
from sewkit.sheet.drawn import Style, Words
from sewkit.sheet.groups import group_lines
from sewkit.sheet.nest import find_pieces
from tests.sheet.nests import whole

STYLES = (
    Style("#000000", 0.5),
    Style("#000000", 0.5, (6.0, 2.0)),
    Style("#c00000", 0.5),
    Style("", 0.0, (), "#000000"),
    Style("#000000", 0.25),
)
TEXTS = ("Front", "38", "40", "36 38 40")


def checked(drawn, words=(), sizes=()):
    """Find pieces with every warning an error; outlines are closed, finite and not empty."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        grouping = group_lines(drawn, words)
        if sizes:
            groups = [g._replace(size=sizes[n % len(sizes)]) for n, g in enumerate(grouping.groups)]
            grouping = grouping._replace(groups=tuple(groups))
        found = find_pieces(drawn, words, grouping)
    for piece in found.pieces:
        for outline in piece.outlines:
            assert outline.path.closed
            assert len(outline.path) > 0
            assert np.isfinite(outline.path.curves).all()
            ends, starts = outline.path.curves[:, 3], np.roll(outline.path.curves[:, 0], -1, axis=0)
            assert np.array_equal(ends, starts)  # no gap between one curve and the next
    return found


def a_path(dice, extent):
    """A path of any kind within a square."""

    def spot():
        return np.array([dice.uniform(0, extent), dice.uniform(0, extent)])

    def bent(count):
        nodes = [spot() for _ in range(count + 1)]
        return np.array([[a, spot(), spot(), b] for a, b in zip(nodes, nodes[1:])])

    kind, here = dice.randrange(8), spot()
    if kind == 0:
        return Path(bent(dice.randint(1, 6)))
    if kind == 1:
        width, height = dice.uniform(0, extent / 2), dice.uniform(0, extent / 2)
        corners = [(0, 0), (width, 0), (width, height), (0, height)]
        return Path.through(here + np.array(corners), closed=True)
    if kind == 2:
        return Path(np.array([[here, spot(), spot(), here]]), dice.random() < 0.7)
    if kind == 3:
        return Path(np.array([[here] * 4] * dice.randint(1, 3)), dice.random() < 0.5)
    if kind == 4:
        return Path(lines([here], [here + [dice.uniform(-0.01, 0.01), 0.0]]))
    if kind == 5:
        size = dice.choice([1e-9, 1e-4, 0.1, 0.3, 1.0, 3.0])
        return Path.through(here + np.array([(0, 0), (size, 0), (size, size)]), dice.random() < 0.5)
    if kind == 6:
        return Path.through([spot() for _ in range(dice.randint(2, 7))])
    return Path([])


def meeting(dice, paths, extent):
    """A path from one line to another; its ends lie on them, or a little beside."""

    def on(path):
        t = dice.choice([0.0, 1.0, dice.random(), 1e-9, 1 - 1e-9])
        aside = dice.choice([0, 0, 0, 0.1, 0.29, 0.31, 1, 2.9, 3.1])
        return point(path.curves[[dice.randrange(len(path))]], t)[0] + (aside, 0.0)

    between = [(dice.uniform(0, extent), dice.uniform(0, extent)) for _ in range(dice.randint(0, 3))]
    return Path.through([on(dice.choice(paths))] + between + [on(dice.choice(paths))])


def a_drawing(dice):
    """Lines and words."""
    extent = dice.choice([1.0, 10.0, 50.0, 300.0, 300.0, 1000.0, 1e6])
    paths = [a_path(dice, extent) for _ in range(dice.randint(0, 12))]
    for _ in range(dice.randint(0, 10)):
        drawn = [path for path in paths if len(path)]
        paths += [meeting(dice, drawn, extent)] if drawn else []
    if paths and dice.random() < 0.3:
        paths += [dice.choice(paths) for _ in range(dice.randint(1, 6))]
    if dice.random() < 0.3:  # on a coarse grid much lies on each other
        paths = [Path(np.round(p.curves / extent * 10) * extent / 10, p.closed) for p in paths]
    if dice.random() < 0.2:
        away = dice.choice([1e6, -1e6, 1e5])
        paths = [Path(p.curves + away, p.closed) for p in paths]
    styles = dice.sample(STYLES, dice.randint(1, len(STYLES)))
    words = [
        Words(dice.choice(TEXTS), dice.uniform(0, extent), dice.uniform(0, extent))
        for _ in range(dice.randint(0, 5))
    ]
    return [whole(p, dice.choice(styles), (), n) for n, p in enumerate(paths)], words


@pytest.mark.parametrize("seed", range(20))
def test_any_drawing_is_looked_through_to_the_end(seed):
    dice = random.Random(seed)
    for _ in range(20):
        drawn, words = a_drawing(dice)
        checked(drawn, words, dice.choice([(), (), ("all", "-", "36", "38"), ("36", "all")]))


def square(x, y, side):
    return Path.through([(x, y), (x + side, y), (x + side, y + side), (x, y + side)], closed=True)


LOOP = Path(np.array([[(0, 0), (300, 0), (0, 300), (0, 0)]], float), True)


@pytest.mark.parametrize(
    "paths",
    [
        [square(0, 0, 100)] * 2,
        [square(0, 0, 100)] * 30,
        [LOOP],
        [LOOP] * 3,
        [Path(LOOP.curves, False)] * 2,
        [Path(np.zeros((1, 4, 2)), True)],
        [Path([])],
        [square(1e6, -1e6, 300), Path.through([(1e6, -1e6), (1e6 + 300, -1e6 + 300)])],
    ],
    ids=["twice", "thirty times", "one curve", "it thrice", "it open", "a dot", "empty", "far away"],
)
@pytest.mark.parametrize("sizes", [(), ("36",), ("all",), ("-",)], ids=str)
def test_odd_lines_do_no_harm(paths, sizes):
    checked([whole(path, order=n) for n, path in enumerate(paths)], (), sizes)


@pytest.mark.parametrize("gap", [0.01, 0.1, 0.25, 0.5])
def test_cuts_beside_each_other_do_not_turn_a_line_round(gap):
    # Two lines of a size end beside each other on the line that both share: between them it is
    # shorter than a cut may move.
    drawn = [
        whole(Path.through([(0, 0), (200, 0), (200, 100 - gap), (200, 300), (0, 300), (0, 0)]), STYLES[4]),
        whole(Path.through([(200, 100), (260, 100), (260, 240), (200, 240)]), STYLES[2]),
        whole(Path.through([(200, 100 - gap), (320, 100 - gap), (320, 280), (200, 280)]), STYLES[1]),
    ]

    for sizes in (("all", "36", "38"), ("36", "38", "40"), ("36",)):
        for piece in checked(drawn, (), sizes).pieces:
            for outline in piece.outlines:
                low, high = outline.path.curves.min(axis=(0, 1)), outline.path.curves.max(axis=(0, 1))
                assert (low >= -0.5).all()
                assert (high <= (320.5, 300.5)).all()
