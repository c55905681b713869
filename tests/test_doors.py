"""One operation through every door: function, command line, recipe, extension script.

The lines must be the same to a billionth of a millimetre.
"""

import importlib.util
import pathlib

import numpy as np
import pytest
from lxml import etree

from sewkit.cli import main
from sewkit.editor import inx
from sewkit.errors import SewkitError
from sewkit.files.job import run_job
from sewkit.files.plain_text import sheet_text
from sewkit.files.recipe import Recipe, RecipeStep, read_recipe, write_recipe
from sewkit.files.svg import open_drawing
from sewkit.operation import Sheet, Step, find
from sewkit.operations import load
from tests.editor.compare import lines_of

ROOT = pathlib.Path(__file__).resolve().parent.parent
MASTER = ROOT / "samples" / "waistcoat" / "master.svg"
BODICE = ROOT / "samples" / "bodice" / "master.svg"
load()

BARE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="800" height="1200">'
    '<g transform="rotate(7) scale(3.7)">'
    '<path id="small" d="M 20,20 H 120 C 150,90 130,130 140,170 H 20 Z"/>'
    '<path id="large" d="M 15,18 H 126 C 158,92 137,131 149,176 H 15 Z"/></g></svg>'
)

# A bare outline, and a line drawn across it.
LINED = BARE.replace("</g>", '<path id="across" d="M 10,95 H 165"/></g>')

GUESSED = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" width="300mm" height="300mm" '
    'viewBox="0 0 300 300"><g id="front" sewkit:piece="front" sewkit:guess="0.95" '
    'transform="rotate(7 100 100)">'
    '<path id="line" sewkit:role="seam-line" d="M 20,20 H 120 V 220 H 20 Z"/>'
    '<path id="fold" sewkit:role="fold-mark" sewkit:guess="0.9" d="M 20,60 H 34 V 160 H 20"/>'
    '<path id="straight" sewkit:role="grain" sewkit:guess="0.7" d="M 80,40 V 200"/>'
    '<path id="tick" sewkit:role="inner-line" sewkit:guess="0.3" d="M 120,100 H 126"/></g>'
    '<path id="own" d="M 70,16 V 26"/></svg>'
)

# A piece with a drawn dart, and a bare outline with the two legs of one.
DARTED = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" width="700mm" height="300mm" '
    'viewBox="0 0 700 300"><g id="front" sewkit:piece="front" sewkit:allowance="10" '
    'transform="rotate(7 100 100)">'
    '<path id="line" sewkit:role="seam-line" sewkit:edges="top side hem centre" '
    'd="M 20,20 H 180 V 220 H 20 Z"/>'
    '<path id="dart" sewkit:role="dart" d="M 90,220 L 100,120 110,220"/>'
    '<path id="cut" sewkit:role="cut-line" d="M 10,10 H 190 V 230 H 10 Z"/></g>'
    '<path id="plain" d="M 320,20 H 480 V 220 H 320 Z"/>'
    '<path id="leg" d="M 478,100 L 400,112"/><path id="other" d="M 484,122 L 400,112"/></svg>'
)

# A bare outline with a dart cut into its right edge.
CUT_IN = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">'
    '<path id="block" transform="rotate(7)" d="M 20,20 H 220 V 90 L 120,110 L 220,130 V 300 H 20 Z"/></svg>'
)

