"""What is printed, through every door: the same bytes as the writer makes of the function's documents."""

import importlib.util
import io
import json
import pathlib
import sys

import pytest
from lxml import etree

import sewkit.operation
from sewkit.batch.one_row import Choices, Garment, Task, make_row
from sewkit.body.body import Body
from sewkit.editor import inx
from sewkit.files.fit_sheet import FitSheet, FitStep, hash_of
from sewkit.files.job import run_job
from sewkit.files.pack import Pack, write_pack
from sewkit.files.pdf_read import read_pages
from sewkit.files.pdf_write import write_pdf
from sewkit.files.print_files import letters_told, printed_files
from sewkit.files.recipe import RecipeStep
from sewkit.files.svg import open_drawing
from sewkit.operation import Count, Outcome, Step, Text, find, operation
from sewkit.operations import load
from sewkit.paper.document import Document, Drawn, Page, Stroke, Words
from sewkit.pattern.chosen import EVERYTHING
from sewkit.report import Report
from tests.files.sheets import BACK, front, svg
from tests.run_command import runner

ROOT = pathlib.Path(__file__).resolve().parent.parent
PIECES = front(group='sewkit:sewn="side=back/side"') + BACK
load()


def page_of(pattern, words=""):
    """A page with all outlines of a pattern where they lie, and some words."""
    strokes = [Stroke(outline.path, 0.3) for piece in pattern.pieces for outline in piece.outlines]
    return Page(600, 600, own=Drawn(tuple(strokes), words=(Words(words or "-", (10, 590), 5),)))


@pytest.fixture
def proof():
    """An operation that prints as many documents as are wanted; a real one may print only one."""

    @operation(
        title="Proof",
        menu="Paper",
        select="Select nothing.",
        example="sewkit proof",
        changes=False,
        prints=True,
    )
    def proof(
        pattern,
        chosen=EVERYTHING,
        count: Count("Count", "of documents", 0, 9) = 1,
        paper: Text("Paper", "") = "a4",
        date: Text("Date", "") = "",
    ):
        """Print every outline."""
        names = [paper, "roll", "roll"][:count]
        documents = tuple(Document(name, "Proof", (page_of(pattern, date),)) for name in names)
        return Outcome(pattern, Report("{} pages.".format(count)), documents)

    yield find("proof")
    sewkit.operation._REGISTER.pop("proof")


@pytest.fixture
def drawing(tmp_path):
    file = tmp_path / "in" / "drawing.svg"
    file.parent.mkdir()
    file.write_text(svg(PIECES), encoding="utf-8")
    return file


@pytest.fixture
def run(tmp_path, monkeypatch, capfd):
    """Run a command in an empty folder; gives status, both outputs and the files made."""
    folder = tmp_path / "out"
    folder.mkdir()
    monkeypatch.chdir(str(folder))
    go = runner(folder, capfd)

    def unwrapped(*words):
        status, out, err, files = go(*words)
        return status, out, " ".join(err.split()), files

    return unwrapped


def by_function(name, drawing, **values):
    """The bytes of what the Python function prints."""
    opened, chosen = open_drawing(str(drawing))
    one = find(name)
    pattern = opened.with_beside(opened.pattern) if one.beside else opened.pattern
    return [write_pdf(document) for document in one.function(pattern, chosen, **values).prints]


def words_on(data):
    return " ".join(words.text for page in read_pages(io.BytesIO(data)).pages for words in page.words)


# -- the command ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [one.name for one in load() if one.prints])
def test_the_command_writes_what_the_function_gives_and_leaves_the_drawing_alone(name, drawing, run):
    before = drawing.read_bytes()

    status, out, err, files = run(name, drawing, "-o", "pieces.pdf", "--date", "3 May")

    assert (status, out, files) == (0, "", ["pieces.pdf"]), err
    assert [pathlib.Path("pieces.pdf").read_bytes()] == by_function(name, drawing, date="3 May")
    assert "3 May" in words_on(pathlib.Path("pieces.pdf").read_bytes())
    assert err and drawing.read_bytes() == before


