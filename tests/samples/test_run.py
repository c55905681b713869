"""The main job, as a stranger runs it: from the bought PDF to performers' pieces.

What everybody gets is tested with the batch; here it is the way from the PDF, and that what
the README shows is what comes out.
"""

import hashlib
import pathlib
import subprocess
import sys

import pytest
from lxml import etree

from sewkit.files.fit_sheet import read_fit_sheet, running_steps
from sewkit.files.recipe import read_recipe
from sewkit.files.svg import open_drawing
from sewkit.geometry.polygon import bounds, flatten

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "samples" / "waistcoat"


def run(folder, *who):
    command = [sys.executable, str(ROOT / "samples" / "run.py"), *who, "-o", str(folder)]
    return subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=240)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The folder after one run for three people, of whom one is held."""
    folder = tmp_path_factory.mktemp("samples") / "out"
    before = hashlib.sha256((SAMPLE / "bought.pdf").read_bytes()).hexdigest()
    result = run(folder, "p03", "P08", "P11")
    assert result.returncode == 1, result.stderr.decode()
    assert "Traceback" not in result.stderr.decode()
    assert "P08: The chest of 126.0 cm is 1.00 steps beyond size 8" in result.stdout.decode()
    assert hashlib.sha256((SAMPLE / "bought.pdf").read_bytes()).hexdigest() == before
    return folder


def test_all_results_are_there(made):
    assert {file.name for file in made.iterdir()} == {
        *("import.txt", "pages.svg", "sheet.svg", "master.svg"),
        *("summary.txt", "summary.csv", "summary.html", "P03", "P11"),
    }


def test_the_pieces_from_the_pdf_are_those_of_the_drafted_master(made):
    """The finished girths, by Shapely: 106 cm at the chest as size 3, 98 at the waist as size 5."""
    shapely = pytest.importorskip("shapely.geometry")
    pattern = open_drawing(made / "P03" / "pieces.svg")[0].pattern
    sums = {"chest": 0.0, "waist": 0.0}
    for name in ("front", "back"):
        piece = pattern.piece(name)
        ring = shapely.Polygon(flatten(piece.outlines[0].path, 0.005))
        for mark in piece.marks:
            if mark.kind == "level" and mark.name in sums:
                y = mark.path.start[1]
                sums[mark.name] += 2 * ring.intersection(shapely.LineString([(-5000, y), (5000, y)])).length

    # common practice: the button stand of 20 mm on both fronts laps over and does not count
    assert sums["chest"] - 40.0 == pytest.approx(1060.0, abs=0.6)
    assert sums["waist"] - 40.0 == pytest.approx(980.0, abs=0.6)


def test_one_line_of_each_kind_is_left_and_reads_without_trouble(made):
    pattern = open_drawing(made / "P03" / "pieces.svg")[0].pattern

    assert pattern.problems == ()
    for piece in pattern.pieces:
        assert piece.sizes == ("P03",)
        assert [line.size for line in piece.cut_lines] == ["P03"]


def test_the_report_walks_every_seam_before_and_after(made):
    text = (made / "P03" / "report.txt").read_text(encoding="utf-8")

    assert "Seams before and after" in text
    for seam in (
        "back/shoulder to front/shoulder",
        "front/side to back/side",
        "front-facing/neck to front/neck",
    ):
        assert seam in text
    assert "stop" not in text.replace("0 to stop for", "")


def test_the_checked_in_recipe_and_pictures_are_what_the_sample_makes(made):
    kept = read_recipe(SAMPLE / "p03.toml").steps
    done = running_steps(read_fit_sheet(made / "P03" / "recipe.toml"))

    assert [(one.step.operation.name, one.step.values) for one in done] == [
        (one.step.operation.name, one.step.values) for one in kept
    ]
    # Rounding may differ in the last digit between versions of numpy; the words may not.
    for picture, shown in (
        ("P03/before-after.svg", "p03-before-after.svg"),
        ("P11/before-after.svg", "p11-before-after.svg"),
        ("sheet.svg", "brought-in.svg"),
    ):
        assert words_of(made / picture) == words_of(SAMPLE / shown)


def words_of(file):
    return ["".join(text.itertext()) for text in etree.parse(str(file)).getroot().iter("{*}text")]


def test_marks_of_the_blended_size_lie_on_its_pieces(made):
    for piece in open_drawing(made / "P03" / "pieces.svg")[0].pattern.pieces:
        x0, _, x1, _ = bounds(piece.outlines[0].path)
        for mark in piece.marks:
            if mark.kind == "level":
                assert x0 - 0.01 <= mark.path.nodes[:, 0].min() and mark.path.nodes[:, 0].max() <= x1 + 0.01
            # No number of a size that the piece is not.
            assert mark.text not in tuple("12345678")