# Operation, what is picked, values as a person would type them.
CASES = {
    "allowance": (
        "master",
        {"pieces": ["front"], "sizes": ["3"]},
        {"width": "12", "edges": "side=25 hem=1.5in", "rebuild": "no"},
    ),
    "print": (
        "master",
        {"pieces": ["front"], "sizes": ["3"]},
        {"paper": "Letter", "overlap": "1/2in", "person": "P03", "weight": "fine"},
    ),
    "project": (
        "master",
        {"pieces": ["front"], "sizes": ["3"]},
        {"field": "70cm", "measured": "11 3/4in", "mirrored": "yes", "grain": "along", "colour": "green"},
    ),
    "print on a bare line": ("bare", {"ids": ["small"]}, {"paper": "roll 36in", "lay": "as-drawn"}),
    "allowance on a bare line": (
        "bare",
        {"ids": ["small"]},
        {"width": "5/8in", "edges": "2=25mm", "corners": "blunt"},
    ),
    "allowance off": ("bare", {"ids": ["small"]}, {"action": "remove", "width": "0.5cm"}),
    "blend": ("master", {}, {"first": "3", "then": "5", "edge": "side", "until": "waist", "called": "P03"}),
    "blend by nodes": (
        "bare",
        {"ids": ["small", "large"], "nodes": ["small:0:1", "large:0:2"]},
        {"share": "60", "measure": "grain"},
    ),
    "lengthen": ("master", {"sizes": ["3"]}, {"amount": "1in", "at": "chest/waist", "show": "yes"}),
    "lengthen at several lines": (
        "master",
        {},
        {"amount": "-30", "at": "waist+30mm", "each": "chest/waist=-1cm", "share": "even", "follow": "no"},
    ),
    "lengthen at a drawn line": ("lined", {"ids": ["small", "across"]}, {"amount": "3/4in"}),
    "spread": (
        "master",
        {"pieces": ["back"], "sizes": ["3"]},
        {"edge": "hem", "hinge": "shoulder", "slashes": "2", "ask": "total", "amount": "40", "show": "yes"},
    ),
    "spread at a drawn line": (
        "lined",
        {"ids": ["small", "across"]},
        {"way": "parallel", "amount": "5/8in"},
    ),
    "darts": ("darted", {}, {}),
    "darts cut in": ("darted", {"pieces": ["front"]}, {"action": "cut"}),
    "darts of two lines": ("darted", {"ids": ["plain", "leg", "other"]}, {"action": "cut"}),
    "darts named": ("darted", {}, {"action": "name", "dart": "dart", "called": "waist-dart"}),
    "dart-add": (
        "bodice",
        {"pieces": ["back"]},
        {"edge": "waist", "at": "70%", "width": "1/2in", "length": "9cm", "keep": "side", "called": "second"},
    ),
    "dart-add on a bare line": ("bare", {"ids": ["large"]}, {"edge": "3", "angle": "8", "length": "1 1/2in"}),
    "dart-add with two points": (
        "bodice",
        {"pieces": ["front"], "sizes": ["B"]},
        {"kind": "inside", "at": "bust+60mm", "across": "60", "width": "12", "length": "5cm", "below": "5cm"},
    ),
    "dart-change": (
        "bodice",
        {"pieces": ["front"]},
        {"dart": "waist-dart", "given": "by", "amount": "-3/8in"},
    ),
    "dart-change on a bare line": ("cut-in", {"ids": ["block"]}, {"what": "angle", "degrees": "15"}),
    "dart-change of two lines": (
        "darted",
        {"ids": ["plain", "leg", "other"]},
        {"what": "length", "amount": "6cm"},
    ),
    "dart-move": ("bodice", {"pieces": ["front"]}, {"dart": "waist-dart", "down": "0", "out": "-5/8in"}),
    "dart-move on a bare line": ("cut-in", {"ids": ["block"]}, {"down": "3cm"}),
    "dart-true": (
        "darted",
        {},
        {"dart": "dart", "press": "side", "notches": "no", "drill": "1/4in"},
    ),
    "dart-true on a bare line": ("cut-in", {"ids": ["block"]}, {"press": "up"}),
    "dart-true of two lines": ("darted", {"ids": ["plain", "leg", "other"]}, {"drill": "0"}),
    "dart-turn": (
        "bodice",
        {"pieces": ["front"], "sizes": ["B"]},
        {"dart": "bust-dart", "to": "shoulder waist-dart", "shares": "30 70", "back-off": "1 1/4in"},
    ),
    "dart-turn on a bare line": ("cut-in", {"ids": ["block"]}, {"to": "1", "at": "40%", "share": "50"}),
    "dart-turn an edge": (
        "bodice",
        {"pieces": ["front"], "sizes": ["B"]},
        {"gape": "neck", "gape-at": "2in", "amount": "3/8in", "dart": "bust-dart", "show": "yes"},
    ),
    "dart-into": ("darted", {"pieces": ["front"]}, {"into": "ease", "over": "8cm"}),
    "dart-into gathers of two lines": (
        "darted",
        {"ids": ["plain", "leg", "other"]},
        {"into": "gathers", "ratio": "3"},
    ),
    "dart-into pleat": ("darted", {"pieces": ["front"]}, {"into": "pleat", "press": "side"}),
    "dart-into tuck of two lines": (
        "darted",
        {"ids": ["plain", "leg", "other"]},
        {"into": "tuck", "long": "1 1/4in"},
    ),
    "dart-into seam": ("darted", {"pieces": ["front"]}, {"into": "seam", "to": "top", "at": "40%"}),
    "dart-into seam of a nest": (
        "bodice",
        {"pieces": ["front"]},
        {"into": "seam", "dart": "bust-dart", "to": "waist-dart", "called": "princess", "apart": "4cm"},
    ),
    "dart-into seam of two lines": (
        "darted",
        {"ids": ["plain", "leg", "other"]},
        {"into": "seam", "to": "4"},
    ),
    "dart-into flare": ("darted", {"pieces": ["front"]}, {"into": "flare", "to": "top", "share": "50"}),
    "unfold": ("bodice", {"pieces": ["front"]}, {"edge": "centre-front", "drawn": "right"}),
    "unfold a bare line": ("bare", {"ids": ["small"]}, {"edge": "4"}),
    "unfold by nodes": ("bare", {"ids": ["small"], "nodes": ["small:0:0", "small:0:3"]}, {}),
    "sides": ("master", {"pieces": ["front"]}, {"drawn": "left", "gap": "1 1/2in"}),
    "smooth": (
        "bodice",
        {"sizes": ["B"]},
        {"at": "back/shoulder front/neck", "reach": "1in", "gives": "first"},
    ),
    "smooth on a bare line": ("bare", {"ids": ["large"]}, {"what": "kinks", "most": "5"}),
    "wedge": (
        "master",
        {"pieces": ["back"], "sizes": ["3"]},
        {"edge": "centre-back", "hinge": "side", "at": "waist", "amount": "-12"},
    ),
    "wedge at a drawn line": ("lined", {"ids": ["small", "across"]}, {"amount": "4", "fold": "bent"}),
    "measure": (
        "master",
        {"sizes": ["3"]},
        {"body": "chest 96, waist 35 1/2in", "ease": "waist=8cm", "openings": "waist=22in", "stretch": "10"},
    ),
    "chart": ("master", {}, {"chart": "CHART"}),
    "fit": (
        "master",
        {},
        {"sheet": "PEOPLE", "row": "P07", "chart": "CHART", "called": "tall"},
    ),
    "fit by typed measures": (
        "master",
        {},
        {"measures": "chest 37.5, waist 35 1/2 in", "chart": "CHART", "lengths": "no"},
    ),
    "buttons": (
        "master",
        {"pieces": ["front"]},
        {"edge": "front-edge", "inside": "3/4in", "anchors": "waist", "diameter": "24L", "worked": "no"},
    ),
    "buttons on a bare line": ("bare", {"ids": ["small"]}, {"edge": "4", "count": "3", "last": "2cm"}),
    "dot": (
        "master",
        {"pieces": ["front"]},
        {"edge": "side", "at": "40% 120", "inside": "5/8in", "called": "pocket"},
    ),
    "dot at a dart": (
        "bodice",
        {"pieces": ["front"], "sizes": ["B"]},
        {"dart": "bust-dart", "kind": "drill"},
    ),
    "gather": ("master", {"pieces": ["back"], "sizes": ["5"]}, {"edge": "hem", "to": "6in"}),
    "gather pleats on a bare line": (
        "bare",
        {"ids": ["small"]},
        {"edge": "1", "kind": "knife", "count": "3", "depth": "1cm", "long": "3cm"},
    ),
    "grain": (
        "master",
        {"pieces": ["back"], "sizes": ["5"]},
        {"along": "centre-back", "angle": "45", "arrow": "one-way", "length": "65"},
    ),
    "grain on a bare line": ("bare", {"ids": ["small"]}, {"along": "3", "folds": "no"}),
    "label": (
        "master",
        {"sizes": ["5"]},
        {"who": "P03", "made": "chest 3, waist 5", "date": "May 2026", "version": "2"},
    ),
    "label on a bare line": ("bare", {"ids": ["large"]}, {"garment": "Cape"}),
    "walk": ("master", {"sizes": ["3"]}, {}),
    "name": (
        "bare",
        {"ids": ["small"]},
        {"called": "front", "edges": "top side hem centre", "corner": "2", "cut": "2"},
    ),
    "check": ("bodice", {}, {"notes": "yes"}),
    "check kept": ("master", {"pieces": ["front"]}, {"action": "keep"}),
    "names": ("master", {"pieces": ["back"]}, {}),
    "notch": (
        "master",
        {"pieces": ["front"], "sizes": ["3"]},
        {"edge": "side", "at": "60mm -2in", "form": "wedge-out", "called": "a b"},
    ),
    "notch on a bare line": ("bare", {"ids": ["small"]}, {"edge": "2", "evenly": "2", "count": "2"}),
    "facing": ("bodice", {}, {"edges": "front/neck back/neck", "width": "2in", "turn": "1"}),
    "facing on a bare line": ("bare", {"ids": ["small"]}, {"edges": "2", "width": "3cm"}),
    "facing as a band": (
        "bodice",
        {},
        {"kind": "band", "edges": "front/waist back/waist", "extension": "1in", "doubled": "no"},
    ),
    "facing as a lining": ("master", {"pieces": ["back"]}, {"kind": "lining", "pleat": "20", "hem": "3/4in"}),
    "pair": (
        "master",
        {},
        {"first": "front/hem", "second": "back/hem", "direction": "same", "ease-most": "6"},
    ),
    "roles": ("guessed", {}, {"action": "confirm", "least": "80"}),
    "roles of two lines": (
        "guessed",
        {"ids": ["tick", "own"]},
        {"action": "change", "role": "notch", "line-size": "all"},
    ),
    "roles shown": ("guessed", {"pieces": ["front"]}, {}),
    "scale": ("bare", {"ids": ["small"]}, {"action": "change", "is-long": "18 1/2in", "height": "57.5cm"}),
    "scale by words": ("master", {}, {"action": "change", "known": "100mm=97.0"}),
    "size": ("master", {}, {"size-kept": "4"}),
}


