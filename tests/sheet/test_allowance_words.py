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
