"""Reports one after another: above all which lines the picture shows."""

import pytest

from sewkit.report import Finding, Level, Report, gathered


@pytest.mark.parametrize(
    ("first", "then", "shown"),
    [
        ((), ("3", "3"), ("3", "3")),
        (("3", "5", "P03"), (), ("3", "5", "P03")),
        # A blend, and what it made is blended on.
        (("3", "5", "P03"), ("P03", "7", "P04"), ("3", "5", "7", "P04")),
        # What a blend made is changed in its place, or another size is.
        (("3", "5", "P03"), ("P03", "P03"), ("3", "5", "P03")),
        (("3", "5", "P03"), ("5", "5"), ("3", "5", "P03")),
        # A size is changed in its place first, and then a line is made.
        (("5", "5"), ("3", "5", "P03"), ("3", "5", "P03")),
        (("7", "7"), ("3", "5", "P03"), ("3", "5", "P03")),
        # Twice in its place; of two sizes the last one.
        (("3", "3"), ("3", "3"), ("3", "3")),
        (("", ""), ("", ""), ("", "")),
        (("3", "3"), ("5", "5"), ("5", "5")),
    ],
)
def test_the_lines_of_two_steps(first, then, shown):
    assert Report(lines=first).then(Report(lines=then)).lines == shown


def test_many_steps_end_with_the_line_that_was_made():
    steps = [("3", "5", "P03"), ("P03", "P03"), ("P03", "P03"), ("P03", "P03")]

    assert gathered(Report(lines=lines) for lines in steps).lines == ("3", "5", "P03")


def test_all_else_is_put_one_behind_the_other():
    one = Report("First.", (Finding("a", Level.INFO, "a"),))
    other = Report("Second.", (Finding("b", Level.FAIL, "b"),))
    both = one.then(Report()).then(other)

    assert both.summary == "First. Second."
    assert [finding.code for finding in both.findings] == ["a", "b"]
    assert both.worst == Level.FAIL and Report().worst == Level.PASS