# What a door is given for a sheet is the name of its file.
SHEETS = {
    "PEOPLE": str(ROOT / "samples" / "waistcoat" / "people.csv"),
    "CHART": str(ROOT / "samples" / "waistcoat" / "chart.csv"),
}


def operation_of(case):
    return find(case.split(" ")[0])


def source(case, folder):
    if CASES[case][0] == "master":
        return MASTER
    if CASES[case][0] == "bodice":
        return BODICE
    file = folder / "bare.svg"
    texts = {"bare": BARE, "lined": LINED, "guessed": GUESSED, "cut-in": CUT_IN, "darted": DARTED}
    file.write_text(texts[CASES[case][0]], encoding="utf-8")
    return file


def values_of(case):
    operation = operation_of(case)
    kinds = {param.name: param.kind for param in operation.params}
    return {
        key.replace("-", "_"): kinds[key.replace("-", "_")].parse(sheet_text(SHEETS.get(text, text)))
        if text in SHEETS
        else kinds[key.replace("-", "_")].parse(text)
        for key, text in CASES[case][2].items()
    }


def options_of(case):
    given = CASES[case][2].items()
    return ["--{}={}".format(key.replace("_", "-"), SHEETS.get(text, text)) for key, text in given]


def picks_of(case, script=False):
    words = {"ids": "--id", "nodes": "--selected-nodes", "pieces": "--piece", "sizes": "--size"}
    return ["{}={}".format(words[key], name) for key, names in CASES[case][1].items() for name in names]


