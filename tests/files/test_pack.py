"""Packs: whole or not there, the same bytes twice, known again, and nobody's own files lost."""

import csv
import hashlib
import json
import os
import pathlib
import sys

import numpy as np
import pytest
from lxml import etree

from sewkit.body.body import Body
from sewkit.errors import FileError
from sewkit.files import pack_folder
from sewkit.files.fit_sheet import FitSheet, parse_fit_sheet, with_own_steps
from sewkit.files.pack import Pack, finished_pack, geometry_hash, pack_files, pack_inputs, write_pack
from sewkit.files.recipe import parse_recipe
from sewkit.files.replay import run_fit_sheet
from sewkit.files.svg import open_drawing
from sewkit.files.svg_frame import to_sheet
from sewkit.files.svg_names import own
from sewkit.pattern.piece_label import LABEL_NAME

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

MASTER = pathlib.Path(__file__).parents[2] / "samples" / "waistcoat" / "master.svg"
NAMES = {
    "pieces.svg",
    "before-after.svg",
    "report.html",
    "report.txt",
    "report.json",
    "cut-list.csv",
    "cut-list.txt",
    "recipe.toml",
    "pack.json",
}
STEPS = """
[[step]]
do = "size"
size_kept = "2"

[[step]]
do = "allowance"
width = "10 mm"
edges = "side=25 centre-back=25"

[[step]]
do = "walk"
"""
MEASURES = {"chest": 930.0, "waist": 790.0}


def a_pack(who="P02", **more):
    sheet = with_own_steps(FitSheet("Waistcoat for " + who, who), parse_recipe(STEPS).steps)
    done = run_fit_sheet(str(MASTER), sheet)
    body = more.pop("body", Body(who, MEASURES))
    # Printed sheets have tests of their own: tests/test_print_doors.py.
    more.setdefault("paper", "")
    return Pack(done, done.report, sheet, "Waistcoat", "chest 2, waist 2", body, "The Miser", **more)


def inputs(who="P02", **more):
    return pack_inputs(MASTER.read_bytes(), Body(who, MEASURES), "chart", STEPS, **more)


