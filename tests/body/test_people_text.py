"""People from a table's text."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.body.need import read_need
from sewkit.body.people_text import bodies_from_text
from sewkit.body.plausible import doubts
from sewkit.errors import InputError


def bodies(text, **options):
    return bodies_from_text(text, shown="'people'", **options)


def held(body):
    return [doubt.text for doubt in doubts(body) if doubt.holds]


@pytest.mark.parametrize("how", ["asked", "column", "confirmed column"])
def test_a_row_that_is_confirmed_as_inches_keeps_its_length_in_centimetres(how):
    text = "who,chest,waist,back waist length,{}\nP09,40,34,44.0,{}\nP01,88,74,43.0,\nP03,96,90,44.2,\n"
    table = {
        "asked": (text.format("remark", ""), {"confirmed": {"P09": "in"}}),
        "column": (text.format("unit", "in"), {}),
        "confirmed column": (text.format("confirmed", "inches"), {}),
    }
    people = bodies(table[how][0], **table[how][1])

    # 40 x 25.4 and 34 x 25.4; 44 in would be a back of 112 cm
    assert people[0].measures == pytest.approx({"chest": 1016.0, "waist": 863.6, "back waist length": 440.0})
    assert "The back waist length stayed in cm: in inches nobody has that." in people[0].notes
    assert doubts(people[0]) == ()
    assert people[1].measures["chest"] == 880.0


def test_a_row_that_was_looked_at_again_is_not_held():
    (body,) = bodies("who,chest,waist\nP01,96,40\n", confirmed={"P01": "yes"})

    assert body.measures["waist"] == 400.0
    assert held(body) == [] and len(doubts(body)) == 1


def test_whom_nobody_knows_cannot_be_confirmed():
    with pytest.raises(InputError, match=r"no 'P07' in the table 'people' to confirm\. There are: P01"):
        bodies("who,chest,waist\nP01,96,90\n", confirmed={"P07": "in"})


@pytest.mark.parametrize(
    "text",
    [
        "who,chest,waist\nA,96.5,90\nB,88,74\n",
        "# sent by the theatre\nwaist;who;Chest\n90;A;96,5\n\n74;B;88\n",
        "name\tchest (cm)\twaist (in)\nA\t96.5\t35.4330709\nB\t88\t29.1338583\n",
        "measure,A,B\nchest,96.5,88\nwaist,90,74\n",  # a table on its side
        'who,chest,waist\nA,"96,5","90"\nB,880 mm,74 cm\n',
        "performer,chest,waist\r\nA,965 mm,0.9 m\r\nB,88cm,74cm\r\n",
    ],
)
def test_one_table_in_many_forms(text):
    people = bodies(text)

    assert [body.who for body in people] == ["A", "B"]
    assert people[0].measures == pytest.approx({"chest": 965.0, "waist": 900.0}, abs=1e-4)
    assert people[1].measures == pytest.approx({"chest": 880.0, "waist": 740.0}, abs=1e-4)


def test_a_table_of_inches_is_guessed_as_a_whole():
    # 36 1/2 x 25.4 = 927.1; one odd row does not sway the others
    people = bodies("who,bust,waist\nA,36 1/2,28\nB,38,30\nC,96,86\n")

    assert people[0].measures["full bust"] == pytest.approx(927.1)
    assert people[1].notes == ("Numbers without a unit were taken for inches.",)
    assert held(people[2]) == [
        "Full bust 96 and waist 86 look like centimetres (96.0 and 86.0 cm): "
        "say in which unit they were taken."
    ]


def test_one_bad_row_holds_only_itself():
    people = bodies("who,chest,waist\nA,96,ninety\nB,88,74\nC,,\nD,-3,80\n")

    assert [len(body.faults) for body in people] == [1, 0, 1, 1]
    assert held(people[0]) == ["At 'waist': 'ninety' is no length. Write a number, such as 96.5 cm."]
    assert people[0].measures == {"chest": 960.0}
    assert [body.row for body in people] == [2, 3, 4, 5]


def test_two_rows_of_one_name_are_both_held():
    people = bodies("who,chest\nA,96\nB,88\nA,97\n")

    assert [len(held(body)) for body in people] == [1, 0, 1]
    assert held(people[0]) == ["'A' stands in the rows 2 and 4: give each person a name of their own."]


def test_needs_age_and_fit_sheet_beside_the_measures():
    text = (
        "who,chest,fits,age,fit sheet,role\n"
        'P05,104,"full stomach; front length +3,5 cm",,p05.toml,king\n'
        "P06,64,,9,,page\n"
    )
    stout, page = bodies(text)

    assert stout.fits == ("full stomach", "front length +3,5 cm")
    assert (stout.sheet, stout.age, stout.child) == ("p05.toml", None, False)
    assert (page.age, page.child) == (9.0, True)
    assert doubts(page) == ()


def test_a_heading_that_is_misspelt_is_asked_about():
    with pytest.raises(
        InputError, match=r"a column 'wiast', which is no measure\. Did you mean 'wrist' or 'waist'"
    ):
        bodies("who,chest,wiast\nA,96,90\n")


def test_a_measure_of_ones_own_is_kept_and_told():
    (body,) = bodies("who,chest,collar to hem\nA,96,61.5\n")

    assert body.of("collar to hem") == 615.0
    assert body.notes[0] == "'collar to hem' is no measure that is known here; it is kept under that name."


@pytest.mark.parametrize(
    "text, message",
    [
        ("who,chest\n", "has no rows"),
        ("", "no measure in this"),
        ("who,show\nA,Hamlet\n", "names no measure"),
        ('who,chest\n"A,96\n', "Line 2 of the table 'people' cannot be read"),
    ],
)
def test_a_table_without_people_or_measures_is_refused(text, message):
    with pytest.raises(InputError, match=message):
        bodies(text)


def test_identical_rows_are_identical_bodies():
    one, two = bodies("who,chest,waist\nP02,93,79\nP12,930 mm,79.0\n")

    assert one.measures == two.measures


@settings(max_examples=60)
@given(st.lists(st.lists(st.text(max_size=8), min_size=3, max_size=3), min_size=1, max_size=4))
def test_whatever_stands_in_the_cells_each_row_is_a_body(cells):
    """Whatever the cells hold: a body a row, or a refusal of the whole in words."""
    table = [["who", "chest", "waist"]] + cells
    text = "\n".join(",".join('"{}"'.format(cell.replace('"', '""')) for cell in row) for row in table)
    try:
        people = bodies(text)
    except InputError:
        return
    assert len(people) <= len(cells)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Name;Brustumfang;Taille\nA;96,5;88\n", "names no measure in its first row"),
        ("who,chets\nA,96\nB,97\n", "a column 'chets', which is no measure. Did you mean 'chest'"),
    ],
)
def test_a_table_whose_headings_nobody_knows_is_told_of_its_headings(text, words):
    with pytest.raises(InputError) as refused:
        bodies(text)

    assert words in str(refused.value)


def test_an_amount_without_a_unit_counts_as_the_measures_of_its_row_do():
    rows = ("A,40,35,in,front length +1 1/4; hollow back 12 mm", "B,96,90,cm,front length +3")
    text = "\n".join(("who,chest,waist,unit,fits", *rows))
    first, second = bodies(text)

    # 1 1/4 x 25.4, worked by hand; centimetres are what a need counts in anyhow
    assert [read_need(words).amount for words in first.fits] == pytest.approx([31.75, 12.0])
    assert [read_need(words).amount for words in second.fits] == [30.0]