def test_several_documents_get_their_names_behind_it(proof, drawing, run):
    status, _, err, files = run("proof", drawing, "-o", "pieces.pdf", "--count", "3")

    assert status == 0, err
    assert files == ["pieces-a4.pdf", "pieces-roll-2.pdf", "pieces-roll.pdf"]


def test_a_dry_run_tells_and_writes_nothing(proof, drawing, run):
    status, out, err, files = run("proof", drawing, "--dry-run", "--count", "2")

    assert (status, files) == (0, [])
    assert "2 pages." in out + err and "nothing was written" in err


def test_standard_output_takes_one_document(proof, drawing, run):
    status, out, _, files = run("proof", drawing, "-o", "-")
    assert (status, out[:8], files) == (0, "%PDF-1.6", [])

    status, out, err, _ = run("proof", drawing, "-o", "-", "--count", "2")
    assert (status, out) == (2, "") and "takes one" in err


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ([], "Where shall the PDF go?"),
        (["-o", "pieces.svg"], "ends in .pdf"),
        (["-o", "pieces"], "ends in .pdf"),
        (["-o", "nowhere/pieces.pdf"], "no folder"),
    ],
)
def test_what_cannot_be_written_is_one_sentence_and_leaves_nothing(proof, drawing, run, more, told):
    status, out, err, files = run("proof", drawing, *more)

    assert (status, out, files) == (2, "", [])
    assert told in err


def test_what_was_read_is_never_printed_over(proof, drawing, run):
    (pathlib.Path("p.pdf")).write_bytes(drawing.read_bytes())
    (pathlib.Path("p-roll.pdf")).write_bytes(drawing.read_bytes())

    status, _, err, _ = run("proof", "p.pdf", "-o", "p.pdf")
    assert status == 2 and "never written over" in err
    # Nor is the first of several written where the second may not be.
    status, _, err, files = run("proof", "p-roll.pdf", "-o", "p.pdf", "--count", "2")
    assert status == 2 and "never written over" in err
    assert files == ["p-roll.pdf", "p.pdf"]
    assert pathlib.Path("p.pdf").read_bytes() == drawing.read_bytes()


def test_a_report_is_written_too(proof, drawing, run):
    run("proof", drawing, "-o", "p.pdf", "--report", "p.txt")

    assert "1 pages." in pathlib.Path("p.txt").read_text(encoding="utf-8")


def test_letters_that_no_viewer_has_are_told_once(proof, drawing, run):
    _, _, err, _ = run("proof", drawing, "-o", "p.pdf", "--date", "木曜日", "--count", "2")

    assert err.count("'?' in place of 木, 曜, 日, as in '木曜日'") == 1
    assert (
        letters_told([Document("a4", "", (page_of(open_drawing(str(drawing))[0].pattern, "Łódź ½"),))]) == ()
    )


# -- recipes ----------------------------------------------------------------------------------

needs_toml = pytest.mark.skipif(
    sys.version_info < (3, 11) and importlib.util.find_spec("tomli") is None,
    reason="this Python reads no TOML by itself",
)


@needs_toml
def test_a_recorded_step_prints_beside_the_drawing(proof, drawing, run):
    run("proof", drawing, "-o", "p.pdf", "--count", "2", "--date", "May", "--record", "r.toml")
    run("allowance", drawing, "-o", "a.svg", "--width", "12", "--record", "r.toml")

    status, _, err, files = run("replay", "r.toml", drawing, "-o", "made.svg")

    assert status == 0, err
    assert {"made.svg", "made-a4.pdf", "made-roll.pdf"} < set(files) and "made.pdf" not in files
    assert pathlib.Path("made-a4.pdf").read_bytes() == pathlib.Path("p-a4.pdf").read_bytes()


