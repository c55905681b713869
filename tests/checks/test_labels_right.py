"""Labels that no longer hold, by steps after which they are known to be wrong."""

from sewkit.checks.labels_right import labels_right_findings
from sewkit.geometry.path import Path
from sewkit.operations.label import label
from sewkit.pattern.pattern import Pattern
from tests.operations.pieces import named


def pattern_of_two_sizes():
    pieces = []
    for name, at in (("front", 0.0), ("back", 600.0)):
        small, large = (
            named(
                Path.through([(at, 0), (at + wide, 0), (at + wide, 500), (at, 500)], closed=True),
                "neck side hem centre",
                name,
                cut=2,
                cloth="main",
            )
            for wide in (300.0, 320.0)
        )
        sizes = (small.outlines[0]._replace(size="1"), large.outlines[0]._replace(size="2"))
        pieces.append(small._replace(outlines=sizes))
    return Pattern(tuple(pieces), title="Cape")


def told(pattern):
    return [(one.code, one.where, one.text) for one in labels_right_findings(pattern, pattern.sizes)]


def test_fresh_labels_hold_for_the_nest_and_for_one_size():
    pattern = pattern_of_two_sizes()
    assert told(pattern) == []
    assert told(label(pattern, who="P03").pattern) == []
    assert told(label(pattern, who="P03", size_cut="2").pattern) == []
    assert told(label(pattern, who="P03", made="chest 3, waist 5").pattern) == []


def test_a_kept_size_another_name_or_count_make_a_label_old():
    pattern = label(pattern_of_two_sizes(), who="P03").pattern
    front, back = pattern.pieces
    one = pattern._replace(pieces=(front._replace(outlines=front.outlines[1:]), back))
    assert [(code, where) for code, where, _ in told(one)] == [("label-old", "front")]
    assert "size 2" in told(one)[0][2]
    renamed = pattern._replace(pieces=(front._replace(name="forepart"), back))
    assert "forepart (1 of 2)" in told(renamed)[0][2]
    once = pattern._replace(pieces=(front, back._replace(cut=1)))
    assert "cut 1, main cloth" in told(once)[0][2]
