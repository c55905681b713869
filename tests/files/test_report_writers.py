"""Reports as text, HTML and JSON: nothing lost, nothing broken by odd names, levels in words."""

import json
import re

import numpy as np
import pytest
from lxml import etree

from sewkit.files.report_html import as_html
from sewkit.files.report_json import as_json
from sewkit.files.report_text import WIDTH, as_text
from sewkit.files.report_words import CAUTIONS, SIGNS
from sewkit.report import Change, Finding, Level, Report, Table

ODD = "<b>\"R&D\" ‘Ärmel’</b> ]]> \x07 'x'"

REPORT = Report(
    "The front runs from size 3 at the chest to size 5 at the hip.",
    (
        Finding("seam-length", Level.FAIL, "The front is 4.2 mm too long.", "front/side", (12.5, 340.0)),
        Finding("hem-angle", Level.WARN, "The hem meets the side at 88.2 degrees."),
        Finding("shared-edge", Level.INFO, "The facing follows the neck."),
        Finding("grain", Level.PASS, "The grain lines were not turned."),
    ),
    (
        Table(
            "Seams as sewn",
            ("Seam", "Front", "Back", "Apart"),
            (("side", "215.5 mm", "211.3 mm", "+4.2 mm"), ("shoulder", "98.0 mm", "98.0 mm", "0 mm")),
            (Level.FAIL, Level.PASS),
        ),
    ),
    (Change("front", "side: 12.5 mm outward (1/2 in)", (310.0, 200.0)),),
)
WRITERS = [as_text, as_json, lambda report: as_html(report, "Waistcoat")]


def page(report, **more):
    """The page read strictly as XML, without its doctype line."""
    text = as_html(report, more.pop("title", "Waistcoat for P03"), **more)
    assert text.startswith("<!DOCTYPE html>\n")
    return etree.fromstring(text.split("\n", 1)[1].encode("utf-8"))


def words(element):
    return " ".join("".join(element.itertext()).split())


@pytest.mark.parametrize("write", WRITERS)
def test_nothing_is_lost(write):
    text = write(REPORT)

    for finding in REPORT.findings:
        assert finding.text in text
        assert finding.level.word in text
    assert REPORT.summary in text
    assert all(cell in text for row in REPORT.tables[0].rows for cell in row)
    assert "side: 12.5 mm outward (1/2 in)" in text
    assert "front/side" in text


def test_codes_are_for_programs_only():
    report = Report(findings=(Finding("loop-trimmed", Level.WARN, "Too tight.", "back"),))

    assert "loop-trimmed" in as_json(report)
    assert "loop-trimmed" not in as_text(report)
    assert "loop-trimmed" not in words(page(report))


@pytest.mark.parametrize(
    "text, where, point, told",
    [
        (
            "back size 3: too tight near (126, 94) mm.",
            "back size 3",
            (126.4, 93.8),
            "back size 3: too tight near (126, 94) mm.",
        ),
        ("Too tight near (126, 94) mm.", "back", (126.4, 93.8), "back: Too tight near (126, 94) mm."),
        ("back: too tight.", "back", (126.4, 93.8), "at 126.4, 93.8 mm: back: too tight."),
        ("'back': too tight.", "back", None, "'back': too tight."),
        ("The back is too tight.", "back", None, "back: The back is too tight."),
    ],
)
def test_a_place_is_told_once(text, where, point, told):
    report = Report(findings=(Finding("loop", Level.WARN, text, where, point),))

    assert as_text(report).splitlines()[-1].split(None, 1)[1] == told
    assert words(page(report).find(".//ul[@class='findings']")) == "! look " + told.replace(
        ": " + text, " " + text
    )


@pytest.mark.parametrize("write", WRITERS)
def test_an_empty_report_is_written_too(write):
    assert write(Report()).endswith("\n")


@pytest.mark.parametrize("write", WRITERS)
def test_the_same_report_gives_the_same_text(write):
    assert write(REPORT) == write(Report(*REPORT))


def test_a_table_that_is_all_title_is_one_line():
    report = Report(tables=(Table("Nothing changed in sizes 3 to 6", (), ()),))

    assert as_text(report) == "Nothing changed in sizes 3 to 6\n"
    assert page(report).find(".//table") is None
    assert "Nothing changed in sizes 3 to 6" in words(page(report))


# Text


def test_text_lines_fit_the_width():
    long = Report("word " * 60, (Finding("code", Level.WARN, "a long sentence " * 20, "front/side"),))

    assert max(map(len, as_text(long, "Title").splitlines())) <= WIDTH


def test_a_name_is_not_broken_at_its_hyphens():
    text = as_text(Report("The dart 'waist-dart' lies so. " * 40))

    assert text.count("waist-dart") == 40


def test_amounts_stand_to_the_right_and_columns_keep_their_place():
    rows = (("chest", "96.0", "104.5"), ("waist", "9.5", "88"))
    table = Table("Girths", ("Level", "Body", "Finished"), rows)

    lines = as_text(Report(tables=(table,))).splitlines()

    # By hand: widths are 5, 4 ("Body"), 8 ("Finished"), two blanks between and before.
    assert lines == [
        "Girths",
        "  Level  Body  Finished",
        "  -----  ----  --------",
        "  chest  96.0     104.5",
        "  waist   9.5        88",
    ]


def test_the_rule_lies_under_its_own_column_where_another_has_no_heading():
    table = Table("What to cut", ("", "piece", "cut"), (("1", "back", "1 pair"), ("2", "facing", "1")))

    head, rule, first = as_text(Report("", (), (table,))).splitlines()[-4:-1]
    assert rule.index("------") == head.index("piece") == first.index("back")
    assert rule.rstrip().endswith("------") and rule.split() == ["------", "------"]


