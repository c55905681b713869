"""The measures that are known, what each one means, and how wide it is met with.

A length is only worth something where everybody takes it at the same place.  The
definitions are told in our own words after the source named with each.

``least`` and ``most`` are the widest that adults are met with (mm; from memory, broad on
purpose).  They tell inches from centimetres and a slipped decimal point; they judge nobody.
"""

from typing import NamedTuple, Tuple

GIRTH, LENGTH, HEIGHT = "girth", "length", "height"

_EN = "EN 13402-1"
_ISO = "ISO 8559-1, by the handbook Anthropometry, Apparel Sizing and Design"
_ASTM = "ASTM D5219"
_BOOKS = "textbooks"
_PRACTICE = "common practice, no source"


class Measure(NamedTuple):
    """One measure.

    Args:
        name: what it is called everywhere in sewkit.
        words: other names for it.
        definition: how it is taken.
        source: where the definition comes from.
        group: ``GIRTH`` round the body, ``LENGTH`` along it, or ``HEIGHT`` above the floor.
        least, most: what adults are met with, widely (mm).
        twin: the name of the same measure on the other kind of chart, such as hip for seat.
    """

    name: str
    words: Tuple[str, ...]
    definition: str
    source: str
    group: str
    least: float
    most: float
    twin: str = ""


