"""From a bought PDF to a master, through every door, judged by what was really drawn.

The sample is eight sizes of a waistcoat that samples/make_master.py draws; the PDF is the
same drafting, cut into tiles.  The scenes of tests/pdfs know their outlines exactly.
Shapely judges how far an outline lies from its truth.
"""

import importlib.util
import io
import pathlib

import numpy as np
import pytest
from lxml import etree

from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.job import run_job
from sewkit.files.master import master
from sewkit.files.pdf_read import read_pages
from sewkit.files.recipe import Recipe, RecipeStep, parse_recipe, write_recipe
from sewkit.files.svg import open_drawing
from sewkit.files.svg_names import SODIPODI
from sewkit.geometry.polygon import flatten
from sewkit.operation import Step, find
from sewkit.operations import load
from sewkit.report import Level
from tests.pdfs import pages, producers
from tests.pdfs.scene import scene

pytest.importorskip("pypdf")
load()
ROOT = pathlib.Path(__file__).resolve().parent.parent
PDF = ROOT / "samples" / "waistcoat" / "bought.pdf"
TRUTH = ROOT / "samples" / "waistcoat" / "master.svg"

# Recovered lines may be this far from the drawn ones (mm): a tenth of what the tolerance
# table of the trade calls good, 0.1 mm for a recovered line.
CLOSE = 0.01
# Dashes that came as single areas lose what lies in a gap; the papers measured 0.066 mm.
CLOSE_DASHES = 0.1


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    folder = tmp_path_factory.mktemp("import")
    files = {
        name: folder / name for name in ("master.svg", "report.txt", "map.svg", "sizes.csv", "sheet.svg")
    }
    status = main(
        [
            "import",
            str(PDF),
            *("-o", str(files["master.svg"])),
            *("--report", str(files["report.txt"])),
            *("--map", str(files["map.svg"])),
            *("--table", str(files["sizes.csv"])),
            *("--picture", str(files["sheet.svg"])),
            "--quiet",
        ]
    )
    assert status == 0
    return files


def outlines_of(file):
    drawing, _ = open_drawing(str(file))
    return {(piece.name, one.size): one.path for piece in drawing.pattern.pieces for one in piece.outlines}


def off(path, truth, shift):
    """How far two closed lines lie apart at most (mm), judged by Shapely."""
    shapely = pytest.importorskip("shapely")
    one, other = (shapely.LinearRing(flatten(p, 1e-3) + move) for p, move in ((path, shift), (truth, (0, 0))))
    return one.hausdorff_distance(other)


def test_the_sample_comes_in_as_it_was_drawn(imported):
    made, truth = outlines_of(imported["master.svg"]), outlines_of(TRUTH)

    assert set(made) == set(truth)
    key = ("back", "1")
    shift = truth[key].nodes.min(axis=0) - made[key].nodes.min(axis=0)
    for key, line in truth.items():
        assert len(made[key]) == len(line), key  # the designer's own curves, no more and no less
        assert off(made[key], line, shift) <= CLOSE, key


def test_the_sample_brings_its_marks(imported):
    drawing, _ = open_drawing(str(imported["master.svg"]))
    truth, _ = open_drawing(str(TRUTH))

    for piece in drawing.pattern.pieces:
        was = truth.pattern.piece(piece.name)
        for kind in ("grain", "drill"):
            count = [sum(mark.kind == kind for mark in one.marks) for one in (piece, was)]
            assert count[0] == count[1], (piece.name, kind)
        assert piece.cut == was.cut and piece.cloth == was.cloth
        assert all(0 < mark.guess <= 1 for mark in piece.marks if mark.kind != "label")
    told = imported["report.txt"].read_text(encoding="utf-8")
    assert "true to size" in told and "3 pieces in 8 sizes" in told


def test_every_file_of_an_import_can_be_read(imported):
    for name in ("master.svg", "map.svg", "sheet.svg"):
        root = etree.parse(str(imported[name])).getroot()
        assert root.tag.endswith("svg")
    table = imported["sizes.csv"].read_text(encoding="utf-8")
    assert "Size 8" in table


def test_two_imports_are_the_same_to_the_byte(imported, tmp_path):
    again = tmp_path / "again.svg"
    assert main(["import", str(PDF), "-o", str(again), "--quiet"]) == 0

    assert again.read_bytes() == imported["master.svg"].read_bytes()


def test_python_gives_the_same(imported, tmp_path):
    brought = find("import").function(read_pages(str(PDF)))

    drawing, _ = open_drawing(master(brought))
    assert drawing.as_bytes() == imported["master.svg"].read_bytes()


def test_a_recipe_gives_the_same(imported):
    pytest.importorskip("tomllib" if importlib.util.find_spec("tomllib") else "tomli")
    load()
    recipe = write_recipe(Recipe("In", (RecipeStep(Step(find("import"), {"known": ""})),)))

    done = run_job(str(PDF), parse_recipe(recipe).steps)

    assert done.drawing.as_bytes() == imported["master.svg"].read_bytes()