@needs_toml
def test_a_recipe_that_prints_needs_a_place_for_it(proof, drawing, run):
    pathlib.Path("r.toml").write_text('[[step]]\ndo = "proof"\n', encoding="utf-8")

    for more, told in (([], "Where shall the printed file go?"), (["-o", "-"], "no place beside it")):
        status, out, err, files = run("replay", "r.toml", drawing, *more)
        assert (status, out, files) == (2, "", ["r.toml"]) and told in err
    assert run("replay", "r.toml", drawing, "--dry-run")[0] == 0
    # A single document keeps its name, so that a second step has a place.
    assert run("replay", "r.toml", drawing, "-o", "o.svg")[3] == ["o-a4.pdf", "o.svg", "r.toml"]


def test_a_job_gives_its_documents_in_order(proof, drawing):
    steps = [RecipeStep(Step(proof, {"paper": name})) for name in ("a4", "letter")]

    done = run_job(str(drawing), steps)

    assert [document.name for document in done.prints] == ["a4", "letter"]
    assert list(printed_files("x/pieces.svg", done.prints, beside=True)) == [
        "x/pieces-a4.pdf",
        "x/pieces-letter.pdf",
    ]


# -- packs ------------------------------------------------------------------------------------


def pack(drawing, *steps, **more):
    done = run_job(str(drawing), [])
    sheet = FitSheet("Waistcoat for P02", "P02", steps=tuple(steps))
    return Pack(done, done.report, sheet, "Waistcoat", "size 2", show="The Miser", date="May 2026", **more)


def test_a_pack_is_printed_with_its_labels_and_known_by_its_hash(drawing, tmp_path):
    for name in ("P02", "again"):
        write_pack(tmp_path / name, pack(drawing), {})

    data = (tmp_path / "P02" / "pieces-a4.pdf").read_bytes()
    known = json.loads((tmp_path / "P02" / "pack.json").read_text(encoding="utf-8"))
    assert known["files"]["pieces-a4.pdf"] == hash_of(data)
    assert data == (tmp_path / "again" / "pieces-a4.pdf").read_bytes()
    said = words_on(data)
    assert all(words in said for words in ("Waistcoat", "P02", "The Miser", "May 2026"))
    assert "A4" in (tmp_path / "P02" / "report.txt").read_text(encoding="utf-8")


def test_a_fit_sheet_says_how_its_pack_is_printed(proof, drawing, tmp_path):
    steps = [FitStep(RecipeStep(Step(proof, {"paper": name}))) for name in ("a3", "a0")]
    steps[1] = steps[1]._replace(off=True)

    names = write_pack(tmp_path / "P02", pack(drawing, *steps), {})

    assert [name for name in names if name.endswith(".pdf")] == ["pieces-a3.pdf"]
    # What the step does not say is what the pack knows.
    assert "May 2026" in words_on((tmp_path / "P02" / "pieces-a3.pdf").read_bytes())


def test_a_pack_that_cannot_be_printed_is_a_pack_and_says_so(drawing, tmp_path):
    names = write_pack(tmp_path / "P02", pack(drawing, paper="papyrus"), {})

    assert "pieces.svg" in names and not [name for name in names if name.endswith(".pdf")]
    report = json.loads((tmp_path / "P02" / "report.json").read_text(encoding="utf-8"))
    (told,) = [one for one in report["findings"] if one["code"] == "not-printed"]
    assert "papyrus" in told["text"]
    assert not [name for name in write_pack(tmp_path / "P03", pack(drawing, paper=""), {}) if "pdf" in name]


