"""Path text to curves and back, judged by svgpathtools and by closed forms."""

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.errors import InputError
from sewkit.files.svg_path import arc_curves, parse_d, with_ends, without_noise, write_d
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, is_line, point
from sewkit.geometry.transform import turn
from sewkit.units import write_number


def only(text):
    (run,) = parse_d(text)
    return run.path


def nodes(text):
    return [tuple(node) for node in only(text).nodes]


# -- what the grammar allows (SVG 1.1, section 8.3), worked by hand --------------------------


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("M0,0L3,4", [(0, 0), (3, 4)]),
        ("m1 2 3 4 5 6", [(1, 2), (4, 6), (9, 12)]),  # more pairs after a move are lines
        ("M1 2 3 4l5 6 7 8", [(1, 2), (3, 4), (8, 10), (15, 18)]),
        ("M0 0h5v-2H1V7", [(0, 0), (5, 0), (5, -2), (1, -2), (1, 7)]),
        ("M0 0h1 2 3", [(0, 0), (1, 0), (3, 0), (6, 0)]),
        ("M.5.5.25-1", [(0.5, 0.5), (0.25, -1)]),
        ("M1-2-3+4", [(1, -2), (-3, 4)]),
        ("M1e1,1E-1L2.5e+1 0.e0", [(10, 0.1), (25, 0)]),
        ("  \n M 1,2\tL,3 4 ", [(1, 2), (3, 4)]),
        ("M5 5 L6 6 Z", [(5, 5), (6, 6)]),
        ("M0 0H10V10H0Z", [(0, 0), (10, 0), (10, 10), (0, 10)]),
        ("M0 0H10V10H0V0Z", [(0, 0), (10, 0), (10, 10), (0, 10)]),  # an explicit way back is the start
        ("M0 0H10V10H0V3e-8Z", [(0, 0), (10, 0), (10, 10), (0, 10)]),
    ],
)
def test_lines_in_every_spelling(text, wanted):
    assert nodes(text) == [pytest.approx(node) for node in wanted]
    assert is_line(only(text).curves).all()


def test_after_closing_the_next_run_starts_where_the_last_did():
    first, second = parse_d("M1 1h5v5zl-1 0")

    assert first.path.closed and not second.path.closed
    assert second.path.nodes.tolist() == [[1, 1], [0, 1]]
    assert parse_d("M1 1h5v5zm2 2h1")[1].path.start.tolist() == [3, 3]


@pytest.mark.parametrize("text", ["", "   ", "M1,1", "m5 5 M7 7", "M0 0Z", "M1 1 z z"])
def test_moves_alone_are_no_line(text):
    assert parse_d(text) == []


def test_empty_moves_do_not_count_as_runs():
    assert len(parse_d("M1,1 M20,100 L30,100 M5,5")) == 1


@pytest.mark.parametrize(
    "text",
    [
        "L1 1",
        "5 5",
        "M",
        "M1",
        "M1 2 L3",
        "M0 0 C1 1 2 2",
        "M0 0 X",
        "M0 0 L1,1 Z 5 5",
        "M nan,0 L1,1",
        "M inf 0 L1 1",
        "M0 0 L 1e999 0",
        "M 1e300 0 l 1e300 0",
        "M0 0 l1e12 0 1e12 0",
        "M0 0 a1 1 0 2 0 5 5",
        "M0 0 a1 1 0 1e5 0 5 5",
        "M0 0 a1 1 0 1. 0 5 5",
        "M0 0 a1 1 0 1 M 5 5",
        "M0 0 a1 1 0 1",
        "M0 0 A",
        "M0 0 L 0x10 5",
        "M0 0 L 1 ² 3",
        "M0 0 L 1;2",
        "none",
        "M0 0 L 5 --5",
    ],
)
def test_damaged_text_is_one_sentence_with_a_cure(text):
    with pytest.raises(InputError) as refused:
        parse_d(text)

    assert refused.value.code == "path-data"
    assert refused.value.cure


# -- curves against closed forms ---------------------------------------------------------


def test_a_quadratic_becomes_the_same_curve():
    t = np.linspace(0, 1, 11)[:, None]
    p, q, r = np.array([[1.0, 2.0]]), np.array([[7.0, -3.0]]), np.array([[9.0, 8.0]])
    wanted = (1 - t) ** 2 * p + 2 * t * (1 - t) * q + t**2 * r

    curve = only("M1 2Q7 -3 9 8").curves
    assert np.abs(point(curve, t.T)[0] - wanted).max() < 1e-12


