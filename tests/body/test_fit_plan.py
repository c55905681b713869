"""The plan for a body: its order, its book-keeping, and that its steps do what they say.

The drawn checks use our own waistcoat and a plain skirt, and Shapely as the ruler.
"""

import json
import pathlib

import numpy as np
import pytest

from sewkit.body.fit_plan import WORDS, fit_plan, quarters
from sewkit.body.sizing import sizes_for
from sewkit.files.job import run_job
from sewkit.files.recipe import parse_recipe, write_recipe
from sewkit.geometry.nearest import nearest
from sewkit.operations.blend import blend
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from tests.body.charts import MEN, WOMEN, body, man
from tests.operations.pieces import dense, level, named_outline, r4_path

MASTER = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat" / "master.svg"
WAISTCOAT = {"chest": -175.0, "waist": 0.0, "hem": 95.0}
WAIST_ON_THE_SHEET = 560.0  # samples/make_master.py
PEOPLE = {
    "P01": man(88, 74, 43.0),
    "P02": man(93, 79, 43.4),
    "P03": man(96, 90, 44.2),
    "P04": man(101, 84, 46.5),
    "P05": man(104, 112, 45.0, fits=("full stomach", "front length +3.0")),
    "P06": man(118, 102, 46.0),
    "P07": man(99, 88, 42.0),
    "P08": man(126, 118, 47.0),
    "P09": man(40, 34, 44.0),
    "P10": man(92, 95, 43.5),
    "P11": man(106, 88, 49.0),
    "P12": man(93, 79, 43.4),
}


def plan(row, **more):
    person = PEOPLE[row]._replace(who=row)
    return fit_plan(sizes_for(MEN, person), MEN, person, WAISTCOAT, **more)


def as_recipe(steps):
    """The steps as somebody would write them down."""
    rows = []
    for step in steps:
        rows += ["[[step]]", 'do = "{}"'.format(step.do)]
        rows += ["pieces = {}".format(json.dumps(list(step.pieces)))] if step.pieces else []
        rows += ["{} = {}".format(name, json.dumps(value)) for name, value in step.values.items()]
    return parse_recipe("\n".join(rows))


@pytest.mark.parametrize(
    "who, does, finished",
    [
        ("P01", "size", (98, 82)),
        ("P02", "size", (102, 86)),
        ("P03", "blend size", (106, 98)),
        ("P04", "lengthen size", (110, 94)),
        ("P05", "blend size lengthen wedge spread spread", (114, 120)),
        ("P06", "lengthen blend size", (130, 110)),
        ("P07", "lengthen blend size", (110, 98)),
        ("P08", "", ()),
        ("P09", "", ()),
        ("P10", "blend size", (102, 103)),
        ("P11", "lengthen blend size", (118, 98)),
        ("P12", "size", (102, 86)),
    ],
)
def test_twelve_performers(who, does, finished):
    """Finished is the size's body and 10 or 8; of P05 117 and the 3 that his front gets."""
    found = plan(who)

    assert " ".join(step.do for step in found.steps) == does
    assert tuple(found.finished.values()) == pytest.approx([10.0 * cm for cm in finished])
    assert all(step.why.endswith(".") for step in found.steps)
    # What the plan holds is a recipe, and comes back from its text.
    recipe = as_recipe(found.steps)
    assert parse_recipe(write_recipe(recipe)) == recipe


def test_a_held_body_has_no_steps_and_one_reason():
    assert len(plan("P08").skipped) == len(plan("P09").skipped) == 1


def test_the_same_body_has_the_same_plan():
    assert plan("P02")._replace(line="") == plan("P12")._replace(line="")


def test_a_name_that_is_no_size_s():
    assert plan("P03", who="Anna Maria / 2").line == "Anna-Maria-2"
    assert plan("P03", who="4").line == "fitted-4"
    assert plan("P04").line == "4"  # nothing swings, so it is the size itself


def test_a_pear_s_quarters():
    """Waist 78 against 74 of size 4, a quarter of 4 cm; hip 113 against 100, a quarter of 13 cm."""
    chart = WOMEN._replace(ease={"full bust": 80.0, "waist": 40.0, "hip": 50.0})
    sizing = sizes_for(chart, body(high_bust=88, full_bust=93, waist=78, hip=113))
    found = quarters(sizing, chart)

    assert found == pytest.approx({"high bust": 0.0, "full bust": 0.0, "waist": 10.0, "hip": 32.5})


