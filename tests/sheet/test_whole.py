"""Whole lines against the scene they were printed from, judged by Shapely."""

import math
import random

import numpy as np
import pytest

from sewkit.geometry.path import Path, is_line
from sewkit.sheet.drawn import Line, Sheet, Style
from sewkit.sheet.whole import whole_lines
from tests.pdfs.cutting import dashed
from tests.pdfs.pages import single, tiled
from tests.pdfs.scene import circle, scene
from tests.sheet.sheets import sheet_of

shapely = pytest.importorskip("shapely")

BLACK = Style("#000000", 0.5)


def dense(path, places=120):
    """A path as a Shapely line through many of its points (Bernstein form written out)."""
    t = np.linspace(0.0, 1.0, places + 1)
    weights = np.stack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3], axis=1)
    points = np.einsum("tk,nkd->ntd", weights, path.curves)
    rows = points[:, :-1].reshape(-1, 2)
    return shapely.LinearRing(rows) if path.closed else shapely.LineString(np.vstack([rows, points[-1, -1]]))


def matches(made, wholes):
    """For each true outline the closed whole line that is nearest to it, and how far it is off."""
    found = []
    for outline in made.scene.outlines:
        truth, box = dense(outline.path), np.array(dense(outline.path).bounds)
        rivals = [w for w in wholes if w.path.closed and w.style.colour]
        rivals = [w for w in rivals if np.abs(np.array(dense(w.path, 16).bounds) - box).max() < 5]
        off = [(shapely.hausdorff_distance(truth, dense(w.path)), k) for k, w in enumerate(rivals)]
        worst, k = min(off, default=(math.inf, 0))
        found.append((outline, rivals[k] if rivals else None, worst))
    return found


def strokes(paths, style=BLACK, page=1):
    return [Line(path, style, page=page, order=(page, k, 0)) for k, path in enumerate(paths)]


def whole_of(lines):
    return whole_lines(Sheet(1000.0, 1000.0, tuple(lines)))


@pytest.mark.parametrize("told_by", ["dashes", "colours", "widths", "nothing"])
@pytest.mark.parametrize("layers", [False, True])
def test_cut_outlines_come_back_whole_with_their_own_nodes(told_by, layers):
    made = tiled(scene(told_by=told_by, layers=layers))

    found = matches(made, whole_lines(sheet_of(made)))

    assert max(worst for _, _, worst in found) <= 0.003
    assert [len(whole.path) for _, whole, _ in found] == [len(outline.path) for outline, _, _ in found]
    assert all(whole.gaps == () for _, whole, _ in found)


# The finest promise for a recovered line is 0.1 mm off the drawn one.
@pytest.mark.parametrize("dashes", ["single", "strips"])
@pytest.mark.parametrize("cut", [False, True])
@pytest.mark.parametrize("layers", [False, True])
def test_dashes_become_the_outline_they_were_cut_from(dashes, cut, layers):
    sheet = scene(layers=layers)
    made = tiled(sheet, dashes=dashes) if cut else single(sheet, dashes=dashes)

    found = matches(made, whole_lines(sheet_of(made)))

    good = [(outline, whole) for outline, whole, worst in found if worst <= 0.1]
    # Of filled dashes that a page border cut at a corner one outline may stay open.
    assert len(good) >= (14 if cut and dashes == "strips" else 15)
    for outline, whole in good:
        assert whole.style.dashes == sheet.styles[outline.size].dashes
        assert len(whole.path) <= len(outline.path) + 2
        assert whole.path.closed and whole.gaps == ()


def test_a_large_sheet_of_single_dashes_comes_back_whole():
    made = tiled(scene(12), dashes="single")

    found = matches(made, whole_lines(sheet_of(made)))

    assert sum(worst <= 0.1 for _, _, worst in found) == 60


