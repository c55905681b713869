"""Every operation on everything that a drawing may hold: a right answer or one sentence."""

import io
import sys

import numpy as np
import pytest

from sewkit.errors import SewkitError
from sewkit.files.svg import Drawing, open_drawing, read_tree
from sewkit.operations import load

# An import works on pages, not on a drawing; tests/test_import.py is about it.
OPERATIONS = [one for one in load() if not one.takes_pages]

SVG = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" xmlns:sewkit="urn:sewkit:1" '
    'width="600mm" height="600mm" viewBox="0 0 600 600">{}</svg>'
)


def path(d, name="a", more=""):
    return '<path id="{}" d="{}" {}/>'.format(name, d, more)


def piece(name, sizes, extra="", edges="x y z"):
    lines = "".join(
        '<path id="{0}-{1}" sewkit:role="seam-line" sewkit:size="{1}" sewkit:edges="{2}" d="{3}"/>'.format(
            name, size, edges, d
        )
        for size, d in sizes.items()
    )
    return '<g id="{0}" sewkit:piece="{0}" {1}>{2}</g>'.format(name, extra, lines)


TRIANGLE = "M 20,20 H 220 L 120,200 Z"
OTHER = "M 10,15 H 230 L 120,215 Z"
NEST = {"1": TRIANGLE, "2": OTHER}

CONTENT = {
    "nothing": "",
    "one triangle": path(TRIANGLE),
    "two triangles": path(TRIANGLE) + path(OTHER, "b"),
    "three triangles": path(TRIANGLE) + path(OTHER, "b") + path("M 0,0 H 240 L 120,230 Z", "c"),
    "tiny": path("M 10,10 h 0.5 l -0.25,0.5 Z") + path("M 10,10 h 0.6 l -0.3,0.6 Z", "b"),
    "huge": path("M 0,0 H 50000 L 20000,50000 Z") + path("M 0,0 H 50100 L 20000,50100 Z", "b"),
    "far away": path("M 1e7,1e7 h 100 l -50,100 Z") + path("M 1e7,1e7 h 110 l -50,110 Z", "b"),
    "segments of no length": path("M 20,20 L 20,20 H 220 H 220 L 120,200 Z L 20,20") + path(OTHER, "b"),
    "nodes twice": path("M 20,20 H 120 L 120,20 120,20 H 220 L 120,200 120,200 Z") + path(OTHER, "b"),
    "one point": path("M 20,20") + path("M 20,20 Z", "b"),
    "points on one spot": path("M 20,20 L 20,20 20,20 Z") + path("M 5,5 C 5,5 5,5 5,5 Z", "b"),
    "to and fro": path("M 20,20 H 220 H 20 Z") + path(OTHER, "b"),
    "handles of no length": path("M 20,20 C 20,20 220,20 220,20 C 220,20 120,200 120,200 Z")
    + path(OTHER, "b"),
    "open lines": path("M 20,20 C 80,60 140,60 220,20") + path("M 20,30 C 80,70 140,70 230,30", "b"),
    "open outline": path("M 20,20 H 220 L 120,200 L 20,24") + path(OTHER, "b"),
    "touching itself": path("M 20,20 H 220 L 120,20 L 120,200 Z") + path(OTHER, "b"),
    "crossing itself": path("M 20,20 L 220,220 V 20 L 20,220 Z") + path(OTHER, "b"),
    "a circle": '<circle id="a" cx="100" cy="100" r="60"/><circle id="b" cx="100" cy="100" r="70"/>',
    "lines across": path(TRIANGLE) + path("M 0,80 H 300", "b") + path("M 0,110 L 300,120", "c"),
    "a piece and a line across": piece("front", NEST).replace(
        "</g>", '<path id="a" sewkit:role="level" sewkit:name="waist" d="M 0,90 H 300"/></g>'
    )
    + path("M 0,120 H 300", "b"),
    "darts": path("M 20,20 H 220 V 80 L 120,90 L 220,100 V 200 H 20 Z")
    + path("M 100,200 L 110,120 L 121,200", "b")
    + piece("front", NEST).replace(
        "</g>", '<path id="c" sewkit:role="dart" d="M 110,20 L 120,80 L 128,20"/></g>'
    ),
    "one curve all round": path("M 100,20 C 300,20 -100,220 100,20 Z")
    + path("M 100,10 C 320,10 -120,240 100,10 Z", "b"),
    "several lines in one path": path(TRIANGLE + " M 300,300 h 50 v 50 Z"),
    "no number": path("M 20,20 L NaN,4 L 120,200 Z") + path("M 20,20 L 1e999,4 Z", "b"),
    "no path": path("hello"),
    "an empty path": path(""),
    "a path effect": path(TRIANGLE, "a", 'inkscape:path-effect="#e" inkscape:original-d="M 0,0 H 9"'),
    "a picture": '<image id="a" x="0" y="0" width="50" height="50" xlink:href="cloth.png"/>',
    "words": '<text id="a" x="10" y="10">front</text>',
    "a clone": '<path id="o" d="{}"/><use id="a" xlink:href="#o" x="5"/>'.format(TRIANGLE),
    "squashed flat": '<g transform="scale(1,0)">{}</g>'.format(path(TRIANGLE)),
    "an empty piece": '<g id="front" sewkit:piece="front"/>',
    "a nest": piece("front", NEST, 'sewkit:sewn="x=back/x"') + piece("back", NEST),
    "a nest with odd names": piece("front", NEST, 'sewkit:folds="nowhere" sewkit:sewn="q=back/x"')
    + piece("back", {"1": TRIANGLE}),
    "guesses": piece("front", NEST, 'sewkit:guess="0.9"').replace(
        "</g>",
        '<path id="a" sewkit:role="grain" sewkit:guess="0.8" d="M 120,40 V 90"/>'
        '<path id="b" sewkit:role="fold-mark" sewkit:guess="x" d="M 60,20 V 40 H 160 V 20"/>'
        '<path id="c" sewkit:role="notch" sewkit:at="nowhere+1" sewkit:guess="1e999" d=""/></g>',
    ),
    "names that no longer fit": piece("front", NEST, edges="x y") + piece("back", NEST),
    "two pieces of one name": piece("front", NEST) + piece("front", NEST).replace('id="front', 'id="other'),
    "edges named alike": piece("front", NEST, edges="x x x"),
    "a spike": path("M 0,0 L 400,1 L 0,2 Z") + path("M 0,0 L 410,1 L 0,3 Z", "b"),
    "many corners": path(
        "M 0,0 " + " ".join("l {},{} l 4,4".format(4, -4) for _ in range(25)) + " v 200 H 0 Z"
    ),
}