def test_the_extension_gives_the_same_in_an_empty_document(imported, tmp_path, monkeypatch, capfd):
    extension = loaded_extension(monkeypatch)
    empty, target = tmp_path / "empty.svg", tmp_path / "out.svg"
    view = '<sodipodi:namedview xmlns:sodipodi="{}" id="own" pagecolor="#ffffff"/>'.format(SODIPODI)
    empty.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm">{}</svg>'.format(view)
    )

    extension().run(["--file=" + str(PDF), "--output=" + str(target), str(empty)])

    assert capfd.readouterr().err == ""  # a message would stop an editor without a screen
    assert "3 pieces in 8 sizes" in target.read_text(encoding="utf-8")
    made, wanted = outlines_of(target), outlines_of(imported["master.svg"])
    assert made.keys() == wanted.keys()
    assert all(made[key] == wanted[key] for key in wanted)
    # With another view the editor would show no page.
    views = etree.parse(str(target)).getroot().findall("{%s}namedview" % SODIPODI)
    assert [view.get("id") for view in views] == ["own"]


def test_the_extension_replaces_nothing_that_was_drawn(tmp_path, monkeypatch, capfd):
    extension = loaded_extension(monkeypatch)
    drawn, target = tmp_path / "drawn.svg", tmp_path / "out.svg"
    drawn.write_text('<svg xmlns="http://www.w3.org/2000/svg"><path d="M 0,0 H 9"/></svg>')

    with pytest.raises(SystemExit):
        extension().run(["--file=" + str(PDF), "--output=" + str(target), str(drawn)])

    assert "new document" in capfd.readouterr().err
    assert not target.exists()


def loaded_extension(monkeypatch):
    pytest.importorskip("inkex", reason="inkex is not installed")
    monkeypatch.syspath_prepend(str(ROOT / "extensions"))
    file = ROOT / "extensions" / "sew_import.py"
    spec = importlib.util.spec_from_file_location("sew_import", str(file))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.SewImport


# -- scenes whose truth is known, by producers that know nothing of sewkit ----------------


def check_scene(printed, made, close=CLOSE, whole=None):
    """At least ``whole`` outlines (all, if nothing is said) lie on their truth; gives the import."""
    shapely = pytest.importorskip("shapely")
    brought = find("import").function(printed)
    found = [
        (one.size, shapely.LinearRing(flatten(one.path, 1e-3)))
        for piece in brought.pattern.pieces
        for one in piece.outlines
    ]
    good, worst = 0, []
    shift = None
    for truth in made.outlines:
        ring = shapely.LinearRing(flatten(truth.path, 1e-3))
        shift = shift or _shift(ring, [one for size, one in found if size == truth.size], shapely)
        moved = shapely.affinity.translate(ring, *shift) if shift else ring
        best = min((moved.hausdorff_distance(one) for size, one in found if size == truth.size), default=1e9)
        good += best <= close
        worst.append((round(best, 4), truth.piece, truth.size))
    assert good >= (len(made.outlines) if whole is None else whole), sorted(worst)[-5:]
    return brought


def _shift(ring, others, shapely):
    """The move (mm) of a ring on the one of its size that is just as large; None if there is none."""
    import shapely.affinity  # noqa: F401

    box = ring.bounds
    for one in others:
        other = one.bounds
        sizes = (other[2] - other[0] - box[2] + box[0], other[3] - other[1] - box[3] + box[1])
        if max(map(abs, sizes)) < CLOSE_DASHES:
            return other[0] - box[0], other[1] - box[1]
    return None


LAYOUTS = {
    "one sheet": lambda made: pages.single(made),
    "cut tiles": lambda made: pages.tiled(made, "cut"),
    "cut tiles that overlap": lambda made: pages.tiled(made, "cut", 10.0),
    "clipped tiles that overlap": lambda made: pages.tiled(made, "clip", 10.0),
    "all of it on every page": lambda made: pages.tiled(made, "poster"),
}


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("told_by", ["dashes", "colours", "widths", "nothing"])
def test_sizes_told_by_look_or_by_nothing(layout, told_by):
    made = scene(told_by=told_by)

    check_scene(LAYOUTS[layout](made).printed, made)


@pytest.mark.parametrize("layout", ["one sheet", "cut tiles", "clipped tiles that overlap"])
def test_a_fold_edge_drawn_once_is_part_of_every_size(layout):
    made = scene(shared="once")

    check_scene(LAYOUTS[layout](made).printed, made)


@pytest.mark.parametrize("name", producers.PRODUCERS)
@pytest.mark.parametrize("layout", ["one sheet", "cut tiles"])
def test_every_producer(name, layout):
    made = scene(told_by="dashes")
    printed = read_pages(io.BytesIO(producers.PRODUCERS[name](LAYOUTS[layout](made).printed)))
    dashes_apart, rounds = name == "skia", name == "fpdf2"  # two decimals of a point are 0.0035 mm

    close = CLOSE_DASHES if dashes_apart else 2 * CLOSE if rounds else CLOSE
    check_scene(printed, made, close, 12 if dashes_apart else None)


