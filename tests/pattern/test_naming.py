"""Edge names: they survive what an editor does to a path, and what breaks them is said."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, Place, point, split_at
from sewkit.geometry.transform import mirror, move, scale, turn
from sewkit.pattern.naming import Entry, name_edges, parse_entries, write_names
from sewkit.pattern.outline import bare_outline, corner_nodes, from_edges
from tests.geometry.shapes import R1

# A piece whose five edges all differ; the armhole is a curve.  Lengths by Pythagoras.
CURVE = [(100, 50), (90, 90), (100, 120), (130, 130)]
STRAIGHT = Path.through([(130, 130), (120, 300), (0, 310), (0, 0), (100, 50)]).curves
PIECE = Path(np.concatenate([np.array([CURVE], float), STRAIGHT]), closed=True)
NAMES = "armhole side hem centre shoulder"


def named(path, text):
    return name_edges(path, text).outline


def remembered(path=PIECE, names=NAMES):
    """The line as it is written when a piece is named."""
    bare = bare_outline(path)
    edges = tuple(edge._replace(name=name) for edge, name in zip(bare.edges, names.split()))
    return write_names(bare._replace(edges=edges))


def middles(outline):
    """Each edge's middle point by parameter: where it lies on the sheet."""
    found = {}
    for name in outline.names:
        run = outline.runs(name)[0]
        found[name] = point(run.curves[len(run) // 2][None], 0.5)[0]
    return found


def same_places(found, wanted, tolerance=1e-6):
    there = {name: wanted[name] for name in found}
    return all(np.abs(found[name] - there[name]).max() < tolerance for name in found)


PLACES = {name: point(PIECE.curves[i][None], 0.5)[0] for i, name in enumerate(NAMES.split())}


def test_the_written_line_tells_names_and_lengths():
    # 170.29 = hypot(10,170), 120.42 = hypot(120,10), 111.80 = hypot(100,50)
    words = dict(word.split(":") for word in remembered().split())

    assert list(words) == NAMES.split()
    assert [words[name] for name in ("side", "hem", "centre", "shoulder")] == [
        "170.29",
        "120.42",
        "310",
        "111.8",
    ]


def test_reading_gives_back_what_was_written():
    text = remembered()

    assert write_names(named(PIECE, text)) == text
    assert middles(named(PIECE, text)).keys() == PLACES.keys()


@pytest.mark.parametrize("start", range(5))
@pytest.mark.parametrize("backwards", [False, True])
def test_another_start_and_direction_are_healed(start, backwards):
    changed = (PIECE.reverse() if backwards else PIECE).start_at(start)

    found = name_edges(changed, remembered(), where="'front' size 3")
    assert same_places(middles(found.outline), PLACES)
    # The edges then run as they did when they were named.
    assert found.outline.path.start == pytest.approx([100, 50])
    assert found.outline.runs("side")[0].start == pytest.approx([130, 130])
    healed = "turned round" if backwards else "another corner" if start else ""
    assert healed in found.healed and bool(found.healed) == bool(healed)


MOVES = {
    "moved": move(500, -30),
    "turned": turn(77),
    "mirrored": mirror((0, 0), (1, 3)),
    "drawn at another scale": scale(1.04, 1.04),
}


@pytest.mark.parametrize("name", list(MOVES))
def test_what_moves_the_whole_piece_keeps_its_names(name):
    frame = MOVES[name]
    found = name_edges(frame.path(PIECE), remembered())

    assert not found.healed
    assert same_places(middles(found.outline), {key: frame.points(at) for key, at in PLACES.items()})


@pytest.mark.parametrize("backwards", [False, True])
def test_eight_digits_and_more_nodes_keep_the_names(backwards):
    digits = Path(
        [
            [[float("%.8g" % v) for v in p] for p in curve]
            for curve in move(1234.5678, 777.7).path(PIECE).curves
        ],
        True,
    )
    nodes = split_at(digits, [Place(0, 0.3), Place(1, 0.5), Place(3, 0.1), Place(3, 0.9)])

    outline = named(nodes.reverse() if backwards else nodes, remembered())
    assert outline.names == tuple(NAMES.split())
    assert path_length(outline.runs("side")[0]) == pytest.approx(np.hypot(10, 170), abs=1e-4)
    assert sum(len(run) for run in outline.runs("centre")) == 3


def test_an_edge_that_was_changed_keeps_its_name():
    points = np.array(PIECE.nodes)
    for node in range(1, 5):
        for shift in ([40, 0], [-25, 60], [0, -45]):
            moved = PIECE.curves.copy()
            moved[node, 0] += shift
            moved[node - 1, 3] += shift
            path = Path(moved, True)
            if len(corner_nodes(path)) != 5:
                continue
            found = name_edges(path, remembered())
            assert not found.healed
            assert found.outline.path.start == pytest.approx(points[0])


@pytest.mark.parametrize("add", [True, False])
def test_a_corner_more_or_less_is_told_with_both_counts(add):
    nodes = [(0, 0), (100, 0), (130, 60), (100, 150), (0, 150)]
    before = Path.through(nodes, True)
    after = Path.through([*nodes, (-30, 70)] if add else nodes[:-1], True)

    with pytest.raises(InputError) as refused:
        name_edges(after, remembered(before, "a b c d e"), where="'front' size 3")
    assert refused.value.code == "corners"
    assert "5 named" in str(refused.value) and ("6 are drawn" if add else "4 are drawn") in str(refused.value)


RECTANGLE = Path.through([(0, 0), (100, 0), (100, 150), (0, 150)], True)


@pytest.mark.parametrize(
    "changed",
    [RECTANGLE.reverse(), RECTANGLE.start_at(1), RECTANGLE.start_at(3), RECTANGLE.reverse().start_at(2)],
)
def test_orders_that_cannot_be_told_apart_are_told_and_never_guessed(changed):
    with pytest.raises(InputError) as refused:
        name_edges(changed, remembered(RECTANGLE, "waist side hem centre"))

    assert refused.value.code == "order"


def test_a_small_difference_is_enough_to_tell_orders_apart():
    # Sides of 150 and 151.33 (hypot(20,150)): half a percent of the perimeter.
    path = Path.through([(20, 20), (120, 20), (120, 170), (0, 170)], True)
    text = remembered(path, "waist side hem centre")

    found = named(path.reverse(), text)
    assert found.runs("centre")[0].start == pytest.approx([0, 170])
    assert same_places(
        middles(found), {"waist": [70, 20], "side": [120, 95], "hem": [60, 170], "centre": [10, 95]}
    )


def test_an_open_line_that_was_reversed_is_healed():
    path = Path.through([(0, 0), (50, 0), (50, 90)])

    assert named(path.reverse(), "neck:50 front:90").runs("neck")[0].start == pytest.approx([0, 0])


def test_without_lengths_the_order_is_taken_as_it_is():
    assert named(PIECE.reverse(), NAMES).names == tuple(NAMES.split())


# -- edges that begin without a corner ------------------------------------------------------

LONG = Path.through([(0, 0), (300, 0), (300, 80), (0, 80)], True)


@pytest.mark.parametrize("stretch", [1.0, 1.5])
def test_smooth_edges_are_cut_where_they_were(stretch):
    path = scale(stretch, 1).path(LONG)
    outline = named(path, "top:120 ~middle:60 ~low:120 right:80 bottom:300 left:80")

    assert [path_length(outline.runs(name)[0]) for name in ("top", "middle", "low")] == pytest.approx(
        [120 * stretch, 60 * stretch, 120 * stretch]
    )
    assert [edge.smooth for edge in outline.edges] == [False, True, True, False, False, False]
    assert write_names(outline).startswith("top:{:g} ~middle:{:g} ~low".format(120 * stretch, 60 * stretch))


def test_a_node_near_the_remembered_place_is_the_place():
    path = split_at(LONG, [Place(0, 0.4009), Place(0, 0.602)])  # at 120.27 and 180.6 mm
    outline = named(path, "top:120 ~middle:60 ~low:120 right:80 bottom:300 left:80")

    assert path_length(outline.runs("top")[0]) == pytest.approx(120.27)
    assert path_length(outline.runs("middle")[0]) == pytest.approx(180 - 120.27)


def test_edges_shorter_than_the_snap_do_not_swallow_each_other():
    path = split_at(LONG, [Place(0, 0.4)])
    outline = named(path, "a:119.9 ~b:0.2 ~c:0.2 ~d:179.7 right:80 bottom:300 left:80")

    lengths = [path_length(outline.runs(name)[0]) for name in "abcd"]
    assert lengths == pytest.approx([119.9, 0.2, 0.2, 179.7], abs=1e-6)


def test_smooth_edges_survive_reversal_on_their_own_places():
    path = Path.through([(0, 0), (300, 0), (300, 80), (0, 110)], True)
    text = "top:120 ~rest:180 right:80 bottom:{:.2f} left:110".format(np.hypot(300, 30))

    found = named(path.reverse().start_at(2), text)
    assert found.runs("top")[0].end == pytest.approx([120, 0])
    assert found.runs("rest")[0].end == pytest.approx([300, 0])


def test_a_dart_interrupts_an_edge():
    found = named(R1, "neck shoulder armhole side dart dart side waist centre")

    # Worked with 64-point Gauss integration: side with the dart closed, and both legs.
    assert found.as_sewn("side") == pytest.approx(190.515, abs=0.002)
    assert [path_length(run) for run in found.runs("dart")] == pytest.approx([152.258] * 2, abs=0.002)
    with pytest.raises(InputError, match="interrupted"):
        found.edge_path("side")


@pytest.mark.parametrize(
    "text",
    [
        "side:",
        "side:x",
        "side:nan",
        "side:inf",
        "side:-5",
        "~first",
        ":5",
        "a/b",
        "a+b",
        "a=b",
        "a,b",
        "side:5:6",
        "~",
    ],
)
def test_words_that_are_no_edges_are_refused(text):
    with pytest.raises(InputError) as refused:
        parse_entries(text)

    assert refused.value.code == "name"


@pytest.mark.parametrize("text", ["a ~b:5 c d e", "a:0 ~b:0 c d e", "a:5 ~b c d e"])
def test_smooth_edges_need_their_lengths(text):
    with pytest.raises(InputError, match="Say how long"):
        name_edges(Path.through([(0, 0), (9, 0), (9, 9), (0, 9)], True), text)


@pytest.mark.parametrize("name", ["side", "front-edge", "Ärmel", "1", "a.b", "neck2-left"])
def test_plain_names_of_any_script_are_names(name):
    assert parse_entries(name + ":5.5") == (Entry(name, 5.5, False),)


def test_edges_end_to_end_make_an_outline_and_gaps_are_refused():
    a, b = Path.through([(0, 0), (5, 0)]), Path.through([(5, 0), (5, 7), (0, 0)])
    found = from_edges("3", (("a", a, False), ("b", b, True)), closed=True)

    assert found.names == ("a", "b") and len(found.path) == 3
    with pytest.raises(ValueError, match="gap"):
        from_edges("3", (("a", a, False), ("b", move(0, 1).path(b), True)), closed=True)


angles = st.lists(st.floats(20, 160), min_size=3, max_size=8)


@given(angles, st.integers(0, 7), st.booleans(), st.data())
@settings(max_examples=60, deadline=None)
def test_names_stay_on_their_edges_or_it_is_said(steps, start, backwards, data):
    """A polygon of any lengths: healed names lie where they were, or the doubt is told."""
    at = np.radians(np.cumsum([0, *steps])[:-1] * 360 / sum(steps))
    radius = np.array([data.draw(st.floats(50, 300)) for _ in steps])
    path = Path.through(np.stack([radius * np.cos(at), radius * np.sin(at)], 1), True)
    if len(corner_nodes(path)) != len(path):
        return
    names = " ".join("e{}".format(i) for i in range(len(path)))
    text = remembered(path, names)
    places = {"e{}".format(i): point(path.curves[i][None], 0.5)[0] for i in range(len(path))}
    changed = (path.reverse() if backwards else path).start_at(start % len(path))
    lengths = [path_length(Path(curve[None])) for curve in path.curves]
    told_apart = all(
        sum(abs(a - b) for a, b in zip(lengths, order[k:] + order[:k])) > 1
        for order in (lengths, lengths[::-1])
        for k in range(len(lengths))
        if order is not lengths or k
    )
    if not told_apart:
        return

    assert same_places(middles(named(changed, text)), places)
