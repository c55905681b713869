"""Levels drawn once for each size: a word at one of them names them all."""

import itertools

import numpy as np
import pytest

from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import INNER, LENGTHEN, LEVEL
from sewkit.sheet.role_bits import Bit
from sewkit.sheet.role_family import families
from tests.sheet.found import box, laid, line, moved, of_kind, words

SIZES = tuple("12345678")
GRAIN_LINE = [
    line((100, 30), (100, 130)),
    line((97, 38), (100, 30), (103, 38)),
    line((97, 122), (100, 130), (103, 122)),
]


def nest(sizes=SIZES, down=0.0):
    """Outlines of 200 mm and more, each 10 mm wider than the one before, and lower by ``down``."""
    return {size: box(200 + 10 * n, 400, 0, down * n) for n, size in enumerate(sizes)}


def level(heights, sizes=SIZES, left=10.0, right=190.0):
    """One line a size, each 10 mm longer than the one before."""
    return [(line((left, y), (right + 10 * n, y)), size) for n, (y, size) in enumerate(zip(heights, sizes))]


def heights(first, step, count=8):
    return [first + step * n for n in range(count)]


def named(made, name):
    return {mark.size: mark for mark in of_kind(made.guessed(), LEVEL) if mark.name == name}


@pytest.mark.parametrize("degrees", [0.0, 40.0, 180.0])
@pytest.mark.parametrize("step", [-14.0, -2.5, 0.0, 2.5, 14.0])
@pytest.mark.parametrize("at", [0, 3, 7])
def test_a_word_at_one_size_names_all(at, step, degrees):
    drawn = heights(200, step)
    made = laid(nest(), GRAIN_LINE + level(drawn), [words("chest", 60, drawn[at] - 2, 5)])
    made = moved(made, turn(degrees).then(move(300, -50)))

    found = named(made, "chest")

    assert sorted(found) == list(SIZES)
    assert not of_kind(made.guessed(), INNER)


@pytest.mark.parametrize("at", [0, 4, 7])
def test_the_farther_from_the_word_the_less_sure(at):
    """Steps of 20 mm are farther than a word is looked for: it stands at one of them only."""
    drawn = heights(150, 20.0)
    made = laid(nest(), GRAIN_LINE + level(drawn), [words("chest", 60, drawn[at] - 1, 2)])

    scores = [named(made, "chest")[size].guess for size in SIZES]

    away = [abs(n - at) for n in range(8)]
    for (near, more), (far, less) in itertools.combinations(sorted(zip(away, scores)), 2):
        assert more >= less - 1e-9
        assert far - near < 2 or more > less  # rounded to a hundredth
    assert min(scores) > 0.85


def test_lines_come_in_any_order():
    drawn = level(heights(200, -2.5))
    for order in ((7, 0, 6, 1, 5, 2, 4, 3), (3, 4, 5, 6, 7, 0, 1, 2)):
        made = laid(nest(), GRAIN_LINE + [drawn[n] for n in order], [words("hip", 60, 180, 4)])

        assert sorted(named(made, "hip")) == list(SIZES)


def test_far_apart_but_regular_is_one_line_in_all_sizes():
    made = laid(nest(down=30), GRAIN_LINE + level(heights(150, 30)), [words("knee", 60, 148, 5)])

    assert sorted(named(made, "knee")) == list(SIZES)


@pytest.mark.parametrize("jump", [40.0, -70.0])
def test_a_line_that_jumps_away_is_another_one(jump):
    drawn = heights(200, 5.0, 4) + [215 + jump + 5.0 * n for n in range(4)]
    made = laid(nest(), GRAIN_LINE + level(drawn), [words("knee", 60, 196, 2)])

    assert sorted(named(made, "knee")) == list(SIZES[:4])
    assert sorted(mark.size for mark in of_kind(made.guessed(), INNER)) == list(SIZES[4:])


def test_two_lines_keep_apart_though_the_other_ones_next_size_is_nearer():
    """From size to size both move by 12 mm, and they are 20 mm apart: 12 > 20 - 12."""
    first, second = heights(150, 12.0), heights(170, 12.0)
    texts = [words("bust", 60, 148, 4), words("waist", 60, second[7] + 6, 4)]
    made = laid(nest(), GRAIN_LINE + level(first) + level(second), texts)

    for name, wanted in (("bust", first), ("waist", second)):
        found = named(made, name)
        assert [float(found[size].path.start[1]) for size in SIZES] == pytest.approx(wanted)


