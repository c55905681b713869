"""Seams as text, and walking them against numbers worked by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.transform import mirror
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.naming import name_edges
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam, parse_ref, parse_seams, write_seams
from sewkit.pattern.walking import Side, walk_seam, walk_sides
from tests.geometry.shapes import R1

SIDE, BACK_SIDE = EdgeRef("front", "side"), EdgeRef("back", "side")


# -- as text ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "seam"),
    [
        ("side=back/side", Seam((SIDE,), (BACK_SIDE,))),
        ("side=back/side,turned", Seam((SIDE,), (BACK_SIDE._replace(turned=True),))),
        ("side=back/side,ease=0..6", Seam((SIDE,), (BACK_SIDE,), (0.0, 6.0))),
        (
            "side,turned=back/side,ease=-2.5..-1",
            Seam((SIDE._replace(turned=True),), (BACK_SIDE,), (-2.5, -1.0)),
        ),
        (
            "neck+back/neck,turned=facing/neck",
            Seam((EdgeRef("front", "neck"), EdgeRef("back", "neck", True)), (EdgeRef("facing", "neck"),)),
        ),
    ],
)
def test_each_way_to_write_a_seam(text, seam):
    assert parse_seams(text, "front") == (seam,)
    assert write_seams((seam,), "front") == text


names = st.text("abcXYZ089-Äé.", min_size=1, max_size=8)
refs = st.builds(EdgeRef, st.one_of(st.just("front"), names), names, st.booleans())
sides = st.lists(refs, min_size=1, max_size=3).map(tuple)
amounts = st.integers(-20000, 20000).map(lambda n: n / 100)
eases = st.tuples(amounts, amounts).map(lambda pair: (min(pair), max(pair)))


@given(st.lists(st.builds(Seam, sides, sides, eases), max_size=4).map(tuple))
@settings(max_examples=100, deadline=None)
def test_any_seams_are_read_back(seams):
    assert parse_seams(write_seams(seams, "front"), "front") == seams


@pytest.mark.parametrize(
    "word",
    [
        "side",
        "side=",
        "=back/side",
        "side=back/side/low",
        "side=/side",
        "side=back/",
        "side+=back/side",
        "side=back/side,around",
        "side=back/side,turned,turned",
        "side=back/si:de",
        "~side=back/side",
        "side=back/side=front/side",
        "side=back/side,ease=",
        "side=back/side,ease=6",
        "side=back/side,ease=1.2.3..4",
        "side=back/side,ease=..",
        "side=back/side,ease=nan..4",
        "side=back/side,ease=6..0",
    ],
)
def test_what_is_no_seam_is_refused_with_its_words(word):
    with pytest.raises(InputError) as refused:
        parse_seams("hem=back/hem " + word, "front")

    assert refused.value.code == "seam" and refused.value.cure


def test_one_edge_by_its_name():
    assert parse_ref(" back/side ") == BACK_SIDE
    assert parse_ref("side", "front") == SIDE
    for text in ("side", "a/b+c/d", "", "back/side/low"):
        with pytest.raises(InputError):
            parse_ref(text)


# -- walking, by hand ---------------------------------------------------------------------


def test_sections_lie_between_the_marks_that_both_sides_have():
    walk = walk_sides(
        Seam((SIDE,), (BACK_SIDE,)),
        Side(200.0, (("a", 50.0), ("own", 80.0), ("b", 120.0))),
        Side(199.0, (("a", 50.5), ("b", 118.0), ("other", 150.0))),
    )

    assert [(s.start, s.stop, s.first, s.second) for s in walk.sections] == [
        ("start", "notch a", 50.0, 50.5),
        ("notch a", "notch b", 70.0, 67.5),
        ("notch b", "end", 80.0, 81.0),
    ]
    assert walk.lone == ("notch own", "notch other")
    assert walk.difference == 1.0
    assert walk.worst_notch == 2.0  # b: 120 against 118 from the common start


def test_marks_of_an_eased_seam_may_sit_apart_by_the_ease():
    sides = Side(206.0, (("a", 104.0),)), Side(200.0, (("a", 100.0),))

    assert walk_sides(Seam((SIDE,), (BACK_SIDE,), (0.0, 6.0)), *sides).worst_notch == 0
    assert walk_sides(Seam((SIDE,), (BACK_SIDE,), (0.0, 3.0)), *sides).worst_notch == 1
    assert walk_sides(Seam((SIDE,), (BACK_SIDE,)), *sides).worst_notch == 4


@pytest.mark.parametrize(
    ("ease", "difference", "outside"),
    [
        ((0, 0), 0.7, 0.7),
        ((0, 6), 3, 0),
        ((0, 6), 7, 1),
        ((2, 6), 0.5, -1.5),
        ((-6, -2), -1, 1),
        ((-6, -2), -8, -2),
    ],
)
def test_how_far_outside_the_ease(ease, difference, outside):
    walk = walk_sides(Seam((SIDE,), (BACK_SIDE,), ease), Side(100.0 + difference, ()), Side(100.0, ()))

    assert walk.outside == pytest.approx(outside)


def test_marks_without_names_are_matched_in_order_if_they_are_as_many():
    sides = [Side(100.0, (("", 20.0), ("", 60.0))), Side(100.0, (("", 21.0), ("", 60.0)))]
    walk = walk_sides(Seam((SIDE,), (BACK_SIDE,)), *sides)
    assert [s.first for s in walk.sections] == [20.0, 40.0, 40.0] and walk.worst_notch == 1.0
    assert [s.stop for s in walk.sections] == ["notch 1", "notch 2", "end"]

    walk = walk_sides(Seam((SIDE,), (BACK_SIDE,)), sides[0], Side(100.0, (("", 21.0),)))
    assert len(walk.sections) == 1 and walk.lone == ("2 and 1 notches without a name",)


# -- walking pieces -----------------------------------------------------------------------


def piece(name, path, edges, marks=(), size="3"):
    bare = bare_outline(path, size)
    named = bare._replace(edges=tuple(e._replace(name=n) for e, n in zip(bare.edges, edges.split())))
    return Piece(name, (named,), marks=tuple(marks))


def notch(name, edge, distance, from_end=False, size="3"):
    return Mark(NOTCH, name, size, None, On(edge, distance, from_end))


FRONT = piece(
    "front", R1, "neck shoulder armhole side dart dart side waist centre", [notch("1", "side", 100.0)]
)
TURNED_R1 = mirror((0, 0), (0, 1)).path(R1).reverse()


def test_a_dart_is_closed_before_walking():
    # A straight back side of 190.515 mm, the closed front side of the reference piece.
    back = piece("back", Path.through([(0, 0), (90, 0), (90, 190.515), (0, 200)], True),
                 "top side hem centre",
                 [notch("1", "side", 100.2)])  # fmt: skip
    walk = walk_seam(Pattern((FRONT, back)), Seam((SIDE,), (BACK_SIDE,)), "3")

    assert walk.first == pytest.approx(190.515, abs=0.002)
    assert abs(walk.difference) < 0.002
    assert [s.first for s in walk.sections] == pytest.approx([100, 90.515], abs=0.002)
    assert walk.worst_notch == pytest.approx(0.2)


def test_an_edge_walked_from_its_end_takes_its_marks_along():
    twin = piece(
        "back",
        TURNED_R1,
        "centre waist side dart dart side armhole shoulder neck",
        [notch("1", "side", 100.0, True)],
    )
    turned = Seam((SIDE,), (BACK_SIDE._replace(turned=True),))
    walk = walk_seam(Pattern((FRONT, twin)), turned, "3")

    assert abs(walk.difference) < 1e-9
    assert walk.worst_notch < 1e-6 and len(walk.sections) == 2
    # Not turned, the mark of 100 mm sits 90.515 mm from the start.
    assert walk_seam(Pattern((FRONT, twin)), Seam((SIDE,), (BACK_SIDE,)), "3").worst_notch == pytest.approx(
        100 - 90.515, abs=0.002
    )


def test_three_edges_join():
    # Necks of 70 and 50 end to end, sewn to a facing of 121; a mark where they join.
    front = piece(
        "front", Path.through([(0, 0), (70, 0), (70, 99)], True), "neck b c", [notch("x", "neck", 30.0)]
    )
    back = piece(
        "back", Path.through([(0, 0), (50, 0), (50, 99)], True), "neck b c", [notch("join", "neck", 0.0)]
    )
    facing = piece(
        "facing",
        Path.through([(0, 0), (121, 0), (50, 99)], True),
        "neck b c",
        [notch("x", "neck", 31.0), notch("join", "neck", 71.0)],
    )
    seam = Seam((EdgeRef("front", "neck"), EdgeRef("back", "neck")), (EdgeRef("facing", "neck"),))
    walk = walk_seam(Pattern((front, back, facing)), seam, "3")

    assert [(round(s.first, 6), round(s.second, 6)) for s in walk.sections] == [(30, 31), (40, 40), (50, 50)]
    assert walk.difference == pytest.approx(-1) and walk.worst_notch == pytest.approx(1)


def test_what_cannot_be_walked_is_told_by_name():
    pattern = Pattern((FRONT,))
    for seam, told in [
        (Seam((SIDE,), (BACK_SIDE,)), "no piece called 'back'"),
        (Seam((SIDE,), (EdgeRef("front", "sleeve"),)), "no edge called 'sleeve'"),
    ]:
        with pytest.raises(InputError, match=told):
            walk_seam(pattern, seam, "3")
    with pytest.raises(InputError, match="no size '9'"):
        walk_seam(pattern, Seam((SIDE,), (EdgeRef("front", "hem"),)), "9")


def test_a_piece_drawn_once_is_walked_with_every_size():
    band = piece(
        "band", Path.through([(0, 0), (190.5, 0), (190.5, 30), (0, 31)], True), "long b c d", size=""
    )
    walk = walk_seam(Pattern((FRONT, band)), Seam((SIDE,), (EdgeRef("band", "long"),)), "3")

    assert walk.second == pytest.approx(190.5)
    assert np.isfinite(walk.difference)
    assert name_edges(R1, "a b c d e f g h i").healed == ""