@pytest.mark.parametrize("layout", ["one sheet", "cut tiles"])
def test_dashes_that_came_apart(layout):
    """Every dash a stroke of its own: what was measured to be possible is 12 of 15 whole."""
    made = scene(told_by="dashes")
    dashes = (
        pages.single(made, "curved") if layout == "one sheet" else pages.tiled(made, "cut", 0.0, "curved")
    )

    check_scene(dashes.printed, made, CLOSE_DASHES, 12)


def test_a_layer_that_is_switched_off_comes_in_hidden():
    made = scene(layers=True, hidden=["Size 38"])
    brought = check_scene(pages.single(made).printed, made)

    root = master(brought).getroot()
    hidden = [e.get("id") for e in root.iter("{*}g") if "display:none" in (e.get("style") or "")]
    assert {"front-size-38", "back-size-38", "sleeve-size-38"} <= set(hidden)


# -- what the person may say ---------------------------------------------------------------


def test_only_some_sizes(tmp_path):
    made = scene()
    brought = find("import").function(pages.single(made).printed, only_sizes="38 42")

    assert brought.pattern.sizes == ("38", "42")
    with pytest.raises(InputError, match="99"):
        find("import").function(pages.single(made).printed, only_sizes="99")


def test_a_corrected_size_table_is_taken():
    made = scene()
    brought = find("import").function(pages.single(made).printed)
    key = next(group.key for group in brought.grouping.groups if group.size == "36")

    again = find("import").function(pages.single(made).printed, groups=key + "=XS")

    assert "XS" in again.pattern.sizes and "36" not in again.pattern.sizes
    with pytest.raises(InputError):
        find("import").function(pages.single(made).printed, groups="nonsense")


def test_a_known_length_scales_everything():
    """A sheet printed at 97 % and a line known to be 100: 100/97 times as large, by definition."""
    from sewkit.sheet.scale import scaled

    made = scene()
    small = scaled(pages.single(made).printed, 0.97, 0.97)

    brought = find("import").function(small, known="100mm=97.0")

    truth = made.outline("Front", "40").path.nodes
    sizes = [np.ptp(one.path.nodes, axis=0) for p in brought.pattern.pieces for one in p.outlines]
    assert min(np.abs(size - np.ptp(truth, axis=0)).max() for size in sizes) < CLOSE


def test_two_squares_that_agree_correct_the_scale_and_say_so():
    from sewkit.sheet.scale import scaled

    made = scene()
    small = scaled(pages.single(made).printed, 0.97, 0.97)

    brought = check_scene(small, made)

    assert any("1.030928" in finding.text for finding in brought.report.findings)
    kept = find("import").function(small, scale_found="keep")
    assert any(f.where == "scale" and f.level >= Level.WARN for f in kept.report.findings)


def test_a_declared_grid_places_the_pages():
    made = scene()
    tiled = pages.tiled(made, "cut", marks=False)

    brought = find("import").function(tiled.printed, columns=3, trim=10.0)

    places = {(one.page, one.column, one.row) for one in brought.joined.placed}
    assert len(places) == 9 and {column for _, column, _ in places} == {1, 2, 3}


# -- the command ---------------------------------------------------------------------------


def test_a_dry_run_writes_no_drawing(tmp_path, capsys):
    target = tmp_path / "master.svg"

    assert main(["import", str(PDF), "-o", str(target), "--dry-run"]) == 0

    assert not target.exists()
    assert "3 pieces in 8 sizes" in capsys.readouterr().err


def test_pages_can_be_chosen(tmp_path, capsys):
    assert main(["import", str(PDF), "--pages", "2-3", "--dry-run"]) == 0
    assert "2 pages" in capsys.readouterr().err
    assert main(["import", str(PDF), "--pages", "99", "--dry-run"]) == 2
    assert main(["import", str(PDF), "--pages", "two", "--dry-run"]) == 2


def test_a_size_table_goes_out_and_comes_back(imported, tmp_path, capsys):
    table, target = tmp_path / "sizes.csv", tmp_path / "master.svg"
    text = imported["sizes.csv"].read_text(encoding="utf-8")
    key = next(row.split(",")[0] for row in text.splitlines() if ",Size 8," in row)
    table.write_text("key,size\n{},XXL\n".format(key), encoding="utf-8")

    assert main(["import", str(PDF), "-o", str(target), "--table-from", str(table), "--quiet"]) == 0

    assert ("back", "XXL") in outlines_of(target) and ("back", "8") not in outlines_of(target)


def test_an_import_that_is_not_first_is_told(tmp_path):
    load()
    steps = [RecipeStep(Step(find("walk"), {})), RecipeStep(Step(find("import"), {}))]

    with pytest.raises(InputError, match="first"):
        run_job(str(TRUTH), steps)


def test_a_pdf_where_a_drawing_is_wanted_is_told(tmp_path, capsys):
    assert main(["walk", str(PDF)]) == 2

    assert "sewkit import" in capsys.readouterr().err


def test_a_drawing_where_a_pdf_is_wanted_is_told(tmp_path, capsys):
    target = tmp_path / "out.svg"

    assert main(["import", str(TRUTH), "-o", str(target)]) == 2

    assert "Traceback" not in capsys.readouterr().err and not target.exists()
