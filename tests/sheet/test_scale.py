"""The verdict on a sheet's scale, and putting it right.

Errors on a hip: what is drawn at a part p of its size makes a hip of h come out at p h.
"""

import io
import itertools

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.report import Level
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words
from sewkit.sheet.scale import parse_known, scaled, verdict, witnesses
from sewkit.sheet.scale_words import length_words, on_hip, usual_cause
from sewkit.sheet.witness import BY_TEXT, RULER, SQUARE, Witness
from tests.operations.data import file
from tests.sheet.proofs import BLACK, PEN, bar, printed, ruler, square, text

A4, LETTER = (210.0, 297.0), (215.9, 279.4)


def sides(side, measured=None, number=1, kind=SQUARE, **more):
    measured = (side, side) if measured is None else measured
    return Witness(kind, number, "both", (side, side), measured, (50.0, 50.0), BY_TEXT, **more)


def length(true, measured, axis=0, number=1):
    pair = lambda value: (value, 0.0) if axis == 0 else (0.0, value)  # noqa: E731
    return Witness(RULER, number, "xy"[axis], pair(true), pair(measured), (50.0, 50.0), BY_TEXT)


def codes(told):
    return {finding.code for finding in told.findings}


# -- a length that the person knows ---------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "factor"),
    [
        ("100mm=97.0", 100 / 97),  # 1.030928, the reference number of the job
        ("100=97", 100 / 97),
        ("10cm = 97mm", 100 / 97),
        ("10 cm=9,7cm", 100 / 97),
        ("1in=15/16in", 16 / 15),  # the published worked error: 15/16 in for 1 in
        ('4"=101.6', 1.0),
        ("1 1/2 in = 38.1", 1.0),
        ("297=279.4", 297 / 279.4),
        ("1in=25.4in", 1 / 25.4),
    ],
)
def test_a_known_length_gives_the_factor(said, factor):
    assert parse_known(said) == pytest.approx(factor, rel=1e-12)


def test_the_reference_number():
    assert parse_known("100mm=97.0") == pytest.approx(1.030928, abs=0.0005)


@pytest.mark.parametrize(
    "said", ["", "100", "100mm", "=97", "100=", "100=0", "0=97", "-100=97", "1=2=3", "100=1", "1=100", "a=b"]
)
def test_what_is_no_known_length_is_refused_in_a_sentence(said):
    with pytest.raises(InputError) as told:
        parse_known(said)

    assert str(told.value).endswith(".")


# -- the verdict ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("off", "level"),
    [
        (0.0, Level.PASS),
        (0.0005, Level.PASS),
        (-0.00049, Level.PASS),
        (0.0006, Level.WARN),
        (-0.0025, Level.WARN),
        (0.0026, Level.FAIL),
        (-0.03, Level.FAIL),
    ],
)
def test_the_lights(off, level):
    """0.05 % and 0.25 %: the tolerance table of the job."""
    measured = 200 * (1 + off * (1 - 1e-9))
    told = verdict([sides(200.0, (measured, measured))])

    assert told.level == level
    assert (told.factor_x, told.factor_y) == (1.0, 1.0)  # one witness moves nothing


def test_one_witness_is_enough_to_call_a_sheet_true():
    told = verdict([sides(100.0)])

    assert told.level == Level.PASS
    assert "true to size" in told.sentence


def test_one_witness_alone_changes_nothing_and_asks():
    told = verdict([sides(100.0, (97.0, 97.0))])

    assert (told.level, told.factor_x, told.factor_y) == (Level.FAIL, 1.0, 1.0)
    assert "scale-alone" in codes(told)
    assert "30.0 mm too small" in told.sentence  # 1000 * (1 - 0.97)
    assert "100mm=97.000" in " ".join(finding.text for finding in told.findings)


def test_two_that_agree_give_the_factor():
    told = verdict([sides(100.0, (97.0, 97.0)), sides(101.6, (98.552, 98.552))])

    assert told.factor_x == pytest.approx(100 / 97, rel=1e-9)
    assert told.factor_y == told.factor_x
    assert told.ratio == pytest.approx((0.97, 0.97))


def test_the_error_is_told_on_the_hip_that_is_given():
    assert "26.0 mm too small" in verdict([sides(100.0, (97.5, 97.5))], hip=1040.0).sentence


def test_copies_of_one_square_are_one_proof():
    """Who drew one wrong may have copied it."""
    told = verdict([sides(100.0, (97.0, 97.0), number=n) for n in (1, 2, 3)])

    assert told.factor_x == 1.0
    assert "scale-alone" in codes(told)