def test_smooth_shorthands_mirror_the_handle_before_them():
    # SVG 1.1, 8.3.6 and 8.3.7: the reflection of the handle, or the pen where there is none.
    assert only("M0 0C1 2 3 4 5 6S9 9 9 0").curves[1, 1].tolist() == [7, 8]
    assert only("M0 0L5 6S9 9 9 0").curves[1, 1].tolist() == [5, 6]
    t = only("M0 0Q2 4 4 0T8 0T12 0").curves
    assert t[1, 1] == pytest.approx([4 + 2 / 3 * 2, -4 * 2 / 3])  # control (6,-4), as a cubic's handle
    assert t[2, 1] == pytest.approx([8 + 2 / 3 * 2, 4 * 2 / 3])
    assert only("M0 0C1 2 3 4 5 6T9 9").curves[1, 1].tolist() == [5, 6]


@pytest.mark.parametrize("radius", [1.0, 80.0, 1000.0])
def test_a_circle_of_arcs_is_round(radius):
    path = only("M{0},0A{0},{0} 0 0 1 -{0},0A{0},{0} 0 0 1 {0},0Z".format(radius))

    at = point(path.curves, np.linspace(0, 1, 41)[None].repeat(len(path), 0)).reshape(-1, 2)
    assert np.abs(np.hypot(*at.T) / radius - 1).max() < 5e-6
    assert path_length(path) == pytest.approx(2 * math.pi * radius, rel=5e-6)


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ("M0 0a25 25 -30 0150-25", "M0 0a25 25 -30 0 1 50 -25"),
        ("M0 0a5 5 0 10.5.5", "M0 0a5 5 0 1 0 .5 .5"),
        ("M0 0a5 5 0 00-1-2 5 5 0 11.3.4", "M0 0a5 5 0 0 0 -1 -2 a5 5 0 1 1 .3 .4"),
        ("M0 0a5,5,0,1,1,3,4", "M0 0 A5 5 0 1 1 3 4"),
    ],
)
def test_flags_may_run_together(text, other):
    assert only(text) == only(other)


def test_arcs_without_radius_are_lines_and_without_way_are_nothing():
    # SVG 1.1, F.6.2
    assert is_line(only("M0 0A0 5 0 0 1 3 4").curves).all()
    assert arc_curves((1.0, 1.0), (1.0, 1.0), 5, 5, 0, True, True) == []
    assert is_line(np.array(arc_curves((0.0, 0.0), (3.0, 4.0), 1e-200, 5, 0, True, True))).all()


def test_radii_too_small_are_grown_until_they_reach():
    # SVG 1.1, F.6.6: a half circle over the chord of 10.
    path = only("M0 0A1 1 0 0 1 10 0")

    assert path_length(path) == pytest.approx(5 * math.pi, rel=5e-6)