def subject(case, drawing):
    """What the operation works on: with what lies beside the pieces, if it asks for that."""
    return drawing.with_beside(drawing.pattern) if operation_of(case).beside else drawing.pattern


def by_function(case, folder):
    drawing, chosen = open_drawing(str(source(case, folder)), **CASES[case][1])
    outcome = operation_of(case).function(subject(case, drawing), chosen, **values_of(case))
    if operation_of(case).changes:
        drawing.put(outcome.pattern)
    target = folder / "function.svg"
    drawing.save(str(target))
    return target, outcome.report


def check_same(first, second):
    one, other = lines_of(first), lines_of(second)
    assert set(one) == set(other)
    for name in one:
        assert len(one[name]) == len(other[name]), name
        for a, b in zip(one[name], other[name]):
            assert a.closed == b.closed, name
            np.testing.assert_allclose(a.curves, b.curves, atol=1e-9, rtol=0, err_msg=name)


@pytest.mark.parametrize("case", sorted(CASES))
def test_the_command_line_gives_what_the_function_gives(case, tmp_path, capsys):
    wanted, report = by_function(case, tmp_path)
    target = tmp_path / "cli.svg"
    output = ["-o", str(target)] if operation_of(case).changes else []
    dry = ["--dry-run"] if operation_of(case).prints else []

    status = main(
        [
            operation_of(case).name,
            str(source(case, tmp_path)),
            *picks_of(case),
            *options_of(case),
            *output,
            *dry,
        ]
    )

    told = capsys.readouterr()
    assert status == 0, told.err
    if output:
        check_same(target, wanted)
    else:
        assert report.summary in " ".join(told.out.split())


