"""Sentences about seam allowance are told in the sheet's own words."""

from sewkit.sheet.allowance_words import told_allowance
from sewkit.sheet.drawn import Words


def test_what_the_sheet_says_is_quoted_once():
    words = [Words("Seam  allowance 1 cm included", 0, 0), Words("Front", 0, 9)] * 2

    (finding,) = told_allowance(words)

    assert finding.text.count("'Seam allowance 1 cm included'") == 1


def test_other_languages_and_silence():
    assert told_allowance([Words("inkl. 1 cm Nahtzugabe", 0, 0)])
    assert told_allowance([Words("marge de couture comprise", 0, 0)])
    (silent,) = told_allowance([Words("cut 2", 0, 0)])
    assert "instructions" in silent.text


def test_an_allowance_without_the_word_seam_is_quoted():
    (finding,) = told_allowance([Words("Seam lines, no allowance  drawn: add 10 mm all round", 0, 0)])

    assert finding.code == "allowance-words"
    assert "'Seam lines, no allowance drawn: add 10 mm all round'" in finding.text
    assert "add it there" in finding.text


def test_what_is_allowed_for_ease_is_no_seam_allowance():
    for text in ("Ease allowance 10 cm at the chest", "Bequemlichkeitszugabe 10 cm"):
        assert told_allowance([Words(text, 0, 0)])[0].code == "allowance-unknown"


def test_a_sentence_in_two_lines_is_quoted_whole():
    page = [
        Words("Print at 100 %.", 120, 96, 0, 4.5),
        Words("Seam lines, no allowance drawn:", 120, 110, 0, 4.5),
        Words("add 10 mm all round.", 120, 116.75, 0, 4.5),
        Words("Buttons 80 mm apart.", 120, 123.5, 0, 4.5),
    ]
    (finding,) = told_allowance(page)

    assert "'Seam lines, no allowance drawn: add 10 mm all round'" in finding.text


def test_so_is_one_that_began_above_and_reads_up_the_page():
    # Read upwards (-90 degrees), the next line stands to the right.
    page = [Words("All pieces have seam", 20, 200, -90, 5), Words("allowance of 1 cm.", 27, 200, -90, 5)]
    (finding,) = told_allowance(page)

    assert "'All pieces have seam allowance of 1 cm'" in finding.text
