"""The table of sizes: written, edited, read back."""

import csv
import io

import pytest

from sewkit.errors import InputError
from sewkit.files.size_table import read_table, write_table
from sewkit.operations.import_ import size_answers
from sewkit.sheet.groups import group_lines, with_sizes
from tests.sheet.nests import fronts

PLACES = ((20.0, 80.0), (320.0, 80.0))


@pytest.fixture(scope="module")
def grouping():
    return group_lines(fronts(PLACES, 3, "dashes", "once").lines, [])


def test_a_table_read_back_gives_the_same_sizes(grouping):
    answers = read_table(write_table(grouping))

    assert answers == {group.key: group.size for group in grouping.groups}
    assert with_sizes(grouping, answers) == grouping._replace(findings=())


def test_the_table_is_plain_csv_below_its_remarks(grouping):
    text = write_table(grouping)
    rows = list(
        csv.DictReader(io.StringIO("".join(line for line in text.splitlines(True) if line[0] != "#")))
    )

    assert [row["key"] for row in rows] == ["A", "B", "C", "D"]
    assert [row["size"] for row in rows] == ["1", "2", "3", "all"]
    assert [row["dashes mm"] for row in rows] == ["6-2", "2-2", "8-1.5-1-1.5", "solid"]
    assert [row["told by"] for row in rows] == ["dashes", "dashes", "dashes", ""]
    assert [row["lines"] for row in rows] == ["2"] * 4


def test_the_remarks_say_what_may_be_changed(grouping):
    head = [line for line in write_table(grouping).splitlines() if line.startswith("#")]

    assert "only the column 'size'" in " ".join(head)


def test_what_the_person_wrote_counts(grouping):
    text = write_table(grouping).replace("A,1,", "A,36,").replace("B,2,", "B,-,")

    assert [g.size for g in with_sizes(grouping, read_table(text)).groups] == ["36", "-", "3", "all"]


# What editors and spreadsheets make of a table.
@pytest.mark.parametrize(
    "text",
    [
        "\ufeffkey,size\nA,36\nB,all\n",
        "key;size;why\r\nA;36;x\r\nB;all;y\r\n",
        "key\tsize\nA\t36\nB\tall",
        "# remark\n\n key , size \n a , 36 \n b , ALL \n",
        '"# a remark, quoted"\n"key","size"\n"A","36"\n"B","all"\n;;\n',
        "size,key\n36,A\nall,B\n",
        "A,36\nB,all\n",
        "key,size\nA,36\nA,36\nB,all\n",
    ],
)
def test_tables_of_many_makes_are_read(text):
    assert read_table(text) == {"A": "36", "B": "all"}


@pytest.mark.parametrize(
    "text, said",
    [
        ("", "empty"),
        ("# only a remark\n", "empty"),
        ("name,length\nA,36\n", "Line 1"),
        ("key,size\nA\n", "Line 2"),
        ("# x\nkey,size\nA,36\nA,38\n", "Line 4.*'A' a second time"),
        ("key,size\n12,36\n", "Line 2.*'12'"),
        ("key,size\nA,\n", "Line 2.*no size for 'A'"),
        ("key,size\nA,36\nB,a=b\n", "Line 3.*a=b.*38 or M"),
        ("key,size\nA,~\n", "Line 2"),
    ],
)
def test_a_wrong_table_is_refused_with_the_line(text, said):
    with pytest.raises(InputError, match=said):
        read_table(text)


def test_a_dash_of_any_length_is_no_size():
    assert read_table("key,size\nA,–\nB,—\nC,-\n") == {"A": "-", "B": "-", "C": "-"}


def test_sizes_may_be_written_as_they_are_printed():
    text = "key,size\nA,10/12\nB,36 W\nC,XS+\nD,6 years\nE,1X\n"

    assert read_table(text) == {"A": "10-12", "B": "36-W", "C": "XS-plus", "D": "6-years", "E": "1X"}
    assert size_answers("A=10/12 C=XS+ E=1X F=ALL G=-") == {
        "A": "10-12", "C": "XS-plus", "E": "1X", "F": "all", "G": "-",
    }  # fmt: skip