def test_a_dash_for_no_amount_leaves_a_column_of_amounts_to_the_right():
    rows = (("front", "1216.0", "-"), ("belt", "-", "-"), ("loop", "90.5", "-"))
    table = Table("Pieces", ("piece", "8", "10"), rows)

    lines = as_text(Report(tables=(table,))).splitlines()

    # By hand: widths are 5, 6 ("1216.0"), 2 ("10"); a column of dashes alone stays as text does.
    assert lines[3:] == ["  front  1216.0  -", "  belt        -  -", "  loop     90.5  -"]


def test_a_wide_table_scrolls_in_a_box_of_its_own():
    table = Table("Wide", ("A", "B"), (("1", "2"),))

    read = page(Report(tables=(table,)))

    boxes = [element.getparent() for element in read.findall(".//{*}table")]
    assert [(box.get("class"), box.get("tabindex")) for box in boxes] == [("wide", "0")]
    assert re.search(r"[.]wide [{] overflow-x: auto; [}]", words(read.find(".//{*}style")))


def test_a_row_is_kept_even_where_levels_or_columns_are_too_few():
    table = Table("", ("A",), (("1", "one more"), ("2", "another")), (Level.WARN,))

    text = as_text(Report(tables=(table,)))
    read = page(Report(tables=(table,)))

    for cell in ("one more", "another"):
        assert cell in text
        assert cell in words(read)


def test_the_verdict_is_that_of_the_worst_finding_and_none_without_any():
    assert "stop: Do not cut" in as_text(REPORT)
    assert "good: Everything that was checked" in as_text(REPORT._replace(findings=REPORT.findings[3:]))
    assert "good" not in as_text(Report("Drew it."))
    # Not a word that reads as if something had failed, and no claim that all is well.
    assert words(page(Report("Drew it.")).find(".//p[@class='verdict unchecked']")).startswith("Done;")


# HTML


def test_the_page_is_well_formed_and_complete():
    read = page(REPORT, subtitle="from the recipe of P03")

    assert [words(h) for h in read.iter("h1")] == ["Waistcoat for P03"]
    assert [words(h) for h in read.iter("h2")] == [
        "What was found",
        "What changed",
        "Seams as sewn",
        "Before you cut",
    ]
    assert words(read.find(".//p[@class='subtitle']")) == "from the recipe of P03"


def test_odd_names_are_shown_as_they_are_and_never_become_markup():
    odd = Report(
        ODD,
        (Finding(ODD, Level.WARN, "Look: " + ODD, ODD),),
        (Table(ODD, (ODD,), ((ODD,),), (Level.WARN,)),),
        (Change(ODD, ODD, (0.0, 0.0)),),
    )

    read = page(odd, title=ODD, subtitle=ODD)

    # One of each: title, h1, subtitle, summary, finding (place, text), change (2),
    # table (title, head, cell).
    shown = ODD.replace("\x07", "\ufffd")
    assert "".join(read.itertext()).count(shown) == 11
    assert len(read.findall(".//{*}b[@class='where']")) == 1
    assert not [b for b in read.iter("b") if words(b).startswith('"R&D"')]
    assert shown in words(etree.HTML(as_html(odd, ODD)))


def test_each_level_is_told_by_sign_and_word_not_by_colour_alone():
    read = page(REPORT)

    told = [words(item.find("strong")) for item in read.find(".//ul[@class='findings']")]
    assert told == ["✕ stop", "! look", "i note", "✓ good"]
    assert len(set(SIGNS.values())) == len(Level)
    graded = [words(row[-1]) for row in read.find(".//tbody")]
    assert graded == ["✕ stop", "✓ good"]


def test_the_page_asks_nothing_of_the_network():
    text = as_html(REPORT, "Waistcoat", picture_svg='<svg xmlns="http://www.w3.org/2000/svg"/>')
    without_names = text.replace("http://www.w3.org/2000/svg", "")

    assert not re.search(r"(https?:)?//|url\(|@import|<script|<link|\bsrc=", without_names)


def test_cautions_are_on_every_page():
    box = words(page(Report()).find(".//aside"))

    assert all(" ".join(caution.split()) in box for caution in CAUTIONS)
    assert "Never cut cloth on a report that says stop" in box


def test_a_picture_is_put_in_without_its_prologue():
    picture = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<!-- made by hand -->\n'
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M 0,0 L 9,9"/></svg>\n'
    )

    figure = page(REPORT, picture_svg=picture).find(".//figure/div")

    assert etree.QName(figure[0]).localname == "svg"
    assert figure.findall(".//{http://www.w3.org/2000/svg}path")[0].get("d") == "M 0,0 L 9,9"
    assert page(REPORT).find(".//figure") is None


# JSON


def test_json_reads_back_as_the_same_values():
    read = json.loads(as_json(REPORT))

    assert read["worst"] == "stop"
    assert [finding["level"] for finding in read["findings"]] == ["stop", "look", "note", "good"]
    assert read["findings"][0]["point"] == [12.5, 340.0]
    assert read["findings"][1]["point"] is None
    assert read["tables"][0]["rows"][0] == ["side", "215.5 mm", "211.3 mm", "+4.2 mm"]
    assert read["tables"][0]["levels"] == ["stop", "good"]
    change = {"piece": "front", "text": "side: 12.5 mm outward (1/2 in)", "point": [310.0, 200.0]}
    assert read["changes"] == [change]


def test_json_takes_points_from_arrays():
    point = np.array([1.5, 2.5])

    read = json.loads(as_json(Report(findings=(Finding("c", Level.INFO, "t", "", point),))))

    assert read["findings"][0]["point"] == [1.5, 2.5]