def test_a_tenth_of_a_percent_apart_is_still_agreement_and_more_is_a_conflict():
    near = verdict([sides(100.0, (97.0, 97.0)), length(200.0, 194.0 * 1.0009)])
    far = verdict([sides(100.0, (97.0, 97.0)), length(200.0, 194.0 * 1.0012)])

    assert near.factor_x == pytest.approx(100 / 97, rel=1e-3)
    assert (far.level, far.factor_x) == (Level.FAIL, 1.0)
    assert "scale-conflict" in codes(far)


def test_two_against_one_still_change_nothing():
    told = verdict([sides(100.0, (97.0, 97.0)), sides(101.6, (98.552, 98.552)), length(200.0, 200.0)])

    assert (told.level, told.factor_x, told.factor_y) == (Level.FAIL, 1.0, 1.0)


def test_one_square_drawn_wrong_on_a_true_sheet_is_told_but_no_reason_to_stop():
    told = verdict([sides(100.0), length(200.0, 200.0), sides(25.4, (25.1, 25.1))])

    assert told.level == Level.WARN
    assert "scale-conflict" in codes(told)


def test_width_and_height_that_differ_are_a_stretch_with_two_factors():
    told = verdict([sides(100.0, (97.0, 99.0)), sides(101.6, (101.6 * 0.97, 101.6 * 0.99))])

    assert "scale-stretch" in codes(told)
    assert (told.factor_x, told.factor_y) == pytest.approx((1 / 0.97, 1 / 0.99), rel=1e-9)
    assert told.level == Level.FAIL


def test_a_stretch_that_one_square_tells_changes_nothing():
    told = verdict([sides(100.0, (100.0, 99.0))])

    assert "scale-stretch" in codes(told)
    assert (told.factor_x, told.factor_y) == (1.0, 1.0)


def test_a_ruler_across_and_a_ruler_down_are_two_proofs_of_one_scale():
    told = verdict([length(250.0, 242.5), length(127.0, 127 * 0.97, axis=1)])

    assert told.factor_x == pytest.approx(1 / 0.97)


def test_a_page_of_another_scale_is_named():
    told = verdict([sides(100.0, number=1), sides(100.0, number=2), sides(100.0, (97.0, 97.0), number=3)])

    assert "scale-pages" in codes(told)
    assert "page 3" in told.sentence
    assert (told.level, told.factor_x) == (Level.FAIL, 1.0)
    assert dict(told.pages) == pytest.approx({1: 1.0, 2: 1.0, 3: 0.97})


def test_nothing_found_asks_for_one_known_length():
    told = verdict([])

    assert codes(told) == {"scale-none"}
    assert "100mm=97.0" in told.sentence
    assert told.ratio is None


def test_a_square_sized_by_its_outside_is_true():
    """A pen of 0.35 mm: 99.65 mm from middle to middle, 100 mm over all."""
    told = verdict([sides(100.0, (99.65, 99.65), pen=0.35)])

    assert told.level == Level.PASS
    assert "scale-outside" in codes(told)


def test_a_square_sized_by_its_outside_is_not_believed_against_a_ruler():
    """A program that shrinks by 0.12 % and a pen of 0.12 mm look alike on 100 mm."""
    told = verdict([sides(100.0, (99.88, 99.88), pen=0.12), length(250.0, 249.7)])

    assert told.level == Level.WARN
    assert told.factor_x == pytest.approx(1 / 0.9988)


def test_a_square_off_by_something_else_is_not_sized_by_its_outside():
    assert verdict([sides(100.0, (99.5, 99.5), pen=0.35)]).level == Level.FAIL


def test_two_texts_that_may_mean_either_square_are_told_apart_by_agreeing():
    """97 and 98.552 are 100 and 101.6 at 0.97; no other choice makes both agree."""
    both = ((100.0, 100.0), (101.6, 101.6))
    one = sides(100.0, (97.0, 97.0), options=both)
    other = sides(100.0, (98.552, 98.552), options=both)

    told = verdict([one, other._replace(kind="scale bar")])

    assert told.factor_x == pytest.approx(100 / 97, rel=1e-9)


def test_a_small_witness_says_what_it_cannot_show():
    """Read to 0.25 mm, 1 in shows 0.25 / 25.4 = 0.98 %."""
    told = verdict([sides(25.4)])

    small = next(finding for finding in told.findings if finding.code == "scale-small")
    assert "0.98 %" in small.text


def test_a_leaning_square_is_told():
    assert "scale-skew" in codes(verdict([sides(100.0, skew=0.6)]))
    assert "scale-skew" not in codes(verdict([sides(100.0, skew=0.05)]))


# -- usual faults, by their ratios ----------------------------------------------------------