@pytest.mark.parametrize("case", sorted(CASES))
def test_a_recipe_written_and_read_back_gives_what_the_function_gives(case, tmp_path):
    if case == "walk":
        pytest.skip("walking changes nothing")
    pytest.importorskip("tomllib" if _has_tomllib() else "tomli")
    wanted, report = by_function(case, tmp_path)
    picks = {key: tuple(names) for key, names in CASES[case][1].items()}
    step = RecipeStep(Step(operation_of(case), values_of(case)), **picks)
    file = tmp_path / "recipe.toml"
    file.write_text(write_recipe(Recipe("One step", (step,))), encoding="utf-8")

    done = run_job(str(source(case, tmp_path)), read_recipe(str(file)).steps)

    done.drawing.save(str(tmp_path / "recipe.svg"))
    check_same(tmp_path / "recipe.svg", wanted)
    assert done.report.summary == report.summary


def _has_tomllib():
    return importlib.util.find_spec("tomllib") is not None


def test_the_command_records_the_recipe_that_gives_the_same(tmp_path, capsys):
    pytest.importorskip("tomllib" if _has_tomllib() else "tomli")
    first, second, recipe = (tmp_path / name for name in ("first.svg", "second.svg", "steps.toml"))
    blended = ["blend", str(MASTER), "--first=3", "--then=5", "--edge=side", "--until=waist", "--called=P03"]
    assert main([*blended, "-o", str(first), "--record", str(recipe)]) == 0
    cut = ["allowance", str(first), "--size=P03", "--edges=side=25"]
    assert main([*cut, "-o", str(tmp_path / "third.svg"), "--record", str(recipe)]) == 0

    assert main(["replay", str(recipe), str(MASTER), "-o", str(second)]) == 0

    capsys.readouterr()
    check_same(second, tmp_path / "third.svg")