def test_notches_of_nested_sizes_stay_apart():
    made = tiled(scene(sizes=8))

    wholes = whole_lines(sheet_of(made))

    notches = [path for stroke in made.scene.of("notch") for path in stroke.paths]
    notches = [path for path in notches if path.nodes[:, 0].max() < made.scene.width]
    for path in notches:
        ends = np.concatenate([path.curves[:1, 0], path.curves[-1:, 3]])
        same = [
            w
            for w in wholes
            if len(w.path) == 1
            and np.allclose(sorted(w.path.nodes.tolist()), sorted(ends.tolist()), atol=1e-6)
        ]
        assert len(same) == 1


def test_one_straight_seam_of_28_dashes_is_one_line_again():
    # 250 mm in dashes of 6 with gaps of 3: 27 whole periods are 243 mm, one dash more 249.
    # Its last bit is a dash of 6 mm that ends at 249 mm; the seam itself is drawn to there.
    bits = [Path.through([(20.0 + 9.0 * k, 40.0), (26.0 + 9.0 * k, 40.0)]) for k in range(28)]

    (whole,) = whole_of(strokes(bits))

    assert len(whole.path) == 1 and is_line(whole.path.curves).all()
    assert whole.path.nodes.tolist() == [[20.0, 40.0], [269.0, 40.0]]
    assert whole.style.dashes == (6.0, 3.0)
    assert whole.parts == 28


@pytest.mark.parametrize("rhythm", [(6, 2), (2, 2), (8, 1.5, 1, 1.5), (8, 1.5, 1, 2), (12, 4)])
def test_the_rhythm_of_dashes_on_a_circle_is_heard(rhythm):
    # The circle's length is a whole number of periods, so that the rhythm closes.
    radius = round(2 * math.pi * 60 / sum(rhythm)) * sum(rhythm) / (2 * math.pi)
    dashes = dashed(circle((100.0, 100.0), radius), rhythm)

    (whole,) = whole_of(strokes([d for d in dashes if dense(d).length > 0.3]))

    # Told from its greatest turn on, whichever way round.
    assert whole.style.dashes in (tuple(map(float, rhythm)), (8.0, 2.0, 1.0, 1.5))
    assert whole.path.closed and len(whole.path) <= 6
    ring = shapely.LinearRing(
        100.0 + radius * np.stack([np.cos(a := np.linspace(0, 2 * np.pi, 4000)), np.sin(a)], 1)
    )
    assert shapely.hausdorff_distance(dense(whole.path), ring) <= 0.0003 * radius + 0.05


def bent_line():
    return Path([[(0, 0), (30, -40), (90, -40), (120, 0)], [(120, 0), (140, 60), (140, 90), (120, 160)]])


@pytest.mark.parametrize("seed", range(8))
def test_dashes_join_alike_whichever_way_they_were_drawn_and_however_they_lie(seed):
    chance = random.Random(seed)
    angle, shift = (
        chance.uniform(0, 2 * math.pi),
        np.array([chance.uniform(-50, 50), chance.uniform(-50, 50)]),
    )
    turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    dashes = dashed(bent_line(), (6, 2))
    moved = [Path(d.curves @ turn + shift) for d in dashes]
    flipped = [d.reverse() if chance.random() < 0.5 else d for d in moved]

    (plain,) = whole_of(strokes(dashes))
    (whole,) = whole_of(strokes(flipped))

    expected = Path(plain.path.curves @ turn + shift)
    assert shapely.hausdorff_distance(dense(whole.path), dense(expected)) <= 0.03
    assert off_the_bent_line(plain.path) <= 0.1


def off_the_bent_line(path):
    """How far a path strays from the line, which runs on by part of a gap behind the last dash."""
    truth = dense(bent_line())
    return max(truth.distance(shapely.Point(spot)) for spot in dense(path).coords)


@pytest.mark.parametrize("seed", range(4))
def test_a_line_alone_is_found_without_any_drawing_order(seed):
    dashes = dashed(bent_line(), (6, 2))
    random.Random(seed).shuffle(dashes)

    (whole,) = whole_of(strokes(dashes))

    assert off_the_bent_line(whole.path) <= 0.1
    assert whole.parts == len(dashes)


