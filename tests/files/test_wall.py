"""The wall of a cast and its tables: what stands where, in which colours, and nothing that acts by itself."""

import csv
import io
import re

import pytest
from lxml import etree

from sewkit.files.cast import DONE, FAILED, HELD, LEFT, At, CastRow, Shape
from sewkit.files.cast_summary import counted, summary_csv, summary_text
from sewkit.files.wall import frame_of, wall
from sewkit.files.wall_style import STYLE
from sewkit.report import Level

BACK = Shape("back", ((0, 0), (300, 0), (300, 600), (0, 600)))
FRONT = Shape("front", ((1000, 50), (1350, 50), (1350, 700), (1000, 700)))
CUFF = Shape("cuff", ((0, 0), (100, 0), (100, 60), (0, 60)))
SIZES = (At("chest", "3", "96.0", "106.0", "10.0"),)


def row(who, state=DONE, **more):
    return CastRow(who, more.pop("garment", "Coat"), state, **more)


ROWS = [
    row("P01", sizes=SIZES, made="chest 3", shapes=(BACK, FRONT), folder="P 01", light=Level.PASS),
    row(
        "P02",
        sizes=SIZES,
        made="chest 3",
        shapes=(BACK, FRONT),
        folder="P02",
        light=Level.WARN,
        told=("Look.",),
    ),
    row("P03", HELD, words="No chest."),
    row("P04", FAILED, words="It fell."),
    row("P05", LEFT, words="Nobody asked."),
]


def parsed(text):
    return etree.fromstring(text.encode("utf-8"))


def test_all_states_are_counted_and_listed_in_their_order():
    assert counted(ROWS) == "5 rows: 2 packs, 1 held, 1 failed, 1 left out."
    text = summary_text(ROWS)
    assert text.index("P03: No chest.") < text.index("P04: It fell.") < text.index("All rows")
    assert "Left out this time: P05." in text
    assert "P02: Look." in text


def test_the_table_has_every_row_and_no_formula():
    sums = [*ROWS, row("=1+1", HELD, words="+44"), row("@x", HELD)]
    found = list(csv.DictReader(io.StringIO(summary_csv(sums))))

    assert [one["who"] for one in found][:5] == ["P01", "P02", "P03", "P04", "P05"]
    assert [one["who"] for one in found][5:] == ["'=1+1", "'@x"]
    assert found[5]["words"] == "'+44"
    assert (found[0]["chest size"], found[0]["chest ease cm"], found[2]["chest size"]) == ("3", "10.0", "")


def test_names_and_sentences_are_only_words():
    odd = '<b onclick="x()">&'
    page = parsed(wall([row(odd, HELD, words=odd), row(odd, shapes=(BACK,), folder="a/b c", garment=odd)]))

    assert page.findall(".//*[@onclick]") == []
    assert odd in "".join(page.itertext())


def test_links_lead_to_the_packs():
    page = parsed(wall(ROWS))

    assert [link.get("href") for link in page.findall(".//a")] == ["P%2001/report.html", "P02/report.html"]


def test_a_piece_hangs_at_the_same_place_for_everybody_and_none_covers_another():
    longer = Shape("back", ((0, 0), (320, 0), (320, 640), (0, 640)))
    frame = frame_of([(BACK, FRONT), (longer, FRONT, CUFF)])

    # the room of the largest: 320 by 640, 350 by 650, 100 by 60
    assert {name: place[2:] for name, place in frame.places.items()} == {
        "back": (320, 640),
        "front": (350, 650),
        "cuff": (100, 60),
    }
    boxes = [(x, y, x + w, y + h) for x, y, w, h in frame.places.values()]
    for number, one in enumerate(boxes):
        assert one[2] <= frame.width and one[3] <= frame.height
        for other in boxes[number + 1 :]:
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def test_two_garments_have_one_scale():
    page = parsed(wall([row("A", shapes=(BACK,)), row("A", shapes=(CUFF,), garment="Cuffs")]))
    frames = {picture.get("viewBox") for picture in page.findall(".//svg")}

    assert len(frames) == 1
    assert [head.text for head in page.findall(".//h2")] == ["Coat", "Cuffs"]


def test_an_empty_cast_is_a_page_too():
    assert "0 rows: 0 packs." in "".join(parsed(wall([])).itertext())


def light_of(colour):
    """Relative luminance as WCAG 2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("ink", ["ink", "quiet", "thread", "good", "note", "look", "stop"])
def test_words_stand_out_by_day_and_by_night(theme, ink):
    day, night = STYLE.split("@media (prefers-color-scheme: dark)", 1)
    text = day if theme == "light" else night[: night.index("}\n}")]
    colours = dict(re.findall(r"--(\w+): (#\w+)", text))
    colours = {name: "#" + value[1:] * 2 if len(value) == 4 else value for name, value in colours.items()}
    for back in ("card", "back"):
        lights = sorted([light_of(colours[ink]), light_of(colours[back])])
        assert (lights[1] + 0.05) / (lights[0] + 0.05) >= 7.0  # WCAG 2, level AAA


def test_the_printed_files_of_a_pack_are_linked_and_named():
    printed = row("P01", shapes=(BACK,), folder="P 01", prints=("pieces-a0.pdf", "pieces-a4.pdf"))
    page = parsed(wall([printed, row("P02", shapes=(BACK,), folder="P02")]))
    links = [(one.get("href"), one.text) for one in page.iter("{*}a", "a") if ".pdf" in one.get("href")]

    assert links == [("P%2001/pieces-a0.pdf", "pieces-a0.pdf"), ("P%2001/pieces-a4.pdf", "pieces-a4.pdf")]
    first, second = list(csv.DictReader(io.StringIO(summary_csv([printed, row("P02")]))))
    assert (first["printed"], second["printed"]) == ("pieces-a0.pdf pieces-a4.pdf", "")