@needs_toml
def test_a_row_of_a_cast_is_printed_as_its_recipe_says(proof, tmp_path):
    sample = ROOT / "samples" / "waistcoat"
    recipe = '[[step]]\ndo = "proof"\npaper = "a3"\n'
    chart = (sample / "chart.csv").read_text(encoding="utf-8")
    garment = Garment("coat", "Coat", (sample / "master.svg").read_bytes(), chart, recipe)
    body = Body("P02", {"chest": 930.0, "waist": 790.0})

    row = make_row(Task(body, garment, Choices(date="May"), str(tmp_path), "P02"))

    assert row.words == "" and (tmp_path / "P02" / "pieces-a3.pdf").is_file()
    assert not (tmp_path / "P02" / "pieces-a4.pdf").exists()
    assert "May" in words_on((tmp_path / "P02" / "pieces-a3.pdf").read_bytes())


def test_a_paper_that_nobody_knows_is_told_before_anybody_is_fitted(run):
    sample = ROOT / "samples" / "waistcoat"
    words = [sample / "people.csv", sample / "master.svg", "--chart", sample / "chart.csv"]

    status, _, err, files = run("batch", *words, "-o", "cast", "--paper", "papyrus")

    assert (status, files) == (2, []) and "papyrus" in err


# -- the editor -------------------------------------------------------------------------------


@pytest.fixture
def dialog(drawing, tmp_path, capfd):
    """The side of the proof that the editor talks to; gives status, what was said, the drawing."""
    pytest.importorskip("inkex", reason="inkex is not installed")
    from sewkit.editor.host import OperationExtension

    class Proof(OperationExtension):
        runs = "proof"

    def start(*fields):
        target = tmp_path / "drawing-again.svg"
        status = 0
        try:
            Proof().run(["--tab=values", *fields, "--output={}".format(target), str(drawing)])
        except SystemExit as stopped:
            status = stopped.code
        return status, " ".join(capfd.readouterr().err.split()), target

    return start


def test_the_dialog_prints_into_the_file_it_names(proof, dialog, drawing, tmp_path):
    file = tmp_path / "proof.pdf"

    status, said, target = dialog("--print-file={}".format(file))

    assert status == 0 and "1 pages." in said and "Written: {}".format(file) in said
    assert [file.read_bytes()] == by_function("proof", drawing)
    assert target.read_bytes() == drawing.read_bytes()


def test_several_documents_are_written_from_the_dialog_and_named(proof, dialog, tmp_path):
    _, said, _ = dialog("--print-file={}".format(tmp_path / "proof.pdf"), "--count=2", "--paper=a4")

    assert all(str(tmp_path / name) in said for name in ("proof-a4.pdf", "proof-roll.pdf"))
    assert not (tmp_path / "proof.pdf").exists()


def test_without_a_screen_nothing_need_be_said(proof, dialog, tmp_path):
    """A message waits until somebody clicks it away."""
    report = tmp_path / "report.txt"
    more = ("--show-report=false", "--report-file={}".format(report))

    status, said, _ = dialog("--print-file={}".format(tmp_path / "p.pdf"), *more)

    assert (status, said) == (0, "") and (tmp_path / "p.pdf").is_file()
    assert "Written: " in " ".join(report.read_text(encoding="utf-8").split())


def test_a_dialog_without_a_file_or_with_another_kind_is_one_sentence(proof, dialog, tmp_path):
    empty = "{}/".format(tmp_path)  # as the editor passes an empty field
    for field, told in (
        (empty, "No file was named to print into."),
        (str(tmp_path / "p.svg"), "ends in .pdf"),
    ):
        status, said, target = dialog("--print-file={}".format(field))
        assert status and told in said and "Traceback" not in said
        assert not target.exists()


def test_every_dialog_that_prints_asks_for_a_file():
    for one in load():
        fields = {field.get("name"): field for field in etree.fromstring(inx.inx_text(one)).iter("{*}param")}
        assert ("print-file" in fields) == one.prints, one.name
        if one.prints:
            field = fields["print-file"]
            assert (field.get("mode"), field.get("filetypes")) == ("file_new", "pdf")
            assert fields["show-report"].text == "true"