def test_most_of_a_nest_without_drawing_order_is_still_found():
    made = single(scene(marks=False, told_by="both"), dashes="single")
    sheet = sheet_of(made)
    mixed = list(sheet.lines)
    random.Random(5).shuffle(mixed)
    mixed = [line._replace(order=(1, k, 0)) for k, line in enumerate(mixed)]

    found = matches(made, whole_lines(sheet._replace(lines=tuple(mixed))))

    assert sum(worst <= 0.1 for _, _, worst in found) >= 12


def test_different_styles_layers_and_hidden_lines_never_join():
    one, two = Path.through([(0, 0), (50, 0)]), Path.through([(50, 0), (100, 0)])
    for other in (
        Line(two, BLACK._replace(colour="#ff0000"), order=(1, 1, 0)),
        Line(two, BLACK, ("38",), order=(1, 1, 0)),
        Line(two, BLACK, hidden=True, order=(1, 1, 0)),
    ):
        assert len(whole_of([Line(one, BLACK, order=(1, 0, 0)), other])) == 2


@pytest.mark.parametrize("gap, pieces, told", [(0.2, 1, 0), (2.5, 1, 1), (3.5, 2, 0)])
def test_gaps_are_closed_as_far_as_the_table_of_tolerances_allows(gap, pieces, told):
    # job of the workroom: up to 0.3 mm silently, up to 3 mm told, wider ones are asked about.
    lines = strokes([Path.through([(0, 0), (80, 0)]), Path.through([(80 + gap, 0), (160, 0)])])

    found = whole_of(lines)

    assert len(found) == pieces
    assert sum(len(whole.gaps) for whole in found) == told
    if told:
        assert found[0].gaps[0].width == pytest.approx(gap)
        assert found[0].gaps[0].point == pytest.approx((80 + gap / 2, 0))


def test_edges_drawn_one_by_one_become_one_outline():
    corners = [(0, 0), (100, 0), (120, 90), (-10, 80)]
    edges = [Path.through([a, b]) for a, b in zip(corners, corners[1:] + corners[:1])]

    (whole,) = whole_of(strokes(edges))

    assert whole.path.closed and len(whole.path) == 4 and whole.parts == 4
    assert sorted(whole.path.nodes.tolist()) == sorted([float(x), float(y)] for x, y in corners)


def test_a_fork_of_three_equals_stays_open():
    lines = strokes(
        [
            Path.through([(0, 0), (50, 0)]),
            Path.through([(50, 0), (100, 9)]),
            Path.through([(50, 0), (100, -9)]),
        ]
    )

    assert len(whole_of(lines)) == 3


def test_a_line_drawn_twice_is_one_and_sizes_keep_theirs():
    edge = Path.through([(0, 0), (100, 0)])
    twice = [Line(edge, BLACK, order=(1, k, 0)) for k in (0, 1)]
    sizes = [Line(edge, BLACK, (name,), order=(1, k, 0)) for k, name in enumerate(("36", "38"))]

    assert len(whole_of(twice)) == 1
    assert len(whole_of(sizes)) == 2


def test_straight_lines_that_overlap_become_one():
    lines = strokes([Path.through([(0, 0), (70, 0)]), Path.through([(50, 0), (120, 0)])])

    (whole,) = whole_of(lines)

    assert whole.path.nodes.tolist() == [[0.0, 0.0], [120.0, 0.0]]


def test_filled_letters_pass_unchanged():
    made = single(scene())
    letters = [
        Line(Path(circle((k * 3.0, 5.0), 1.0).curves, True), Style("", 0.0, (), "#000000"), order=(1, k, 0))
        for k in range(40)
    ]
    bars = [
        Line(
            Path.through([(k * 2.0, 9), (k * 2.0 + 0.4, 9), (k * 2.0 + 0.4, 12), (k * 2.0, 12)], True),
            Style("", 0.0, (), "#000000"),
            order=(1, 99, k),
        )
        for k in range(30)
    ]

    found = whole_of(letters + bars)

    assert [whole.path for whole in found] == [line.path for line in letters + bars]
    assert made.printed


def test_a_sheet_without_lines_and_strokes_without_length():
    assert whole_of([]) == ()
    dot = Line(Path([[(5.0, 5.0)] * 4]), BLACK)
    assert len(whole_of([dot])) == 1
