"""What is found in many sizes is told once; the sentences are written by hand."""

from sewkit.checks.told_by_size import told_by_size
from sewkit.report import Finding, Level
from tests.geometry.shapes import R2
from tests.operations.pieces import named, named_outline

EDGES = "neck shoulder armhole side waist centre"


def nest(sizes):
    return named(R2, EDGES, "back")._replace(outlines=tuple(named_outline(R2, EDGES, s) for s in sizes))


def found(text, code="kink", level=Level.INFO):
    return Finding(code, level, text, "back")


def told(findings, sizes="1234"):
    return [(one.level, one.text) for one in told_by_size(findings, nest(sizes))]


def test_numbers_go_from_the_least_to_the_most_and_spots_from_the_first_to_the_last():
    leans = [3.6, 3.4, 12.0, 3.1]
    some = [found("back size {}: it leans {} degrees.".format(n + 1, lean)) for n, lean in enumerate(leans)]
    assert told(some) == [(Level.INFO, "back sizes 1 to 4: it leans 3.1 to 12.0 degrees.")]
    kinks = [
        found("back size {}: a kink of 2.0 at ({}, 560) mm.".format(s, x)) for s, x in (("1", 99), ("2", 8))
    ]
    assert told(kinks) == [(Level.INFO, "back sizes 1 and 2: a kink of 2.0 at (99, 560) to (8, 560) mm.")]


def test_changes_below_nothing_are_put_in_order_with_their_signs():
    some = [found("back size {}: {:+.1f} mm".format(s, d)) for s, d in zip("124", (-12.0, 1.5, -9.0))]
    assert told(some) == [(Level.INFO, "back sizes 1, 2, 4: -12.0 to +1.5 mm")]


def test_names_with_numbers_in_them_are_not_mixed_up():
    some = [
        found("back size 1: the dart 'dart-1' is 2 long."),
        found("back size 2: the dart 'dart-2' is 3 long."),
    ]
    assert [text for _, text in told(some)] == [one.text for one in some]


def test_two_of_one_size_stay_two_and_the_order_is_kept():
    some = [
        found("back size 1: a kink of 1.5."),
        found("back: ask first.", "ask-first"),
        found("back size 1: a kink of 2.5."),
        found("back size 2: a kink of 1.7."),
        found("back size 2: a kink of 2.6.", level=Level.WARN),
    ]
    assert told(some) == [
        (Level.INFO, "back sizes 1 and 2: a kink of 1.5 to 1.7."),
        (Level.INFO, "back: ask first."),
        (Level.WARN, "back sizes 1 and 2: a kink of 2.5 to 2.6."),
    ]


def test_one_size_and_pieces_without_sizes_are_told_as_they_are():
    alone = [found("back size 3: a kink of 1.5."), found("back size 3: other words.")]
    assert [text for _, text in told(alone)] == [one.text for one in alone]
    plain = [found("back: a kink of 1.5."), found("back: a kink of 1.7.")]
    assert [one.text for one in told_by_size(plain, named(R2, EDGES, "back"))] == [one.text for one in plain]