@pytest.mark.parametrize(
    ("ratio", "word"),
    [
        (0.75, "points"),
        (4 / 3, "points"),
        (0.9375, "90 units"),
        (16 / 15, "96 units"),
        (25.4, "inches"),
        (1 / 25.4, "inches"),
        (10.0, "centimetres"),
        (0.5, "UserUnit"),
        (279.4 / 297, "Letter"),
        (210 / 215.9, "A4"),
        (0.965, "fit to page"),
        (0.99879, "shrink a page"),
    ],
)
def test_a_usual_fault_is_named(ratio, word):
    assert word in usual_cause(ratio)


@pytest.mark.parametrize("ratio", [1.0, 1.1, 0.6, 3.0, 0.999999])
def test_no_cause_is_made_up(ratio):
    assert usual_cause(ratio) == ""


def test_an_a4_page_fitted_to_letter_is_seen_and_put_right():
    fit = LETTER[1] / A4[1]
    drawn = [square(40, 60, 100), square(40, 170, 50.8)]
    sheet = scaled(printed(drawn, [text("10 cm", 80, 110), text("2 in", 60, 195)], size=A4), fit, fit)

    told = verdict(witnesses(sheet))

    assert "Letter" in told.sentence
    assert told.factor_x == pytest.approx(A4[1] / LETTER[1], rel=1e-9)


def test_a_page_and_a_square_that_shrank_alike_are_two_witnesses():
    """Pixels taken for points: everything, the page too, at 72/96."""
    sheet = scaled(printed([square(40, 60, 100)], [text("10 cm", 80, 110)], size=A4), 0.75, 0.75)

    told = verdict(witnesses(sheet))

    assert told.factor_x == pytest.approx(4 / 3, rel=1e-4)
    assert "points" in told.sentence


@pytest.mark.parametrize("size", [A4, LETTER, (297.0, 420.0), (841.0, 1189.0), (600.0, 900.0)])
def test_a_true_paper_or_any_other_page_size_proves_nothing(size):
    assert witnesses(printed([], size=size)) == ()


def test_a_pocket_without_words_is_a_doubt():
    told = verdict(witnesses(printed([square(20, 30, 100)])))

    assert codes(told) == {"scale-guess"}
    assert told.level == Level.WARN


def test_a_pocket_never_outvotes_words():
    sheet = printed([square(20, 30, 100.0), square(200, 30, 97)], [text("Test square 10 cm", 205, 80)])

    told = verdict(witnesses(sheet))

    assert told.ratio == pytest.approx((0.97, 0.97))
    assert told.factor_x == 1.0


def test_a_wrong_text_is_told_as_a_conflict():
    drawn = [square(20, 30, 100), *bar(20, 200, 101.6)]

    told = verdict(witnesses(printed(drawn, [text("4 in", 60, 80), text("4 in", 60, 195)])))

    assert (told.level, told.factor_x) == (Level.FAIL, 1.0)
    assert "scale-conflict" in codes(told)


# -- thirty layouts by chance, seeded -------------------------------------------------------

KINDS = ("10 cm", "5 cm", "4 in", "2 in", "1 in", "3 in")
TRUE = {"10 cm": 100.0, "5 cm": 50.0, "4 in": 101.6, "2 in": 50.8, "1 in": 25.4, "3 in": 76.2}


@pytest.mark.parametrize("seed", range(30))
def test_layouts_by_chance_are_read_right(seed):
    """Two or three squares of different sizes, a ruler or a bar, pieces round them, one factor."""
    chance = np.random.RandomState(seed)
    factor = float(chance.choice([1.0, 0.97, 0.75, 15 / 16, 1.01, 0.99879]))
    drawn, words = [], []
    for column, kind in enumerate(chance.choice(KINDS, 1 + seed % 3, replace=False)):
        x, y, side = 20.0 + 150 * column, 20.0 + chance.uniform(0, 20), TRUE[kind]
        turn = float(chance.choice([0.0, 0.0, 3.0]))
        drawn.append(square(x, y, side, turn=turn, style=PEN._replace(width=float(chance.uniform(0, 1)))))
        words.append(text(kind, x + side / 4, y + side / 2))
    if seed % 2:
        drawn += ruler(20, 200, 10, 12)
        words += [text(str(n) if n else "0 cm", 20 + 10 * n - 0.9, 190) for n in (0, 4, 8, 12)]
    else:
        drawn += bar(20, 200, 150)
        words.append(text("15 cm", 80, 196))
    for _ in range(12):  # shapes of pieces, dashes, notches
        x, y = chance.uniform(20, 480), chance.uniform(260, 480)
        drawn.append(square(x, y, *chance.uniform(31, 45, 2), turn=chance.uniform(10, 80)))
        drawn.append(square(x, y, 3.0, 1.0, style=BLACK))
        words.append(text("cut 2 in main fabric", x, y + 60))
    told = verdict(witnesses(scaled(printed(drawn, words, size=(600.0, 600.0)), factor, factor)))

    assert told.ratio == pytest.approx((factor, factor), rel=1e-9)
    wanted = 1.0 if abs(factor - 1) <= 0.0005 else 1 / factor
    assert (told.factor_x, told.factor_y) == pytest.approx((wanted, wanted), rel=1e-9)