COUNTS = {"L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}


def random_path(draw, arcs):
    """A random path text with every command, relative or not, repeated without its letter."""

    def numbers(count):
        texts = ["{:.{}f}".format(draw.uniform(-300, 300), draw.randint(0, 4)) for _ in range(count)]
        return [text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text for text in texts]

    words = ["M", *numbers(2)]
    for _ in range(draw.randint(1, 8)):
        command = draw.choice(list(COUNTS) + ["A"] * arcs)
        words.append(draw.choice([command, command.lower()]))
        for _ in range(draw.randint(1, 2)):
            if command == "A":
                words += ["{:.3f}".format(draw.uniform(1, 400)) for _ in range(2)]
                words += [*numbers(1), draw.choice("01"), draw.choice("01"), *numbers(2)]
            else:
                words += numbers(COUNTS[command])
    return " ".join(words)


def off_segment(curve, segment):
    """How far points of one of our cubics lie from a segment of theirs."""
    if not hasattr(segment, "rot_matrix"):
        return max(abs(complex(*point(curve[None], t)[0]) - segment.point(t)) for t in (0.25, 0.5, 0.8))
    there = point(curve[None], np.array([[0.3, 0.7]]))[0]
    local = (there[:, 0] + 1j * there[:, 1] - segment.center) / segment.rot_matrix
    radius = segment.radius
    return np.abs(np.hypot(local.real / radius.real, local.imag / radius.imag) - 1).max() * 2e-4


@pytest.mark.parametrize("arcs", [0, 3])
def test_random_paths_are_read_as_svgpathtools_reads_them(arcs):
    svgpathtools = pytest.importorskip("svgpathtools")
    draw = random.Random(20240 + arcs)
    for _ in range(100):
        text = random_path(draw, arcs)
        ours = [curve for curve in only(text).curves if np.ptp(curve, axis=0).max() > 0]
        for segment in svgpathtools.parse_path(text):
            if abs(segment.length(error=1e-3)) == 0:
                continue
            curve = ours.pop(0)
            assert abs(complex(*curve[0]) - segment.start) < 1e-9, text
            # Points of an arc may lie 5e-6 of its radius off the ellipse, others 1e-9 mm.
            assert off_segment(curve, segment) < 1e-9, text
            while abs(complex(*curve[3]) - segment.end) > 1e-9:
                curve = ours.pop(0)
                assert off_segment(curve, segment) < 1e-9, text
        assert not ours, text


# -- writing ---------------------------------------------------------------------------


@given(st.floats(-1e6, 1e6, allow_nan=False))
@settings(max_examples=200, deadline=None)
def test_a_written_number_is_the_number(value):
    assert float(write_number(value)) == pytest.approx(value, rel=1e-9, abs=1e-19)
    assert "e" not in write_number(value)


coordinate = st.floats(-5000, 5000, allow_nan=False).map(lambda x: round(x, 6))
spots = st.tuples(coordinate, coordinate)


@given(st.lists(st.tuples(spots, spots, spots), min_size=1, max_size=6), spots, st.booleans(), st.booleans())
@settings(max_examples=100, deadline=None)
def test_what_is_written_is_read_back(steps, start, straight, closed):
    curves, pen = [], start
    for one, two, end in steps:
        curves.append(Path.through([pen, end]).curves[0] if straight else [pen, one, two, end])
        pen = end
    path = Path(curves)
    if closed:
        path = Path(np.concatenate([path.curves, Path.through([pen, start]).curves]), closed=True)
    size = np.abs(path.curves).max()

    again = parse_d(write_d(path))
    if not again:
        assert size == 0 or len(path) == 1
        return
    assert len(again) == 1 and again[0].path.closed == closed
    assert len(path) - 1 <= len(again[0].path) <= len(path)
    off = np.abs(again[0].path.curves[: len(path) - 1] - path.curves[:-1])
    # A straight line is written by its ends alone, wherever its handles lay along it.
    off[is_line(path.curves[:-1]), 1:3] = 0
    if closed and np.hypot(*(np.array(pen) - start)) <= 1e-7 * size:
        # An end that lies within eight digits of the start is the start: editors write no more.
        off[-1] = np.maximum(off[-1] - 1e-7 * size, 0)
    assert off.max(initial=0) <= 1e-9 * size + 1e-6
    assert path_length(again[0].path) == pytest.approx(path_length(path), rel=1e-8, abs=1e-5)


def test_a_run_is_not_torn_apart_by_rounding():
    # Matrix products leave the last digit of a node different on its two curves.
    curves = np.array(Path.through([(0, 0), (100, 0), (100, 50), (3, 70)]).curves)
    curves[1, 0] += 1e-13
    curves[2, 0] -= 2e-13

    assert write_d(Path(curves)).count("M") == 1


@pytest.mark.parametrize("degrees", [90, 180, 270, 30])
def test_what_turning_there_and_back_leaves_is_not_written(degrees):
    # Closed form: turned there and back in any number of steps, every corner is where it was.
    square = Path.through([(0, 0), (300, 0), (300, 170), (0, 170)], closed=True)
    there = square
    for about in ((0, 0), (311.7, -204.3), (0.1, 777.7)):
        there = turn(-degrees, about).path(turn(degrees, about).path(there))
    assert np.abs(there.curves - square.curves).max() > 0, "no noise, no test"

    assert write_d(there) == "M 0,0 L 300,0 L 300,170 L 0,170 Z"


def test_noise_is_far_below_what_anybody_draws():
    # 1e-12 of the largest, a thousand: 1e-9.
    values = [1000.0, 0.9e-9, -0.9e-9, 1.1e-9, 1e-5, 7 + 0.9e-9, 7.5, 7.01]
    assert without_noise(values).tolist() == [1000.0, 0.0, 0.0, 1.1e-9, 1e-5, 7.0, 7.5, 7.01]
    # A drawing in units of a metre keeps its micrometres.
    assert write_d(Path.through([(0.000001, 0), (0.3, 0.999999)])) == "M 0.000001,0 L 0.3,0.999999"
    assert without_noise(np.zeros((0, 2))).shape == (0, 2)


def test_apart_stays_apart():
    ticks = Path(
        np.concatenate([Path.through([(0, 0), (0, 5)]).curves, Path.through([(4, 0), (4, 5)]).curves])
    )

    assert write_d(ticks) == "M 0,0 L 0,5 M 4,0 L 4,5"
    assert write_d(Path([])) == ""


def test_a_straight_line_whose_end_moves_stays_one():
    line = Path.through([(0, 0), (300, 7)]).curves[0]

    assert is_line(with_ends(line, line[0], line[3] + [1e-4, -3e-4])[None])[0]
    arrived = only("M100,100 H 900.00005 V 400 L 100.00003,100.00002 Z")
    assert is_line(arrived.curves).all() and len(arrived) == 3


def test_an_end_within_eight_digits_of_the_start_is_the_start():
    # Found by chance: 6.1e-5 on a drawing 610 wide.
    (run,) = parse_d("M 0,0 L 610,0 L 610,50 L 0,0.000061 Z")

    assert len(run.path) == 3 and run.path.end.tolist() == [0.0, 0.0]