@pytest.fixture
def script(monkeypatch):
    """The extension script of a case as the editor loads it, in this Python."""
    pytest.importorskip("inkex", reason="inkex is not installed")
    monkeypatch.syspath_prepend(str(ROOT / "extensions"))

    def run(case, *arguments):
        operation = operation_of(case)
        stem = inx.stem(operation)
        spec = importlib.util.spec_from_file_location(stem, str(ROOT / "extensions" / (stem + ".py")))
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        getattr(module, inx.class_name(operation))().run(list(arguments))

    return run


@pytest.mark.parametrize("case", sorted(CASES))
def test_the_extension_script_gives_what_the_function_gives(case, script, tmp_path, capfd):
    picks = CASES[case][1]
    if "pieces" in picks or "sizes" in picks:  # in the editor one clicks on groups and lines
        groups, sizes = picks.get("pieces", []), picks.get("sizes", [])
        lines = ["{}-{}-seam-line".format(piece, size) for piece in groups for size in sizes]
        picks = {"ids": lines or groups}
    drawing, chosen = open_drawing(str(source(case, tmp_path)), **picks)
    outcome = operation_of(case).function(subject(case, drawing), chosen, **values_of(case))
    if operation_of(case).changes:
        drawing.put(outcome.pattern)
    drawing.save(str(tmp_path / "function.svg"))
    target = tmp_path / "script.svg"
    words = {"ids": "--id", "nodes": "--selected-nodes"}
    picked = ["{}={}".format(words[key], name) for key, names in picks.items() for name in names]
    if operation_of(case).prints:
        picked.append("--print-file={}".format(tmp_path / "printed.pdf"))

    script(case, *picked, *options_of(case), "--output={}".format(target), str(source(case, tmp_path)))

    capfd.readouterr()
    wanted, made = lines_of(tmp_path / "function.svg"), lines_of(target)
    assert set(wanted) <= set(made)  # the editor's notes come on top
    for name in wanted:
        for a, b in zip(wanted[name], made[name]):
            np.testing.assert_allclose(a.curves, b.curves, atol=1e-9, rtol=0, err_msg=name)


@pytest.mark.parametrize("operation", load(), ids=lambda operation: operation.name)
def test_an_untouched_dialog_gives_what_a_command_without_options_gives(operation):
    root = etree.fromstring(inx.inx_text(operation))
    fields = {field.get("name"): field for field in root.iter("{*}param")}

    for param in operation.params:
        field = fields[param.option[2:]]
        # A list starts on its first line.
        text = field[0].get("value") if len(field) else field.text or ""
        read = sheet_text(text) if isinstance(param.kind, Sheet) else text
        assert param.kind.parse(read) == param.default, param.name


@pytest.mark.parametrize("word", ["cli", "recipe"])
def test_every_door_says_the_same_sentence(word, tmp_path, capsys):
    wrong = {"first": "3", "then": "9", "edge": "side"}
    drawing, chosen = open_drawing(str(MASTER))
    with pytest.raises(SewkitError) as told:
        find("blend").function(drawing.pattern, chosen, **wrong)

    if word == "cli":
        status = main(
            [
                "blend",
                str(MASTER),
                "-o",
                str(tmp_path / "o.svg"),
                *("--{}={}".format(*w) for w in wrong.items()),
            ]
        )
        assert status == 2
        assert str(told.value) in capsys.readouterr().err
    else:
        with pytest.raises(SewkitError) as again:
            run_job(str(MASTER), [RecipeStep(Step(find("blend"), wrong))])
        assert str(told.value) in str(again.value)
    assert not (tmp_path / "o.svg").exists()


def test_every_operation_is_led_through_every_door():
    """A new operation must be added to the table above, or said here why it cannot be."""
    led = {operation_of(case).name for case in CASES}

    assert {operation.name for operation in load()} - led <= set(NOT_LED)


# An import begins with a PDF; tests/test_import.py leads it through every door.
NOT_LED = ("import",)