# -- making everything larger ---------------------------------------------------------------


def everything():
    curve = np.array([[[10.0, 20.0], [40.0, 25.0], [60.0, 80.0], [90.0, 40.0]]])
    style = Style("#ff0000", 0.5, (4.0, 2.0), "#00ff00")
    one = Drawn(curve, (0,), (False,), style, ("a",), True, (5.0, 6.0, 100.0, 120.0), True, 7)
    word = Words("front", 30.0, 40.0, 30.0, 4.0, 12.0, "#000000", ("a",), False, (0.0, 0.0, 50.0, 60.0))
    return Printed((Page(3, 210.0, 297.0, 90, (one,), (word,), 0.2, "iii"),), (), "maker", "title", 5, ("x",))


def test_everything_on_a_page_grows():
    whole = everything()

    made = scaled(whole, 2.0, 2.0)

    one, word = made.pages[0].drawn[0], made.pages[0].words[0]
    assert (made.pages[0].width, made.pages[0].height) == (420, 594)
    assert one.curves.tolist() == (2 * whole.pages[0].drawn[0].curves).tolist()
    assert (one.style.width, one.style.dashes) == (1.0, (8.0, 4.0))
    assert one.clip == (10, 12, 200, 240)
    assert (word.x, word.y, word.angle, word.height, word.width) == (60, 80, 30, 8, 24)
    assert word.clip == (0, 0, 100, 120)
    same = {"layers": one.layers, "hidden": True, "cut_by_shape": True, "order": 7}
    assert {name: getattr(one, name) for name in same} == same
    assert made._replace(pages=()) == whole._replace(pages=())


def test_growing_by_one_is_nothing():
    whole = everything()

    assert scaled(whole, 1.0, 1.0) is whole


def test_lengths_grow_by_the_factor():
    """Judge: svgpathtools' arc length of the same curve."""
    parse_path = pytest.importorskip("svgpathtools").parse_path
    one = everything().pages[0].drawn[0]
    made = scaled(everything(), 1.030928, 1.030928).pages[0].drawn[0]

    def arc(drawn):
        (a, b, c, d) = [complex(*p) for p in drawn.curves[0]]
        shown = "M {} {} C {} {} {} {} {} {}".format(
            *itertools.chain(*((p.real, p.imag) for p in (a, b, c, d)))
        )
        return parse_path(shown).length(error=1e-10)

    assert arc(made) == pytest.approx(1.030928 * arc(one), rel=1e-9)


def test_a_stretched_text_reads_in_the_stretched_direction():
    """Direction (cos 30, sin 30) stretched by 2 across: tan = tan 30 / 2."""
    word = scaled(everything(), 2.0, 1.0).pages[0].words[0]

    assert np.tan(np.radians(word.angle)) == pytest.approx(np.tan(np.radians(30)) / 2)
    assert word.width == pytest.approx(12 * np.hypot(2 * np.cos(np.radians(30)), np.sin(np.radians(30))))


def test_after_the_correction_the_square_is_right_to_a_twentieth_of_a_millimetre():
    sheet = printed([square(20, 30, 97, 99), *bar(20, 150, 97)], [text("10 cm", 60, 80)])

    made = scaled(sheet, 100 / 97, 100 / 99)

    assert witnesses(made)[0].measured == pytest.approx((100, 100), abs=1e-9)


# -- words ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "words"), [(25.4, "1 in"), (101.6, "4 in"), (38.1, "1.5 in"), (100, "10 cm"), (97, "97 mm")]
)
def test_lengths_in_words(mm, words):
    assert length_words(mm) == words


def test_errors_on_a_hip_in_words():
    assert on_hip(0.9375, 1016.0).endswith("63.5 mm too small")  # 40 in becomes 37.5 in: 2.5 in lost
    assert on_hip(1.0, 1000.0).endswith("right to 0.1 mm")


# -- a real drawing -------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["TUX_pattern_0.6_a1.pdf", "TUX_pattern_0.6_a4.pdf"])
def test_the_rulers_of_a_real_drawing_are_read(name):
    """It was drawn 1:1, with a ruler in cm and one in inches."""
    pytest.importorskip("pypdf")
    from sewkit.files.pdf_read import read_pages

    told = witnesses(read_pages(io.BytesIO(file("penguin", name).read_bytes())))

    rulers = [one for one in told if one.kind == RULER]
    assert len(rulers) >= 2
    for one in rulers:
        assert max(one.measured) == pytest.approx(max(one.nominal), rel=5e-4)
    assert verdict(told).level == Level.PASS