def content(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cast") / "P02"
    assert write_pack(folder, a_pack(), inputs())[-1] == "pack.json"
    return folder


def test_a_pack_holds_all_its_files_and_the_manifest_their_hashes(written):
    assert set(os.listdir(str(written))) == NAMES
    assert os.listdir(str(written.parent)) == ["P02"]

    manifest = json.loads((written / "pack.json").read_text(encoding="utf-8"))
    assert set(manifest["files"]) == NAMES - {"pack.json"}
    for name, known in manifest["files"].items():
        assert known == "sha256:" + hashlib.sha256((written / name).read_bytes()).hexdigest(), name


def test_the_same_input_gives_the_same_bytes(written, tmp_path):
    write_pack(tmp_path / "P02", a_pack(), inputs())

    assert content(tmp_path / "P02") == content(written)


def test_a_finished_pack_is_known_and_any_other_input_is_not(written):
    assert finished_pack(written, inputs())
    body = Body("P02", MEASURES)
    others = [
        inputs("P03"),
        inputs(exact=True),
        pack_inputs(MASTER.read_bytes() + b" ", body, "chart", STEPS),
        pack_inputs(MASTER.read_bytes(), body, "chart 2", STEPS),
        pack_inputs(MASTER.read_bytes(), body, "chart", STEPS + "# more"),
        pack_inputs(MASTER.read_bytes(), Body("P02", {**MEASURES, "waist": 790.5}), "chart", STEPS),
    ]
    assert not any(finished_pack(written, other) for other in others)
    assert pack_inputs(b"", body) == pack_inputs(b"", body._replace(row=7))


def test_what_was_stopped_half_way_is_not_finished_and_is_cleared_away(tmp_path):
    half = tmp_path / ".P02.part"
    half.mkdir()
    (half / "pieces.svg").write_text("<svg")
    assert not finished_pack(tmp_path / "P02", inputs())

    write_pack(tmp_path / "P02", a_pack(), inputs())

    assert os.listdir(str(tmp_path)) == ["P02"] and finished_pack(tmp_path / "P02", inputs())


def test_stopped_between_the_two_last_steps_nothing_of_the_old_pack_is_lost(tmp_path):
    folder = tmp_path / "P02"
    write_pack(folder, a_pack(), inputs())
    (folder / "fitting.txt").write_text("let out 5 mm")
    folder.rename(tmp_path / ".P02.old")
    (tmp_path / ".P02.part").mkdir()
    assert not finished_pack(folder, inputs())

    write_pack(folder, a_pack(), inputs())

    assert os.listdir(str(tmp_path)) == ["P02"] and finished_pack(folder, inputs())
    assert (folder / "fitting.txt").read_text() == "let out 5 mm"


def test_a_damaged_or_a_missing_file_makes_it_unfinished(tmp_path):
    folder = tmp_path / "P02"
    pack_folder.put_pack(folder, {"a.txt": b"a", "pack.json": manifest_of({"a.txt": b"a"})})
    assert finished_pack(folder, {"master": "1"})

    (folder / "a.txt").write_bytes(b"b")
    assert not finished_pack(folder, {"master": "1"})
    (folder / "a.txt").unlink()
    assert not finished_pack(folder, {"master": "1"})
    (folder / "pack.json").write_text("{")
    assert not finished_pack(folder, {"master": "1"})


def manifest_of(files):
    return pack_folder.write_manifest(files, {"master": "1"}, "")


def test_what_somebody_put_there_or_changed_is_kept(tmp_path):
    folder = tmp_path / "P02"
    old = {"a.txt": b"a", "gone.txt": b"g"}
    pack_folder.put_pack(folder, {**old, "pack.json": manifest_of(old)})
    (folder / "a.txt").write_bytes(b"mine")
    (folder / "photos").mkdir()
    (folder / "photos" / "back.jpg").write_bytes(b"jpg")

    for new in (b"a2", b"a3"):
        pack_folder.put_pack(folder, {"a.txt": new, "pack.json": manifest_of({"a.txt": new})})

    assert sorted(os.listdir(str(folder))) == ["a-kept.txt", "a.txt", "pack.json", "photos"]
    assert (folder / "a-kept.txt").read_bytes() == b"mine" and (folder / "a.txt").read_bytes() == b"a3"
    assert (folder / "photos" / "back.jpg").read_bytes() == b"jpg"


def test_a_folder_with_other_things_is_refused_and_stays(tmp_path):
    (tmp_path / "taxes").mkdir()
    (tmp_path / "taxes" / "2026.txt").write_text("mine")

    with pytest.raises(FileError) as told:
        pack_folder.put_pack(tmp_path / "taxes", {"a.txt": b"a"})

    assert "no pack" in str(told.value) and content(tmp_path / "taxes") == {"2026.txt": b"mine"}
    with pytest.raises(FileError):
        pack_folder.put_pack(tmp_path / "nowhere" / "P02", {"a.txt": b"a"})


def test_a_fault_while_writing_leaves_the_old_pack(tmp_path, monkeypatch):
    folder = tmp_path / "P02"
    old = {"a.txt": b"a"}
    pack_folder.put_pack(folder, {**old, "pack.json": manifest_of(old)})

    with pytest.raises(FileError):
        pack_folder.put_pack(folder, {"b.txt": b"b", "no/such.txt": b"c"})

    assert os.listdir(str(tmp_path)) == ["P02"] and finished_pack(folder, {"master": "1"})


def test_the_cut_list_is_the_masters_own(written):
    with open(str(written / "cut-list.csv"), encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    # As drawn on the master: back and front and facing are each cut twice, the back of lining.
    said = [(row["piece"], row["count"], row["how"], row["cloth"], row["size"]) for row in rows]
    assert said == [
        ("back", "2", "1 pair, mirrored", "lining", "2"),
        ("front", "2", "1 pair, mirrored", "main", "2"),
        ("front-facing", "2", "1 pair, mirrored", "main", "2"),
    ]
    text = (written / "cut-list.txt").read_text(encoding="utf-8")
    assert "6 pieces in all: 2 of lining cloth, 4 of main cloth." in text


def test_the_pieces_say_for_whom_they_are_and_the_report_is_well_formed(written):
    drawing, _ = open_drawing(str(written / "pieces.svg"))
    for piece in drawing.pattern.pieces:
        words = " ".join(mark.text for mark in piece.marks if mark.name == LABEL_NAME)
        for said in (
            "Waistcoat",
            piece.name,
            "of 3",
            "P02: chest 2, waist 2",
            "allowance 10 mm",
            "The Miser",
        ):
            assert said in words, (piece.name, said)
    page = etree.parse(str(written / "report.html"))
    text = " ".join(page.getroot().itertext())
    assert "What to cut" in text and "Measures are personal: keep these sheets" in text
    assert parse_fit_sheet((written / "recipe.toml").read_text(encoding="utf-8")).who == "P02"


def test_labels_are_put_in_the_place_of_older_ones(written, tmp_path):
    sheet = FitSheet("Waistcoat for P09", "P09")
    done = run_fit_sheet(str(written / "pieces.svg"), sheet)
    write_pack(tmp_path / "P09", Pack(done, done.report, sheet, "Waistcoat"), {})

    text = (tmp_path / "P09" / "pieces.svg").read_text(encoding="utf-8")
    assert "P02" not in text and text.count("P09") == 3


def test_a_childs_pack_has_the_cautions_and_a_written_out_name_is_told(tmp_path):
    child = Body("Marie", {"chest": 600.0}, child=True, age=6.0)
    write_pack(tmp_path / "Marie", a_pack("Marie", body=child, date="May 2026"), {})

    told = " ".join((tmp_path / "Marie" / "report.txt").read_text(encoding="utf-8").split())
    assert "EN 14682" in told and "EN 14878" in told and "initials or a number" in told
    adult = Body("M. L.", {"chest": 900.0})
    write_pack(tmp_path / "ML", a_pack("M. L.", body=adult), {})
    told = " ".join((tmp_path / "ML" / "report.txt").read_text(encoding="utf-8").split())
    assert "EN 14682" not in told and "initials or a number" not in told
    assert "May 2026" in (tmp_path / "Marie" / "report.html").read_text(encoding="utf-8")


def test_equal_bodies_have_equal_geometry_whatever_they_are_called(written):
    other = a_pack("P12").done.drawing.pattern
    manifest = json.loads((written / "pack.json").read_text(encoding="utf-8"))
    assert geometry_hash(other) == manifest["geometry"]

    piece = other.pieces[0]
    moved = piece.outlines[0].path.curves.copy()
    moved[0, 1] += 0.001
    path = type(piece.outlines[0].path)(moved, closed=True)
    changed = other.with_piece(piece.with_outline(piece.outlines[0].replace_path(path)))
    assert geometry_hash(changed) != manifest["geometry"]


def test_the_words_at_a_level_go_where_the_level_went(tmp_path):
    step = '[[step]]\ndo = "lengthen"\namount = "35 mm"\nat = "waist-50mm"\n\n'
    longer = STEPS.replace('[[step]]\ndo = "allowance"', step + '[[step]]\ndo = "allowance"')
    sheet = with_own_steps(FitSheet("Waistcoat for P11", "P11"), parse_recipe(longer).steps)
    done = run_fit_sheet(str(MASTER), sheet)
    pack = Pack(done, done.report, sheet, "Waistcoat", "chest 2, waist 2", Body("P11", MEASURES))

    assert "pieces.svg" in pack_files(pack)  # written twice, they go there once
    write_pack(tmp_path / "P11", pack, pack_inputs(MASTER.read_bytes()))
    # By hand: the waist went 35 mm down, the chest stayed where it was, half a long line went half the way.
    for words, way in (("waist", 35.0), ("chest", 0.0), ("pocket", 35.0), ("centre front", 17.5)):
        was, now = (_spots(file, words) for file in (MASTER, tmp_path / "P11" / "pieces.svg"))
        assert len(now) and now - was == pytest.approx(np.tile([0.0, way], (len(now), 1)), abs=0.01)
    assert "beside the pieces are the maker's" in (tmp_path / "P11" / "report.txt").read_text(
        "utf-8"
    ).replace("\n        ", " ")


def _spots(file, words):
    """Where the origins (n, 2) of the texts of these words on pieces lie on the sheet (mm)."""
    texts = [one for one in etree.parse(str(file)).iter("{*}text") if one.text == words]
    on_pieces = [one for one in texts if any(own(above, "piece") for above in one.iterancestors())]
    return np.concatenate([to_sheet(one).points(np.zeros((1, 2))) for one in on_pieces])
