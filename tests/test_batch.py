"""A whole cast in one command: twelve performers of a small theatre, one waistcoat.

What each has to get is worked out by hand from the two tables of the sample: the chart's
body plus 10 cm at the chest and 8 cm at the waist, the nearest size, half-way the larger.
Shapely measures the pieces.
"""

import csv
import json
import os
import pathlib
import signal
import subprocess
import sys
import time

import numpy as np
import pytest
from lxml import etree

from sewkit.files.svg import open_drawing
from sewkit.geometry.path import point
from sewkit.geometry.polygon import flatten

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

ROOT = pathlib.Path(__file__).resolve().parent.parent
SAMPLE = ROOT / "samples" / "waistcoat"
NAMES = ["P{:02d}".format(number) for number in range(1, 13)]
HELD = ("P08", "P09")
PACKS = [name for name in NAMES if name not in HELD]

# who: chest size, waist size, finished chest and ease, finished waist and ease (cm), back waist
# length (mm) after the change, which is not made below 5 mm.
CAST = {
    "P01": (1, 1, 98, 10, 82, 8, 430),
    "P02": (2, 2, 102, 9, 86, 7, 435),
    "P03": (3, 5, 106, 10, 98, 8, 440),
    "P04": (4, 4, 110, 9, 94, 10, 465),
    "P05": (5, 8, 114, 10, 120, 8, 450),
    "P06": (8, 7, 130, 12, 110, 8, 460),
    "P07": (4, 5, 110, 11, 98, 10, 420),
    "P10": (2, 6, 102, 10, 103, 8, 435),
    "P11": (6, 5, 118, 12, 98, 10, 490),
    "P12": (2, 2, 102, 9, 86, 7, 435),
}

# common practice: the button stand, so far beyond the centre front (mm), laps over and does not count.
STAND = 20.0


def command(folder, *more, master=SAMPLE / "master.svg", people=SAMPLE / "people.csv"):
    words = [sys.executable, "-m", "sewkit", "batch", str(people), str(master), "-o", str(folder)]
    words += ["--chart", str(SAMPLE / "chart.csv"), "--recipe", str(SAMPLE / "recipe.toml")]
    return [*words, "--show", "The Miser", *more]


def batch(folder, *more, **other):
    words = command(folder, *more, **other)
    done = subprocess.run(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=300, cwd=str(ROOT))
    assert b"Traceback" not in done.stderr, done.stderr.decode()
    return done


def content(folder, *names):
    """Every file below a folder with its bytes; of some packs only, where they are named."""
    files = {
        str(p.relative_to(folder)): p.read_bytes() for p in pathlib.Path(folder).rglob("*") if p.is_file()
    }
    return {name: data for name, data in files.items() if not names or name.split(os.sep)[0] in names}


def table(folder):
    with open(str(folder / "summary.csv"), encoding="utf-8") as stream:
        return {row["who"]: row for row in csv.DictReader(stream)}


@pytest.fixture(scope="session")
def cast(tmp_path_factory):
    """The folder of the whole cast, made by two processes; and how the command ended."""
    before = (SAMPLE / "master.svg").read_bytes()
    folder = tmp_path_factory.mktemp("batch") / "cast"
    done = batch(folder, "--jobs", "2")
    assert (SAMPLE / "master.svg").read_bytes() == before
    return folder, done


@pytest.fixture(scope="session")
def patterns(cast):
    return {who: open_drawing(cast[0] / who / "pieces.svg")[0].pattern for who in PACKS}


def ring(path):
    shapely = pytest.importorskip("shapely.geometry")
    return shapely.Polygon(flatten(path, 0.005))


def width_at(piece, level):
    """Width (mm) of a piece along its level line, by Shapely."""
    shapely = pytest.importorskip("shapely.geometry")
    line = next(mark for mark in piece.marks if mark.kind == "level" and mark.name == level).path
    way = (line.end - line.start) / np.hypot(*(line.end - line.start))
    long = shapely.LineString([line.start - 1000 * way, line.end + 1000 * way])
    return ring(piece.outlines[0].path).intersection(long).length


# -- the table ----------------------------------------------------------------------------


