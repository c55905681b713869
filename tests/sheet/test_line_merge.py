"""Cuts of cubics undone; the cuts are made by svgpathtools, which is not ours."""

import random

import numpy as np
import pytest

from sewkit.geometry.path import Path, lines
from sewkit.sheet.line_merge import merged, merged_all
from sewkit.sheet.whole import whole_lines
from tests.pdfs.pages import tiled
from tests.pdfs.scene import scene
from tests.sheet.sheets import sheet_of

CubicBezier = pytest.importorskip("svgpathtools").CubicBezier


def to_svg(curve):
    return CubicBezier(*(complex(x, y) for x, y in curve))


def from_svg(curve):
    return np.array([[p.real, p.imag] for p in (curve.start, curve.control1, curve.control2, curve.end)])


def cut_by_svgpathtools(curve, *times):
    stops = [0.0, *sorted(times), 1.0]
    return [from_svg(to_svg(curve).cropped(a, b)) for a, b in zip(stops, stops[1:])]


def drawn(seed):
    """A seam-like cubic: up to 300 mm, no loop, handles of its own length each."""
    chance = random.Random(seed)
    end = np.array([chance.uniform(80, 300), chance.uniform(-60, 60)])
    one = end * chance.uniform(0.2, 0.45) + (0, chance.uniform(-50, 50))
    two = end * chance.uniform(0.55, 0.8) + (0, chance.uniform(-50, 50))
    return np.array([(0.0, 0.0), one, two, end])


@pytest.mark.parametrize("seed", range(64))
def test_a_cut_cubic_is_one_again(seed):
    curve = drawn(seed)
    first, second = cut_by_svgpathtools(curve, random.Random(-seed).uniform(0.03, 0.97))

    whole = merged(first, second)

    assert np.abs(whole - curve).max() <= 1e-6


# What producers round: tenths of a micrometre (24.8 fixed point), two decimals of a point.
@pytest.mark.parametrize("step, off", [(0.0014, 0.02), (0.0035, 0.05)])
def test_rounded_cuts_are_undone_63_times_in_64(step, off):
    good = 0
    for seed in range(64):
        curve = drawn(seed)
        parts = cut_by_svgpathtools(curve, random.Random(-seed).uniform(0.1, 0.9))
        whole = merged(*(np.round(part / step) * step for part in parts))
        if whole is not None:
            there = np.array([to_svg(whole).point(t) for t in np.linspace(0, 1, 101)])
            here = np.array([to_svg(curve).point(t) for t in np.linspace(0, 1, 101)])
            # Points of equal parameter: a bound from above on the distance of the curves.
            good += np.abs(there - here).max() <= off

    assert good >= 63


@pytest.mark.parametrize("seed", range(12))
def test_a_cubic_cut_three_times_is_one_again(seed):
    curve = drawn(seed)
    parts = cut_by_svgpathtools(curve, 0.2, 0.5, 0.7)

    whole = merged_all([part[None] for part in parts], False)

    assert len(whole) == 1
    assert np.abs(whole[0] - curve).max() <= 1e-5


def test_joins_of_the_large_sheet_are_undone():
    made = tiled(scene(12, marks=False, told_by="colours"))
    cut = sum(sum(line.cut) for line in sheet_of(made).lines) // 2

    wholes = whole_lines(sheet_of(made))

    nodes = sum(len(whole.path) for whole in wholes)
    truth = sum(len(outline.path) for outline in made.scene.outlines)
    assert cut >= 64
    assert nodes - truth <= cut // 64


def test_a_smooth_node_between_two_different_cubics_stays():
    # Both have the direction (1, 0) at the node, but their bends differ.
    first = np.array([(0, 40), (10, 10), (30, 0), (50, 0)], float)
    second = np.array([(50, 0), (80, 0), (100, 0), (140, 60)], float)

    assert merged(first, second) is None


def test_a_corner_stays_and_a_cut_line_does_not():
    one = lines(np.array([[0.0, 0.0]]), np.array([[90.0, 0.0]]))[0]
    on = lines(np.array([[90.0, 0.0]]), np.array([[120.0, 0.0]]))[0]
    bent = lines(np.array([[90.0, 0.0]]), np.array([[120.0, 1.0]]))[0]

    assert merged(one, bent) is None
    assert Path(merged(one, on)[None]).nodes.tolist() == [[0.0, 0.0], [120.0, 0.0]]