# Sheets that a person might keep.
PEOPLE = "who,chest,waist,height\na,96,90,180\nb,101,88,170\n"
CHART = "size,chest,waist\n1,92,86\n2,100,94\n"

# What a person might type, each on every drawing.
VALUES = {
    "allowance": [
        {},
        {"width": 0.0},
        {"width": 300.0},
        {"action": "remove"},
        {"action": "change", "old_width": 5.0},
        {"corners": "blunt", "edges": {"1": 20.0, "3": 5.0}},
        {"corners": "square", "mitre_limit": 1.0, "hems": "2", "folds": "1"},
        {"corners": "turned-back", "action": "remove", "width": 3.0},
    ],
    "blend": [
        {},
        {"edge": "1", "until": "100mm"},
        {"edge": "x", "first": "1", "then": "2", "until": "100mm"},
        {"edge": "y", "first": "2", "then": "1", "custom": "short", "measure": "grain", "lead": 20.0},
        {"edge": "1", "lead": 0.0, "measure": "grain", "share": 40.0},
        {"edge": "x", "first": "1", "then": "2 1", "until": "80mm"},
        {"edge": "2", "until": "waist"},
    ],
    "lengthen": [
        {},
        {"amount": -1000.0},
        {"at": "waist", "amount": 1000.0, "show": True},
        {"at": "waist+20mm, waist/hip", "each": {"waist": 3.0}, "share": "even"},
        {"measured": {"chest/waist": 300.0}, "follow": False},
        {"height": 1800.0},
        {"height": 1800.0, "drafted": 1680.0},
    ],
    "spread": [
        {},
        {"edge": "1", "hinge": "2", "show": True},
        {"edge": "x", "hinge": "y", "slashes": 5, "amount": -200.0},
        {"edge": "2", "hinge": "1", "way": "parallel", "redraw": "straight"},
        {"edge": "1", "hinge": "3", "ask": "total", "slashes": 0, "amount": 1000.0},
        {"edge": "y", "hinge": "z", "ask": "angle", "angle": 90.0, "at": "30% 1in"},
        {"edge": "x", "hinge": "x"},
    ],
    "project": [
        {"pixels": "1280x720", "field": 900.0, "overlap": 20.0, "lines": "seam"},
        {"measured": 480.0, "mirrored": True, "grain": "across", "weight": 4.0, "person": "P03"},
    ],
    "print": [
        {"lay": "as-drawn", "turn": "portrait", "front": False},
        {"paper": "roll 24in", "lines": "cut", "oversize": "userunit", "lay": "packed-grain"},
    ],
    "darts": [
        {},
        {"action": "hide"},
        {"action": "check"},
        {"action": "cut"},
        {"action": "cut", "dart": "2"},
        {"action": "name", "dart": "1", "called": "bust-dart"},
        {"action": "name", "dart": "x", "called": "a/b"},
    ],
    "dart-add": [
        {},
        {"edge": "1", "width": 300.0},
        {"edge": "x", "at": "30%", "angle": 120.0, "length": 500.0, "way": "grain"},
        {"edge": "2", "keep": "3", "length": 20.0, "width": 5.0, "called": "dart"},
        {"edge": "y", "to": "apex"},
        {"kind": "inside", "at": "waist", "across": 0.0},
    ],
    "dart-change": [
        {},
        {"dart": "1", "amount": -500.0},
        {"dart": "dart", "what": "angle", "degrees": 45.0, "given": "by"},
        {"what": "length", "amount": 500.0, "point": "upper"},
        {"dart": "x", "what": "point", "amount": 0.0, "pivot": "apex"},
    ],
    "dart-move": [
        {},
        {"dart": "1", "down": -30.0, "out": 10.0},
        {"dart": "dart", "down": 0.0, "out": 500.0},
        {"down": 0.0},
    ],
    "dart-true": [
        {},
        {"dart": "1", "press": "up", "notches": False, "drill": 0.0},
        {"dart": "dart", "press": "side", "drill": 100.0},
        {"dart": "x"},
    ],
    "dart-turn": [
        {},
        {"dart": "1", "to": "1", "at": "0mm"},
        {"dart": "dart", "to": "x", "share": 50.0, "show": True},
        {"to": "y z", "at": "30% 60%", "shares": "60 40", "back_off": 20.0},
        {"dart": "1", "to": "2", "share": 0.0},
        {"to": "dart", "called": "a/b"},
        {"gape": "1", "to": "2", "amount": 5.0},
        {"gape": "x", "to": "dart", "gape_at": "20%", "amount": 300.0},
    ],
    "dart-into": [
        {},
        {"into": "gathers", "over": 1.0},
        {"into": "flare", "to": "2"},
        {"into": "pleat", "long": 2000.0},
        {"into": "seam"},
        {"into": "seam", "to": "1"},
        {"into": "seam", "to": "z", "at": "20mm", "called": "panel"},
        {"into": "tuck", "press": "up", "called": "x"},
        {"into": "pleat", "called": "a/b"},
        {"into": "flare", "to": "y", "share": 30.0, "at": "99%"},
    ],
    "smooth": [
        {},
        {"action": "show", "reach": 200.0, "most": 50.0},
        {"what": "kinks", "most": 0.0},
        {"gives": "second", "reach": 5.0, "at": "front"},
    ],
    "wedge": [
        {},
        {"edge": "1", "hinge": "2", "amount": -20.0, "show": True},
        {"edge": "x", "hinge": "y", "at": "30mm", "amount": 300.0},
        {"edge": "y", "hinge": "z", "at": "waist"},
        {"edge": "2", "hinge": "3", "at": "50%", "hinge_at": "10%", "fold": "bent", "amount": -300.0},
    ],
    "facing": [
        {},
        {"edges": "1", "width": 20.0},
        {"edges": "x y", "width": 1000.0},
        {"edges": "1 3", "width": 5.0, "turn": 3.0},
        {"kind": "band", "edges": "1 2", "extension": 10.0},
        {"kind": "band", "edges": "x"},
        {"kind": "lining", "pleat": 20.0, "side": 50.0},
        {"action": "anew"},
        {"action": "free", "edges": "front"},
    ],
    "buttons": [
        {},
        {"edge": "3", "last": 10.0, "draw": "holes", "holes": "vertical"},
        {"edge": "y", "inside": 15.0, "anchors": "waist hip", "partner": "back"},
        {"edge": "3", "count": 3, "diameter": "18L", "wearer": "child"},
        {"diameter": "x"},
    ],
    "dot": [
        {},
        {"edge": "1", "at": "30% 20", "inside": 5.0},
        {"kind": "drill", "dart": "dart", "short": 200.0},
        {"dart": "1", "short": 0.0},
        {"edge": "x", "called": "a/b"},
        {"level": "waist", "across": 2000.0},
        {"action": "remove", "called": "x"},
        {"action": "rename", "called": "x", "new": "y"},
    ],
    "gather": [
        {},
        {"edge": "1", "ratio": 3.0},
        {"edge": "x", "first": "10%", "until": "waist", "to": 20.0},
        {"edge": "2", "kind": "knife", "count": 3, "depth": 5.0},
        {"edge": "y", "kind": "box", "seen": 20.0},
        {"edge": "1", "kind": "remove"},
    ],
    "grain": [
        {},
        {"along": "1", "angle": 45.0, "arrow": "one-way"},
        {"along": "x", "length": 95.0, "folds": False},
        {"line": False},
    ],
    "label": [
        {},
        {"action": "remove"},
        {"who": "P03", "made": "chest 3, waist 5", "date": "May 2026", "version": "2"},
        {"size_cut": "2", "garment": "a" * 200},
    ],
    "sides": [{}, {"drawn": "left", "gap": 1000.0}, {"action": "together"}],
    "unfold": [
        {},
        {"edge": "1"},
        {"edge": "x", "drawn": "right"},
        {"action": "fold"},
        {"action": "fold", "keep": "left", "drop": True},
    ],
    "walk": [{}, {"size_walked": "2"}],
    "measure": [
        {},
        {"size_measured": "2", "body": "chest 96, waist 90 cm"},
        {"levels": "waist hip", "body": "waist", "stretch": 300.0},
        {"body": "hip 40", "openings": {"waist": 0.0, "neck": 600.0, "x": 1.0}, "ease": {"hip": -50.0}},
        {"count": "front=2"},
        {"count": "front=x, back"},
    ],
    "chart": [
        {},
        {"action": "check"},
        {"chart": CHART},
        {"chart": "size"},
        {"chart": "size,chest\n1,nan\n2,x\n", "action": "check"},
    ],
    "fit": [
        {},
        {"measures": "chest 96, waist 90 cm"},
        {"measures": "chest 96, waist 90 cm", "chart": CHART},
        {"measures": "chest 96", "sheet": "chest 90"},
        {"sheet": PEOPLE, "chart": CHART},
        {"sheet": PEOPLE, "chart": CHART, "row": "a", "needs": "full stomach; front length 3", "edge": "x"},
        {"sheet": PEOPLE, "chart": CHART, "row": "b", "exact": True, "beyond": True, "called": "a/b"},
        {"sheet": PEOPLE, "chart": "size", "row": "b"},
        {"sheet": "who", "chart": CHART, "confirm": True, "measured_in": "cm"},
    ],
    "name": [
        {},
        {"called": "front"},
        {"called": "front", "line_sizes": "1 2", "edges": "x y z"},
        {"called": "x", "edges": "x", "folds": "x", "corner": 2},
        {"called": "../x"},
    ],
    "check": [{"notes": True}, {"action": "hide"}, {"action": "keep"}],
    "names": [{}, {"action": "hide"}, {"action": "check"}],
    "notch": [
        {"edge": "x", "at": "30mm 60%"},
        {"edge": "x", "evenly": 3, "form": "cross"},
        {"edge": "x", "at": "20% 70%", "ease": "between", "called": "a/b"},
        {"edge": "1", "at": "-5mm", "count": "3"},
        {"edge": "x", "action": "move", "at": "40%"},
        {"edge": "x", "action": "remove"},
        {"action": "rename"},
        {"action": "change", "form": "wedge-in"},
        {"action": "match"},
        {"action": "settle"},
        {"action": "apart"},
    ],
    "pair": [
        {},
        {"first": "front/x", "second": "back/x"},
        {"first": "+", "second": "/"},
        {"first": "a=b", "second": "front/x"},
    ],
    "roles": [
        {},
        {"action": "hide"},
        {"action": "check"},
        {"action": "confirm", "least": 50.0},
        {"action": "change", "role": "notch"},
        {"action": "change", "role": "fold-mark"},
        {"action": "change", "role": "level", "called": "waist", "line_size": "2"},
        {"action": "change", "role": "grain", "called": "a/b"},
        {"action": "drop"},
    ],
    "scale": [
        {},
        {"action": "change", "is_long": 100.0},
        {"action": "change", "is_long": 30.0, "height": 30.0},
        {"action": "change", "known": "100mm=97.0"},
        {"action": "change", "known": "1=1000"},
        {"action": "check"},
        {"is_long": 150.0},
    ],
    "size": [{}, {"size_kept": "1"}, {"size_kept": "9"}],
}