def test_a_word_is_that_of_the_line_next_to_it():
    """The word stands 12 mm above lines that have no word, and 2 mm below those it names."""
    made = laid(
        nest(),
        GRAIN_LINE + level(heights(200, 0.5)) + level(heights(217, 0.5)),
        [words("waist", 60, 206.5, 2)],
    )

    found = named(made, "waist")

    assert [float(found[size].path.start[1]) for size in SIZES] == pytest.approx(heights(200, 0.5))
    assert len(of_kind(made.guessed(), INNER)) == 8


def test_a_line_in_two_parts_is_named_in_both():
    drawn = heights(200, -4.0)
    parts = level(drawn, left=10, right=90) + level(drawn, left=95 + 70, right=95 + 110)
    made = laid(nest(), GRAIN_LINE + parts, [words("waist", 30, 198, 4), words("waist", 180, 198, 4)])

    assert len(of_kind(made.guessed(), LEVEL)) == 16


def test_without_a_grain_line_the_line_with_the_word_tells_the_way():
    drawn = heights(200, -2.5)
    upright = [(line((30 + 2 * n, 250), (30 + 2 * n, 350)), size) for n, size in enumerate(SIZES)]
    made = laid(nest(), level(drawn) + upright, [words("chest", 60, drawn[7] - 2, 5)])

    assert sorted(named(made, "chest")) == list(SIZES)
    assert len(of_kind(made.guessed(), INNER)) == 8


def test_a_size_without_the_line_parts_nothing():
    """Size 4 has none; its neighbours are matched with each other."""
    drawn = [one for one in level(heights(200, -2.5)) if one[1] != "4"]
    made = laid(nest(), GRAIN_LINE + drawn, [words("chest", 60, 180, 5)])

    assert sorted(named(made, "chest")) == [size for size in SIZES if size != "4"]


def test_the_sides_of_a_pocket_are_no_level():
    pockets = [(box(60, 50, 40, 203 + n), size) for n, size in enumerate(SIZES[1:])]
    made = laid(nest(), GRAIN_LINE + level([200])[:1] + pockets, [words("waist", 60, 198, 5)])

    assert [len(mark.path) for mark in of_kind(made.guessed(), LEVEL)] == [1]
    assert [len(mark.path) for mark in of_kind(made.guessed(), INNER)] == [4] * 7


def test_the_line_of_two_sizes_is_no_place_to_lengthen():
    pair = [(line((10, 200), (190, 200)), "1"), (line((8, 205), (193, 205)), "2")]
    same = [(path, "1") for path, _ in pair]

    assert not of_kind(laid(nest("12"), GRAIN_LINE + pair).guessed(), LENGTHEN)
    assert of_kind(laid(nest("12"), GRAIN_LINE + same).guessed(), LENGTHEN)


def straight(y, left, right):
    start, end = np.array([left, y]), np.array([right, y])
    curves = np.stack([start, start + (end - start) / 3, start + (end - start) * 2 / 3, end])[None]
    return Bit(0, 0, curves, start, end, float(right - left), True)


def best_by_trying_all(first, second):
    """The most pairs in the order of both, and the least distance of so many; all tried."""
    for count in range(min(len(first), len(second)), 0, -1):
        far = [
            sum(abs(a - b) for a, b in zip(some, others))
            for some in itertools.combinations(first, count)
            for others in itertools.combinations(second, count)
        ]
        if far:
            return count, min(far)
    return 0, 0.0


@pytest.mark.parametrize("seed", range(20))
def test_lines_are_matched_as_trying_all_ways_would(seed):
    random = np.random.RandomState(seed)
    rows = [sorted(random.choice(15, random.randint(1, 6), replace=False).tolist()) for _ in range(2)]
    bits = [straight(float(y), 0.0, 100.0) for row in rows for y in row]
    sizes = ["S"] * len(rows[0]) + ["L"] * len(rows[1])

    found = families(bits, sizes, ["S", "L"], np.array([0.0, 1.0]))

    assert sorted(n for one in found for n in one) == list(range(len(bits)))
    pairs = [one for one in found if len(one) == 2]
    far = sum(abs(bits[a].start[1] - bits[b].start[1]) for a, b in pairs)
    assert (len(pairs), far) == pytest.approx(best_by_trying_all(*rows))
    assert all(sizes[a] == "S" and sizes[b] == "L" for a, b in pairs)