MEASURES: Tuple[Measure, ...] = (
    Measure(
        "height",
        ("stature", "body height"),
        "From the crown to the soles, without shoes.",
        _EN,
        HEIGHT,
        1300.0,
        2200.0,
    ),
    Measure(
        "head",
        ("head girth",),
        "The largest level girth of the head, above the ears.",
        _EN,
        GIRTH,
        480.0,
        680.0,
    ),
    Measure(
        "neck",
        ("neck girth", "collar"),
        "Round the neck, 2 cm below the Adam's apple, at the level of the seventh neck bone.",
        _EN,
        GIRTH,
        280.0,
        600.0,
    ),
    Measure(
        "chest",
        ("chest girth", "breast"),
        "The largest level girth over the shoulder blades, under the armpits and across the chest; "
        "standing upright, breathing quietly.",
        _EN,
        GIRTH,
        620.0,
        2000.0,
        "full bust",
    ),
    Measure(
        "high bust",
        ("upper bust", "upper chest", "high chest", "upper chest girth"),
        "Round the body high under the arms, across the upper chest and the back.",
        _BOOKS,
        GIRTH,
        620.0,
        1900.0,
    ),
    Measure(
        "full bust",
        ("bust", "bust girth", "fullest bust"),
        "The largest level girth under the armpits and across the fullest part of the bust; "
        "over a bra that does not press, the tape not tight.",
        _EN,
        GIRTH,
        650.0,
        2100.0,
        "chest",
    ),
    Measure(
        "under-bust",
        ("underbust girth", "rib cage", "band"),
        "Level round the body just below the breasts.",
        _EN,
        GIRTH,
        550.0,
        1800.0,
    ),
    Measure(
        "waist",
        ("natural waist", "waist girth", "natural waist girth"),
        "Round the natural waistline, between the lowest ribs and the hip bones, the belly relaxed; "
        "where a string round the body settles, not at the top of the trousers.",
        _EN,
        GIRTH,
        500.0,
        2000.0,
    ),
    Measure(
        "level waist",
        ("midway waist", "iso waist"),
        "Level round the body, midway between the lowest rib and the top of the hip bone at the side.",
        _ISO,
        GIRTH,
        500.0,
        2000.0,
    ),
    Measure(
        "high hip",
        ("upper hip", "abdomen"),
        "Level round the body over the hip bones, 8 to 10 cm below the waist.",
        _PRACTICE,
        GIRTH,
        600.0,
        2100.0,
    ),
    Measure(
        "hip",
        ("hips", "full hip", "hip girth", "fullest hip"),
        "The largest level girth round the buttocks.",
        _EN,
        GIRTH,
        680.0,
        2200.0,
        "seat",
    ),
    Measure(
        "seat",
        ("seat girth", "buttocks"),
        "The largest level girth round the buttocks: the hip, as it is called on men's charts.",
        _EN,
        GIRTH,
        680.0,
        2200.0,
        "hip",
    ),
    Measure(
        "high hip depth",
        ("high hip height", "waist to high hip"),
        "Down the side from the waist to the high hip.",
        _PRACTICE,
        LENGTH,
        50.0,
        160.0,
    ),
    Measure(
        "hip depth",
        ("hip level", "hip height", "waist to hip", "hip level below waist"),
        "Down the side from the waist to the fullest part of the hip; often 18 to 23 cm.",
        _BOOKS,
        LENGTH,
        110.0,
        320.0,
    ),
    Measure(
        "shoulder length",
        ("shoulder", "shoulder seam"),
        "From the side of the neck to the shoulder bone.",
        _BOOKS,
        LENGTH,
        80.0,
        200.0,
    ),
    Measure(
        "across back",
        ("back width", "cross back"),
        "Across the back between the arms, half-way down the armholes.",
        _BOOKS,
        LENGTH,
        260.0,
        600.0,
    ),
    Measure(
        "across chest",
        ("chest width", "cross chest", "across front"),
        "Across the front between the arms, half-way down the armholes.",
        _BOOKS,
        LENGTH,
        250.0,
        600.0,
    ),
    Measure(
        "back waist length",
        ("back length", "nape to waist", "back waist", "back neck to waist"),
        "From the prominent bone at the base of the neck down along the back to the natural waistline.",
        _BOOKS,
        LENGTH,
        320.0,
        580.0,
    ),
    Measure(
        "front waist length",
        ("front length", "front waist", "shoulder to waist"),
        "From the side of the neck over the fullest part of the bust to the natural waistline.",
        _BOOKS,
        LENGTH,
        320.0,
        720.0,
    ),
    Measure(
        "bust depth",
        ("shoulder to apex", "neck to apex", "apex depth"),
        "From the side of the neck to the apex, the point of the breast that stands out most from the side.",
        _ASTM,
        LENGTH,
        180.0,
        480.0,
    ),
    Measure(
        "apex to apex",
        ("bust span", "apex distance", "bust points"),
        "Across the front from one apex to the other.",
        _ASTM,
        LENGTH,
        130.0,
        360.0,
    ),
    Measure(
        "upper arm",
        ("bicep", "biceps", "upper arm girth"),
        "Round the fullest part of the upper arm.",
        _BOOKS,
        GIRTH,
        190.0,
        650.0,
    ),
    Measure("elbow", ("elbow girth",), "Round the bent elbow.", _BOOKS, GIRTH, 190.0, 500.0),
    Measure("wrist", ("wrist girth",), "Round the wrist over the bone.", _BOOKS, GIRTH, 120.0, 280.0),
    Measure(
        "hand",
        ("hand girth", "fist"),
        "Round the hand at its widest, the thumb laid in.",
        _BOOKS,
        GIRTH,
        160.0,
        340.0,
    ),
    Measure(
        "arm length",
        ("arm", "sleeve length", "shoulder to wrist"),
        "From the shoulder bone over the bent elbow to the wrist bone.",
        _BOOKS,
        LENGTH,
        450.0,
        800.0,
    ),
    Measure("thigh", ("thigh girth",), "Round the fullest part of the thigh.", _BOOKS, GIRTH, 350.0, 1100.0),
    Measure("knee", ("knee girth",), "Round the knee over the knee-cap.", _BOOKS, GIRTH, 270.0, 750.0),
    Measure("calf", ("calf girth",), "Round the fullest part of the calf.", _BOOKS, GIRTH, 240.0, 700.0),
    Measure("ankle", ("ankle girth",), "Round the ankle over the bones.", _BOOKS, GIRTH, 170.0, 450.0),
    Measure(
        "heel",
        ("heel girth", "instep"),
        "Round the heel and over the instep: what has to pass through a trouser leg.",
        _BOOKS,
        GIRTH,
        260.0,
        480.0,
    ),
    Measure(
        "sitting depth",
        ("crotch depth", "body rise", "rise"),
        "Seated on a hard chair, from the waist at the side down to the seat.",
        _BOOKS,
        LENGTH,
        180.0,
        420.0,
    ),
    Measure(
        "crotch front",
        ("front crotch", "crotch length front"),
        "From the waist at the front to the point between the legs.",
        _BOOKS,
        LENGTH,
        200.0,
        600.0,
    ),
    Measure(
        "crotch back",
        ("back crotch", "crotch length back"),
        "From the waist at the back to the point between the legs.",
        _BOOKS,
        LENGTH,
        230.0,
        700.0,
    ),
    Measure(
        "crotch length",
        ("total crotch", "crotch total"),
        "From the waist at the front between the legs up to the waist at the back.",
        _BOOKS,
        LENGTH,
        450.0,
        1250.0,
    ),
    Measure(
        "inside leg",
        ("inseam", "inner leg", "inside leg length"),
        "From the point between the legs down to the floor, without shoes.",
        _BOOKS,
        LENGTH,
        550.0,
        1050.0,
    ),
    Measure(
        "outside leg",
        ("outseam", "outer leg", "waist to floor", "side length"),
        "From the waist down the side to the floor, without shoes.",
        _BOOKS,
        LENGTH,
        800.0,
        1350.0,
    ),
)
