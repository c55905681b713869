"""All roles of a piece together: scenes whose truth is known, turned, mirrored, drawn otherwise."""

from collections import Counter

import numpy as np
import pytest

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.mark import DART, DRILL, FOLD, GRAIN, INNER, LABEL, LENGTHEN, NOTCH
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import bare_outline
from sewkit.sheet.drawn import Style
from tests.pdfs.scene import scene
from tests.sheet.found import box, from_scene, laid, line, moved, of_kind, words

SCENE = scene(pieces=12, sizes=5)
# In a scene an arrow's heads are strokes of their own; so is each of two lengthen lines.
KINDS = {"grain": GRAIN, "bracket": FOLD, "dart": DART, "drill": DRILL}


def truth_of(roles):
    """How many marks of each kind and size a piece has, from the strokes of the scene."""
    wanted = Counter()
    for stroke in roles_once(roles):
        if stroke.role == "notch":
            wanted[NOTCH, stroke.size, len(stroke.paths)] += 1
        elif stroke.role == "lengthen":
            wanted[LENGTHEN, "", 1] = 1
        elif stroke.role in KINDS:
            wanted[KINDS[stroke.role], stroke.size if stroke.role == "dart" else "", 1] += 1
    return wanted


def roles_once(roles):
    """Each stroke once; it is listed for each of its paths."""
    return [stroke for n, stroke in enumerate(roles) if not any(stroke is one for one in roles[:n])]


def counted(guessed):
    return Counter((m.kind, m.size, m.count) for m in guessed.marks if m.kind != LABEL)


@pytest.mark.parametrize("name", SCENE.pieces)
def test_every_mark_of_a_scene_is_taken_for_what_it_is(name):
    made, roles = from_scene(SCENE, name)

    guessed = made.guessed()

    assert counted(guessed) == truth_of(roles)
    assert guessed.name == name.lower().replace(" ", "-")
    assert guessed.cut == (1 if name in SCENE.folds else 2)
    assert (guessed.fold is not None) == (name in SCENE.folds)
    assert sorted(guessed.used) == list(made.piece.inside)
    assert [made.words[n].text for n in guessed.labels] == [one.text for one in made.words]
    assert all(0.5 < mark.guess < 1.0 for mark in guessed.marks if mark.kind != LABEL)


@pytest.mark.parametrize("name", ["Back", "Sleeve", "Side Panel"])
@pytest.mark.parametrize("seed", range(6))
def test_a_layout_turned_moved_or_mirrored_changes_no_guess(name, seed):
    made, roles = from_scene(SCENE, name)
    random = np.random.RandomState(seed)
    way = random.uniform(0, 360)
    mirrored = bool(seed % 2)
    frame = mirror((0, 0), (0, 1)) if mirrored else turn(0.0)
    frame = frame.then(turn(way)).then(move(*random.uniform(-500, 500, 2)))
    other = moved(made, frame, mirrored)

    guessed, plain = other.guessed(), made.guessed()

    assert counted(guessed) == truth_of(roles)
    for kind in (GRAIN, FOLD, DART, LENGTHEN, NOTCH, DRILL):
        scores = [sorted(mark.guess for mark in of_kind(one, kind)) for one in (guessed, plain)]
        np.testing.assert_allclose(*scores, atol=0.011)  # written with two digits
    if plain.fold is not None:
        (there,) = frame.points(np.array([plain.fold]))
        np.testing.assert_allclose(guessed.fold, there, atol=0.02)


def test_a_notch_says_where_on_its_edge_it_sits():
    made, roles = from_scene(SCENE, "Front")

    for mark in of_kind(made.guessed(), NOTCH):
        (found,) = [o for o in made.piece.outlines if o.size == mark.size]
        spot = spot_of(bare_outline(found.path, found.size), mark.on).point
        # The scene draws its ticks from a foot on the outline outwards.  A thousandth of a mm
        # is a tenth of the finest promise.
        feet = [s.paths[0].start for s in roles if s.role == "notch" and s.size == mark.size]
        assert min(np.hypot(*(foot - spot)) for foot in feet) < 1e-3


def test_the_order_in_which_lines_come_does_not_matter():
    made, _ = from_scene(SCENE, "Back")
    order = np.random.RandomState(3).permutation(made.piece.inside)
    other = made._replace(piece=made.piece._replace(inside=tuple(int(n) for n in order)))

    def known(guessed):
        return sorted((m.kind, m.size, m.name, m.count, m.guess) for m in guessed.marks)

    assert known(made.guessed()) == known(other.guessed())


def test_what_only_hidden_layers_show_is_left_alone():
    made = laid({"1": box(200, 300)}, [line((60, 80), (60, 200))])
    hidden = made._replace(lines=made.lines[:1] + (made.lines[1]._replace(hidden=True),))

    assert hidden.guessed().used == ()
    assert made.guessed().used == (1,)


def test_what_is_like_nothing_is_an_inner_line_of_its_groups_size():
    wave = Path([[[40, 100], [70, 60], [100, 140], [140, 100]]])
    made = laid({"1": box(200, 300), "2": box(210, 310, -5, -5)}, [(wave, "2")])

    (mark,) = made.guessed().marks

    assert (mark.kind, mark.size) == (INNER, "2")
    assert mark.path == wave
    assert 0 < mark.guess < 0.5


def test_a_grain_line_drawn_like_one_size_serves_all_and_labels_keep_their_size():
    shaft, head = line((100, 50), (100, 250)), line((97, 58), (100, 50), (103, 58))
    tail = line((97, 242), (100, 250), (103, 242))
    outlines = {"36": box(200, 300), "38": box(210, 310, -5, -5)}
    texts = [words("38", 180, 40), words("Back", 60, 150, 9)]
    made = laid(outlines, [(shaft, "38"), (head, "38"), (tail, "38")], texts)

    guessed = made.guessed()

    (grain,) = of_kind(guessed, GRAIN)
    assert grain.size == ""
    assert {mark.text: mark.size for mark in of_kind(guessed, LABEL)} == {"38": "38", "Back": ""}
    assert guessed.name == "back"


@pytest.mark.parametrize("name", ["Front", "Cape"])
def test_marks_lie_where_they_were_drawn(name):
    """No guess draws anything anew but a row of ticks; all lines are in some mark."""
    made, _ = from_scene(SCENE, name)
    guessed = made.guessed()
    nodes = np.concatenate([m.path.curves[:, [0, 3]].reshape(-1, 2) for m in guessed.marks])

    for number in made.piece.inside:
        for node in made.lines[number].path.nodes:
            assert np.hypot(*(nodes - node).T).min() < 1e-9


def test_the_fold_point_lies_on_the_straight_fold():
    made, _ = from_scene(SCENE, "Front")
    spot = made.guessed().fold
    fold = SCENE.outline("Front", "36").edges["fold"]

    assert nearest(fold, spot).distance < 1e-6
    assert not contains(made.piece.outlines[-1].path, np.array([spot]) - [[0.01, 0.0]])[0]


def test_a_filled_ring_is_a_piece_of_its_own_mark():
    """A filled dot is a drill hole as well as a stroked circle is."""
    dot = SCENE.of("drill")[0].paths[0]
    at = dot.nodes.mean(axis=0)
    dot = Path(dot.curves - at + (100, 100), True)

    made = laid({"": box(200, 300)}, [(dot, Style("", 0.0, (), "#000000"))])

    (mark,) = made.guessed().marks
    assert mark.kind == DRILL and mark.path.closed