# What a person might select: nothing, one, two or three things, nodes.
PICKS = {
    "nothing": {},
    "one": {"ids": ["a"]},
    "two": {"ids": ["a", "b"]},
    "three": {"ids": ["a", "b", "c"]},
    "one and two nodes": {"ids": ["a"], "nodes": ["a:0:0", "a:0:1"]},
    "two and a node on each": {"ids": ["a", "b"], "nodes": ["a:0:0", "b:0:1"]},
    "the same node twice": {"ids": ["a", "b"], "nodes": ["a:0:0", "a:0:0"]},
    "a group": {"ids": ["front"]},
    "a line of a nest": {"ids": ["front-1"]},
    "two lines of a nest": {"ids": ["front-1", "front-2"]},
    "nodes of a nest": {"ids": ["front-1", "front-2"], "nodes": ["front-1:0:0", "front-2:0:1"]},
    "a size": {"sizes": ["1"]},
    "a line of a nest and a line": {"ids": ["front-1", "b"]},
}


def usable(picks, content):
    wanted = {word.split(":")[0] for word in picks.get("ids", []) + picks.get("nodes", [])}
    return all('id="{}"'.format(name) in content for name in wanted)


def is_one_sentence(error, told=False):
    """``told``: a finding, which may begin with the name of a piece."""
    text = str(error)
    plain = not any(word in text for word in ("Traceback", "Error", "<", "array(", "numpy", "None", "object"))
    return text.endswith(".") and plain and "\n" not in text and (told or text[0] in "'" + text[0].upper())