def test_a_pear_s_skirt_reaches_the_hip_size_at_the_body_s_hip():
    """Printed at 200 below the waist, on the body at 220."""
    outlines = [
        named_outline(r4_path(*girths), "top side hem centre", size)
        for girths, size in zip(((180, 236, 240), (190, 246, 250), (202, 262, 268)), "457")
    ]
    marks = [level(word, y, size) for size in "457" for word, y in (("waist", 100.0), ("hip", 300.0))]
    front = Piece("front", tuple(outlines), marks=tuple(marks), folds=("centre",))
    pattern = Pattern((front, front._replace(name="lining")), parse_seams("side=lining/side", "front"))
    who = body("P", full_bust=93, waist=78, hip=113, hip_depth=22)
    levels = {"bust": 0.0, "waist": 100.0, "hip": 300.0, "hem": 600.0}
    step = fit_plan(sizes_for(WOMEN, who), WOMEN, who, levels).steps[0]
    values = as_recipe([step]).steps[0].step.values

    after = blend(pattern, **values).pattern
    made, hips = (after.piece("front").outline(size).edge_path("side") for size in ("P", "7"))

    def apart(y):
        spots = dense(made)
        return nearest(hips, spots[np.argmin(np.abs(spots[:, 1] - y))]).distance

    assert apart(330.0) < 1e-6
    assert apart(302.0) > 0.05
    assert after.piece("lining").outline("P") == after.piece("front").outline("P")


# -- a full stomach, drawn ---------------------------------------------------------------


@pytest.fixture(scope="module")
def stout():
    """P05 before and after the steps for his stomach."""
    steps = as_recipe(plan("P05", edges=WORDS._replace(front_width=327.5)).steps).steps
    return run_job(MASTER, steps[:2]).after, run_job(MASTER, steps).after


def width(pattern, below_waist):
    """Of the front at a height (mm), measured by Shapely."""
    shapely = pytest.importorskip("shapely")
    outline = pattern.piece("front").outlines[0]
    y = WAIST_ON_THE_SHEET + below_waist
    level_line = shapely.LineString([(-1e4, y), (1e4, y)])
    return shapely.Polygon(dense(outline.path)).intersection(level_line).length


def edge(pattern, piece, name):
    return pattern.piece(piece).outlines[0].as_sewn(name)


def test_a_full_stomach_gets_fifteen_on_each_front_at_the_waist_and_none_at_the_chest(stout):
    before, after = stout

    # Round the body 2 * 15: 3 either way is within what a finished girth may have.
    assert width(after, 0.0) - width(before, 0.0) == pytest.approx(15.0, abs=1.5)
    assert width(after, -174.0) - width(before, -174.0) == pytest.approx(0.0, abs=0.2)
    assert after.piece("back") == before.piece("back")


def test_its_front_edge_is_thirty_longer_and_its_side_is_not(stout):
    before, after = stout

    assert edge(after, "front", "front-edge") - edge(before, "front", "front-edge") == pytest.approx(
        30.0, abs=0.1
    )
    assert edge(after, "front", "side") == pytest.approx(edge(after, "back", "side"), abs=0.5)
    for name in ("front-edge", "hem"):
        facing = edge(after, "front-facing", name) - edge(before, "front-facing", name)
        assert facing == pytest.approx(30.0 if name == "front-edge" else 0.0, abs=0.1)
    # Straight on, to a quarter of a millimetre.
    across = after.piece("front").outlines[0].edge_path("front-edge").nodes[:, 0]
    assert np.ptp(across) < 0.25


def test_its_buttons_have_four_equal_spaces(stout):
    """A span of 320 and 30: 87.5 each."""
    marks = [mark for mark in stout[1].piece("front").marks if mark.name.startswith("button")]
    heights = sorted(float(mark.path.nodes[:, 1].mean()) for mark in marks)

    assert np.diff(heights) == pytest.approx([87.5] * 4, abs=0.1)
