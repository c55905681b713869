"""Of a seam that is walked again, the last walk counts; nothing else is touched."""

from sewkit.files.settled import settled
from sewkit.geometry.path import Path
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level, Report, Table, gathered

LINE = Path.through([(0, 0), (1, 0), (1, 1), (0, 0)], closed=True)
ONE = Pattern((Piece("front", (bare_outline(LINE, "P05"),)),))
NEST = Pattern((Piece("front", (bare_outline(LINE, "1"), bare_outline(LINE, "2"))),))


def seam(level, where="front/side to back/side", code="seam"):
    return Report("", (Finding(code, level, "front/side is 30 mm longer.", where),))


def levels(reports):
    return [finding.level for report in reports for finding in report.findings]


def test_a_seam_that_a_later_step_put_right_is_no_fault_and_still_told():
    made = settled([seam(Level.FAIL), Report("a wedge"), seam(Level.PASS)], ONE)

    assert gathered(made).worst == Level.INFO
    assert made[0].findings[0].text == "On the way, before later steps: front/side is 30 mm longer."
    assert made[1] == Report("a wedge") and made[2] == seam(Level.PASS)


def test_the_last_walk_is_the_one_that_counts():
    assert levels(settled([seam(Level.PASS), seam(Level.FAIL)], ONE)) == [Level.PASS, Level.FAIL]
    assert levels(settled([seam(Level.FAIL), seam(Level.WARN)], ONE)) == [Level.INFO, Level.WARN]


def test_what_is_not_walked_again_and_what_is_no_walk_stays():
    reports = [seam(Level.FAIL, "front/shoulder to back/shoulder"), seam(Level.WARN, code="steep")]
    reports.append(Report("", seam(Level.FAIL).findings + seam(Level.FAIL).findings))

    assert settled(reports, ONE) == tuple(reports)


def test_the_lights_of_its_table_say_the_same():
    rows = (("front/side to back/side", "330.0"), ("another", "1.0"))
    table = Table("Seams", ("seam", "first mm"), rows, (Level.FAIL, Level.WARN))
    made = settled([seam(Level.FAIL)._replace(tables=(table,)), seam(Level.PASS)], ONE)

    assert made[0].tables[0] == table._replace(levels=(Level.INFO, Level.WARN))


def test_in_a_nest_another_size_may_be_meant():
    reports = [seam(Level.FAIL), seam(Level.PASS)]

    assert settled(reports, NEST) == tuple(reports)