def in_turn(values, turn):
    """The usual values, and every fifth of the others; from drawing to drawing they take turns.

    The oldest Python tries every eighth: it calculates alike, and has its own ways elsewhere.
    """
    every = 8 if sys.version_info < (3, 9) else 5
    return values[:1] + [one for number, one in enumerate(values[1:], turn) if number % every == 0]


@pytest.mark.parametrize("title", sorted(CONTENT))
@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_a_right_answer_or_one_sentence(operation, title):
    """On an error the drawing is as it was, byte for byte; else the result can be read again."""
    source = SVG.format(CONTENT[title]).encode()
    before = None
    for turn, (shown, picks) in enumerate(PICKS.items(), sorted(CONTENT).index(title)):
        if not usable(picks, CONTENT[title]):
            continue
        for values in in_turn(VALUES.get(operation.name, [{}]), turn):
            where = "{} {} on {}, {} selected".format(operation.name, values, title, shown)
            try:
                drawing, chosen = open_drawing(io.BytesIO(source), **picks)
            except SewkitError as error:
                assert is_one_sentence(error), "{}: {}".format(where, error)
                break
            before = drawing.as_bytes()
            try:
                outcome = operation.function(drawing.pattern, chosen, **values)
                drawing.put(outcome.pattern)
            except SewkitError as error:
                assert is_one_sentence(error), "{}: {}".format(where, error)
                assert drawing.as_bytes() == before, where
                continue
            except Exception as error:
                raise AssertionError("{}: {!r}".format(where, error)) from error
            check_told(outcome.report, where)
            if outcome.pattern is drawing.pattern and not operation.changes:
                assert drawing.as_bytes() == before, where
            else:
                check_readable(drawing.as_bytes(), source, where)


def check_told(report, where):
    assert report.summary == "" or report.summary.endswith("."), where
    for finding in report.findings:
        assert is_one_sentence(finding.text, True), "{}: {}".format(where, finding.text)


def check_readable(data, source, where):
    """What was written holds only numbers, and reads with no more problems than before."""
    assert b"nan" not in data.replace(b"NaN", b"") and b"inf" not in data, where
    again = Drawing(read_tree(io.BytesIO(data)))
    before = Drawing(read_tree(io.BytesIO(source))).pattern.problems
    known = {p.code for p in before}
    # A line of a piece that could not be read is a bare line: its names are not looked after.
    broken = {p.piece for p in before if not p.healed}
    new = [p.text for p in again.pattern.problems if p.code not in known and p.piece not in broken]
    assert new == [], where
    for one in again.pattern.pieces:
        for outline in one.outlines:
            assert np.isfinite(outline.path.curves).all(), where
            assert sum(e.stop - e.start for e in outline.edges) == len(outline.path), where


def test_the_table_has_values_for_every_operation():
    """A new operation is tried with its defaults; these have been thought about."""
    assert set(VALUES) <= {operation.name for operation in OPERATIONS}