def test_ten_get_a_pack_and_two_are_held_with_one_sentence_each(cast):
    folder, done = cast
    rows = table(folder)

    assert done.returncode == 1, done.stderr.decode()
    assert list(rows) == NAMES  # in the order of the table, whoever was done first
    assert [who for who in NAMES if rows[who]["state"] == "done"] == PACKS
    assert [who for who in NAMES if rows[who]["state"] == "held"] == list(HELD)
    assert sorted(p.name for p in folder.iterdir() if p.is_dir()) == PACKS
    assert "beyond size 8" in rows["P08"]["words"]
    assert "look like inches (101.6 and 86.4 cm)" in rows["P09"]["words"]  # 40 and 34 times 2.54
    for who in HELD:
        assert rows[who]["words"].count(". ") == 0 and rows[who]["words"].endswith(".")
        assert who in done.stdout.decode()
    assert "12 rows: 10 packs, 2 held." in done.stdout.decode()


@pytest.mark.parametrize("who", PACKS)
def test_everybody_gets_the_sizes_and_the_ease_of_the_two_tables(cast, patterns, who):
    row = table(cast[0])[who]
    told = [row[name] for name in ("chest size", "waist size")]
    told += [float(row[name]) for name in ("chest finished cm", "chest ease cm", "waist finished cm")]
    told.append(float(row["waist ease cm"]))
    chest, waist, *lengths, back_waist = CAST[who]

    assert told[:2] == [str(chest), str(waist)]
    assert told[2:] == pytest.approx(lengths, abs=0.05)

    front, back = patterns[who].piece("front"), patterns[who].piece("back")
    for level, finished in (("chest", lengths[0]), ("waist", lengths[2])):
        sewn = 2 * (width_at(front, level) - STAND + width_at(back, level))
        # A front that was turned for a stomach is measured across its level line as it lies now.
        assert sewn == pytest.approx(10 * finished, abs=2.5 if who == "P05" else 0.6), level

    nape = back.outlines[0].edge_path("centre-back").nodes[:, 1].min()
    level = next(mark for mark in back.marks if mark.kind == "level" and mark.name == "waist")
    assert level.middle[1] - nape == pytest.approx(back_waist, abs=0.05)


@pytest.mark.parametrize("who", PACKS)
def test_every_seam_is_good_and_no_other_thing_is_red(cast, who):
    report = json.loads((cast[0] / who / "report.json").read_text(encoding="utf-8"))
    seams = [one for one in report["findings"] if one["code"] == "seam"]

    assert {one["where"] for one in seams} >= {
        "back/shoulder to front/shoulder",
        "front/side to back/side",
        "front-facing/front-edge to front/front-edge",
    }
    assert {one["level"] for one in seams} == {"good"}
    assert report["worst"] != "stop"


