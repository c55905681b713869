"""Two invented charts, one of women and one of men, in the rows of an ordinary size table (cm)."""

from sewkit.body.body import Body
from sewkit.body.size_chart import SizeChart


def row(*numbers):
    return tuple(10.0 * number for number in numbers)


WOMEN = SizeChart(
    tuple(str(number) for number in range(1, 11)),
    {
        "high bust": row(76, 80, 84, 88, 92, 96, 101, 106, 112, 118),
        "full bust": row(81, 85, 89, 93, 97, 101, 106, 112, 119, 126),
        "waist": row(62, 66, 70, 74, 78, 82, 87, 93, 100, 107),
        "hip": row(88, 92, 96, 100, 104, 108, 113, 119, 126, 133),
        "back waist length": row(40.0, 40.4, 40.8, 41.2, 41.6, 42.0, 42.4, 42.8, 43.2, 43.6),
        "upper arm": row(26, 27, 28, 29, 30, 31.2, 32.7, 34.5, 36.5, 38.5),
    },
    drafted_height=1680.0,
)
# A waistcoat: finished chest is chest and 10, finished waist waist and 8.
MEN = SizeChart(
    tuple("12345678"),
    {
        "chest": row(88, 92, 96, 100, 104, 108, 114, 120),
        "waist": row(74, 78, 82, 86, 90, 95, 102, 109),
        "seat": row(90, 94, 98, 102, 106, 110, 115, 120),
        "back waist length": row(43.0, 43.5, 44.0, 44.5, 45.0, 45.5, 46.0, 46.5),
    },
    drafted_height=1780.0,
    ease={"chest": 100.0, "waist": 80.0},
)


def body(who="", fits=(), **cm):
    """A body from measures in cm; full_bust=103 is the full bust."""
    measures = {name.replace("_", " "): 10.0 * value for name, value in cm.items()}
    return Body(who, measures, fits=tuple(fits))


def man(chest, waist, back, who="", fits=()):
    return body(who, fits, chest=chest, waist=waist, back_waist_length=back)