@pytest.mark.parametrize("who", ["P01", "P03", "P11"])
def test_the_inlay_is_25_on_side_and_centre_back_and_10_elsewhere(patterns, who):
    shapely = pytest.importorskip("shapely.geometry")
    for piece in patterns[who].pieces:
        cut = ring(piece.cut_lines[0].path).exterior
        for edge in piece.outlines[0].edges:
            run = piece.outlines[0].path.part(edge.start, edge.stop).curves
            spot = point(run[len(run) // 2][None], 0.5)[0]
            wanted = 25.0 if edge.name in ("side", "centre-back") else 10.0
            assert cut.distance(shapely.Point(spot)) == pytest.approx(wanted, abs=0.2), (
                piece.name,
                edge.name,
            )


def test_a_full_stomach_is_served_in_front_and_the_buttons_follow(patterns):
    front, facing = patterns["P05"].piece("front"), patterns["P05"].piece("front-facing")
    places = [
        mark.middle[1] for mark in front.marks if mark.kind == "drill" and mark.name.startswith("button")
    ]
    edges = [piece.outlines[0].edge_path("front-edge") for piece in (front, facing)]

    # 320 mm of buttons and 30 mm more over the stomach: four spaces of 87.5 mm
    assert np.diff(sorted(places)) == pytest.approx([87.5] * 4, abs=0.05)
    # the front edge is straight, so its length is the distance of its ends; 425 mm are drafted
    for edge in edges:
        assert np.hypot(*(edge.end - edge.start)) == pytest.approx(455.0, abs=0.1)


def test_lights_are_green_where_there_is_nothing_to_look_at(cast):
    rows = table(cast[0])

    assert [rows[who]["light"] for who in ("P01", "P02", "P03", "P04", "P12")] == ["good"] * 5
    for who in PACKS:
        assert (rows[who]["light"] == "good") == (rows[who]["look at"] == "")


def test_four_sizes_in_one_taper_are_told(cast):
    row = table(cast[0])["P10"]

    assert row["light"] == "look"
    assert "4 sizes in one taper" in row["look at"] and "abdomen" in row["look at"]


def test_twins_are_twins_whatever_they_are_called(cast, patterns):
    rows = table(cast[0])
    hashes = [rows[who]["geometry"] for who in PACKS]

    assert rows["P02"]["geometry"] == rows["P12"]["geometry"]
    assert len(set(hashes)) == len(hashes) - 1
    for one, other in zip(patterns["P02"].pieces, patterns["P12"].pieces):
        assert one.cut_lines[0].path == other.cut_lines[0].path
        assert one.outlines[0].path == other.outlines[0].path


def test_labels_say_for_whom_which_sizes_and_which_show(cast):
    words = " ".join(etree.parse(str(cast[0] / "P03" / "pieces.svg")).getroot().itertext())

    assert "P03" in words and "chest 3, waist 5" in words and "The Miser" in words


def test_everybody_s_pieces_are_printed_with_the_name_on_every_page(cast):
    pytest.importorskip("pypdf", reason="pypdf is not installed")
    from sewkit.files.pdf_read import read_pages

    assert all((cast[0] / who / "pieces-a4.pdf").is_file() for who in PACKS)
    for page in read_pages(str(cast[0] / "P03" / "pieces-a4.pdf")).pages:
        assert (page.width, page.height) == pytest.approx((210, 297), abs=1e-4)  # ISO 216
        assert "P03" in " ".join(words.text for words in page.words)


# -- again, stopped, in part ----------------------------------------------------------------


def test_one_process_makes_the_same_bytes_as_two(cast, tmp_path):
    some = ("P01", "P05", "P07", "P10")  # nothing, needs, shorter, a taper
    assert batch(tmp_path / "cast", "--jobs", "1", "--only", ",".join(some)).returncode == 0

    assert content(tmp_path / "cast", *some) == content(cast[0], *some)


def test_what_is_finished_is_kept_and_told_the_same_way(cast):
    folder, _ = cast
    before = content(folder)
    times = {who: (folder / who).stat().st_mtime_ns for who in PACKS}
    done = batch(folder)

    assert done.returncode == 1
    assert "10 of the packs were finished before" in done.stderr.decode()
    assert content(folder) == before
    assert {who: (folder / who).stat().st_mtime_ns for who in PACKS} == times


@pytest.mark.skipif(os.name != "posix", reason="there is no such signal here")
def test_whoever_is_killed_goes_on_where_he_was(cast, tmp_path):
    folder, some = tmp_path / "cast", ["P01", "P02", "P03", "P12"]
    words = command(folder, "--only", ",".join(some), "--jobs", "2")
    running = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=str(ROOT))
    end = time.monotonic() + 120
    while not any((folder / who).exists() for who in some) and time.monotonic() < end:
        assert running.poll() is None
        time.sleep(0.01)
    workers = children(running.pid)
    running.send_signal(signal.SIGKILL)
    running.wait(timeout=60)

    assert not (folder / "summary.csv").exists()
    while any(map(alive, workers)):  # nobody is left behind
        assert time.monotonic() < end
        time.sleep(0.05)
    finished = [who for who in some if (folder / who).exists()]
    assert finished and len(finished) < len(some)
    for who in finished:  # whole, not only there
        assert content(folder, who) == content(cast[0], who)

    assert batch(folder, "--only", ",".join(some)).returncode == 0
    assert content(folder, *some) == content(cast[0], *some)
    assert sorted(p.name for p in folder.iterdir() if p.is_dir()) == some


def children(process):
    """The processes that one started, where the system tells."""
    try:
        with open("/proc/{0}/task/{0}/children".format(process)) as stream:
            return [int(word) for word in stream.read().split()]
    except OSError:
        return []


def alive(process):
    try:
        with open("/proc/{}/stat".format(process)) as stream:
            return stream.read().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_a_dry_run_tells_all_and_writes_nothing(tmp_path):
    done = batch(tmp_path / "cast", "--dry-run", "--only", "P02,P08")

    assert done.returncode == 1
    assert "chest 2, waist 2" in done.stdout.decode() and "P08" in done.stdout.decode()
    assert list(tmp_path.iterdir()) == []


def test_a_row_is_confirmed_to_be_in_inches(tmp_path):
    done = batch(tmp_path / "cast", "--only", "P09", "--confirm", "P09=in", "--paper", "none")
    row = table(tmp_path / "cast")["P09"]

    # 40 in and 34 in are 101.6 and 86.4 cm, size 4 both; its ease is 110 - 101.6 and 94 - 86.36
    assert done.returncode == 0
    assert (row["chest size"], row["waist size"], row["state"]) == ("4", "4", "done")
    assert [row["chest ease cm"], row["waist ease cm"]] == ["8.4", "7.6"]
    assert "5 mm shorter" in row["made"]  # 44.0 cm, and size 4 is drafted for 44.5


# -- the wall -------------------------------------------------------------------------------


def test_the_wall_shows_everybody_at_one_scale_and_needs_nothing_else(cast):
    folder, _ = cast
    text = (folder / "summary.html").read_text(encoding="utf-8")
    page = etree.fromstring(text.encode("utf-8"))
    cards = {
        "".join(card.find(".//h3").itertext()).split()[0]: card for card in page.findall(".//li[@class]")
    }

    assert list(cards) == NAMES
    assert "://" not in text and "<script" not in text and "src=" not in text
    frames = {card.find(".//svg").get("viewBox") for who, card in cards.items() if who not in HELD}
    assert len(frames) == 1
    for who, card in cards.items():
        if who in HELD:
            assert "held" in card.get("class") and card.find(".//svg") is None
            continue
        assert len(card.findall(".//polygon")) == 3
        assert (folder / card.find(".//a").get("href")).is_file()
    assert cards["P05"].get("class") == "card look"


def test_a_small_outline_is_the_cut_line_of_its_piece(cast, patterns):
    shapely = pytest.importorskip("shapely.geometry")
    page = etree.parse(str(cast[0] / "summary.html"))
    small = page.findall(".//svg")[0].findall(".//polygon")

    for polygon, piece in zip(small, patterns["P01"].pieces):
        corners = [tuple(map(int, spot.split(","))) for spot in polygon.get("points").split()]
        true = ring(piece.cut_lines[0].path)
        assert shapely.Polygon(corners).area == pytest.approx(true.area, rel=0.01)
        x0, y0, x1, y1 = shapely.Polygon(corners).bounds
        assert x1 - x0 == pytest.approx(true.bounds[2] - true.bounds[0], abs=2.0)
        assert y1 - y0 == pytest.approx(true.bounds[3] - true.bounds[1], abs=2.0)


def test_the_cloth_that_all_pieces_cover_is_told(cast, patterns):
    # every piece is cut twice: the back of lining, front and facing of main cloth
    areas = {"back": 0.0, "front": 0.0, "front-facing": 0.0}
    for pattern in patterns.values():
        for piece in pattern.pieces:
            areas[piece.name] += 2 * ring(piece.cut_lines[0].path).area / 1e6
    lining, main = areas["back"], areas["front"] + areas["front-facing"]
    words = "All pieces cover {:.2f} m² of lining cloth, {:.2f} m² of main cloth".format(lining, main)

    for name in ("summary.txt", "summary.html"):
        assert words in " ".join((cast[0] / name).read_text(encoding="utf-8").split())


# -- a cluster ------------------------------------------------------------------------------


def test_a_cluster_of_two_processes_makes_the_same_packs(cast, tmp_path):
    distributed = pytest.importorskip("distributed")
    dask = pytest.importorskip("dask")
    some = ("P01", "P02")
    with dask.config.set({"distributed.worker.daemon": False}):
        local = distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
        )
    with local:
        more = ("--executor", "cluster", "--address", local.scheduler_address)
        done = batch(tmp_path / "cast", "--only", ",".join(some), *more)

    assert done.returncode == 0, done.stderr.decode()
    assert content(tmp_path / "cast", *some) == content(cast[0], *some)
