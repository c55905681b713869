"""What counts as a line, how long it is, and what is refused with a reason."""

import gzip
import math

import numpy as np
import pytest

from sewkit.errors import FileError, InputError
from sewkit.files.svg import open_drawing
from sewkit.files.svg_nodes import node_point
from sewkit.files.svg_read import cleaned
from sewkit.files.svg_shapes import drawn_lines
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import signed_area
from tests.files.sheets import MM, by_id, front, opened, root_of, stream


def path_of(content, name="x", frame=MM):
    (run,) = drawn_lines(by_id(root_of(content, frame), name)).runs
    return run.path


# -- closed forms -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shape", "length", "area"),
    [
        ('rect x="3" y="4" width="30" height="20"', 100, 600),
        ('rect width="30" height="20" rx="5"', 60 + 10 * math.pi, 600 - (4 - math.pi) * 25),
        ('rect width="30" height="20" ry="5"', 60 + 10 * math.pi, 600 - (4 - math.pi) * 25),
        ('rect width="30" height="20" rx="99" ry="10"', None, math.pi * 15 * 10),
        ('rect width="20" height="20" rx="99"', 20 * math.pi, 100 * math.pi),
        ('rect width="30" height="20" rx="0" ry="5"', 100, 600),  # SVG 1.1, 9.2: a zero is a zero
        ('rect width="30" height="20" rx="-5"', 100, 600),
        ('rect x="1px" width="30px" height="20"', 100, 600),
        ('circle cx="5" cy="-2" r="10"', 20 * math.pi, 100 * math.pi),
        ('ellipse cx="5" cy="-2" rx="30" ry="10"', None, 300 * math.pi),
        ('line x1="1" y1="1" x2="4" y2="5"', 5, None),
        ('polyline points="0,0 3,4 3,10"', 11, None),
        ('polygon points="0 0,30 0 30,40"', 120, 600),
        ('polygon points="0,0 30,0 30,40 0,0"', 120, 600),
    ],
)
def test_shapes_have_their_length_and_area(shape, length, area):
    path = path_of('<{} id="x"/>'.format(shape))

    if length is not None:
        assert path_length(path) == pytest.approx(length, rel=1e-5)
    assert path.closed == (area is not None)
    if area is not None:
        assert signed_area(path) == pytest.approx(area, rel=1e-5)


def test_clones_stand_where_they_are_shown():
    content = (
        '<g transform="translate(500,500)"><path id="p" transform="scale(2)" d="M1,1 L4,5"/></g>'
        '<use id="one" xlink:href="#p" x="10" y="20"/>'
        '<use id="two" href="#one" transform="rotate(90)" x="1"/>'
        '<defs><path id="q" d="M0 0 H7"/></defs><use id="three" xlink:href="#q" x="1px"/>'
    )

    # SVG 1.1, 5.6: the original's own matrix, then the shift, then the clone's; not its groups'.
    assert path_of(content, "one").nodes.tolist() == [[12, 22], [18, 30]]
    # (12,22) shifted by (1,0), turned by 90 degrees: (x,y) -> (-y,x)
    assert path_of(content, "two").nodes.tolist() == [pytest.approx([-22, 13]), pytest.approx([-30, 19])]
    assert path_of(content, "three").nodes.tolist() == [[1, 0], [8, 0]]


REFUSED = {
    "clone": [
        '<g id="y"><path d="M0 0H9"/></g><use id="x" xlink:href="#y"/>',
        '<use id="x" xlink:href="#nowhere"/>',
        '<use id="x" xlink:href="other.svg#y"/>',
        '<use id="x"/>',
        '<text id="y">a</text><use id="x" xlink:href="#y"/>',
    ],
    "path-effect": [
        '<path id="x" d="M0 0H9" inkscape:path-effect="#e" inkscape:original-d="M0 0H8"/>',
        '<path id="x" d="M0 0H9" sodipodi:type="inkscape:offset" inkscape:original="M0 0H8"/>',
    ],
    "raster": ['<image id="x" width="5" height="5"/>'],
    "empty": [
        '<path id="x"/>',
        '<path id="x" d=""/>',
        '<path id="x" d="M5,5"/>',
        '<rect id="x" width="0" height="5"/>',
        '<circle id="x" r="-1"/>',
        '<ellipse id="x" rx="5"/>',
        '<polygon id="x"/>',
        '<path id="x" d="M5,5 L5,5"/>',
    ],
    "compound": ['<path id="x" d="M0 0H9 M0 5H9"/>'],
    "transform": [
        '<path id="x" transform="scale(1,0)" d="M0 0H9"/>',
        '<g transform="scale(1e12)"><g transform="scale(1e12)"><path id="x" d="M0 0H9"/></g></g>',
    ],
    "path-data": [
        '<path id="x" d="M0 0H1e11"/>',
        '<rect id="x" width="10mm" height="5"/>',
        '<rect id="x" width="nan" height="5"/>',
        '<use id="x" xlink:href="#y" x="1em"/><path id="y" d="M0 0H9"/>',
        '<polyline id="x" points="1,2 3"/>',
    ],
    "not-a-line": [
        '<use id="x" xlink:href="#x"/>',
        '<text id="x">front</text>',
        '<other:path id="x" d="M0 0H9"/>',
    ],
}


@pytest.mark.parametrize(
    ("code", "content"), [(code, content) for code, contents in REFUSED.items() for content in contents]
)
def test_what_is_no_single_line_is_refused_with_a_cure(code, content):
    with pytest.raises(InputError) as refused:
        opened(content, ids=["x"])

    assert refused.value.code == code
    assert "'" in str(refused.value)


@pytest.mark.parametrize("nothing", ['<g id="x"/>', '<g id="x"><text>words</text></g>'])
def test_a_group_without_lines_is_not_taken_for_everything(nothing):
    with pytest.raises(InputError, match="no line"):
        opened(nothing + '<path d="M0 0H9"/>', ids=["x"])


# -- choosing bare lines ------------------------------------------------------------------


def names(drawing):
    return [piece.name for piece in drawing.pattern.pieces]


def test_without_a_choice_all_visible_lines_are_taken():
    content = (
        '<path id="a" d="M0 0H9"/><g style="display: none"><path id="hidden" d="M0 0H9"/></g>'
        '<path id="off" display="none" d="M0 0H9"/><rect id="b" width="5" height="5"/>'
        '<defs><path id="defs" d="M0 0H9"/></defs><clipPath><path id="clip" d="M0 0H9"/></clipPath>'
        '<other:thing><path id="foreign" d="M0 0H9"/></other:thing><!-- <path d="M0 0H9"/> -->'
        '<path id="line of cut" sewkit:role="cut-line" d="M0 0H9"/>'
    )
    drawing, chosen = opened(content)

    assert names(drawing) == ["a", "b"]
    assert [one.piece for one in chosen.outlines] == ["a", "b"]


def test_one_broken_line_of_many_is_told_and_the_others_are_taken():
    drawing, chosen = opened('<path id="a" d="M0 0H9"/><path id="bad" d="M0 0 L"/><path id="b" d="M0 0H9"/>')

    assert [one.piece for one in chosen.outlines] == ["a", "b"]
    assert [(problem.piece, problem.code) for problem in drawing.pattern.problems] == [("bad", "path-data")]


def test_only_broken_lines_are_an_error():
    with pytest.raises(InputError, match="breaks off"):
        opened('<path id="bad" d="M0 0 L"/>')


def test_odd_ids_are_ids():
    content = "".join(
        '<path id="{}" d="M0 {}H9"/>'.format(name, i) for i, name in enumerate(["a:b", "a b", "Ärmel é", "1"])
    )
    _, chosen = opened(content, ids=["Ärmel é", "a:b", "a b"], nodes=["a:b:0:1"])

    assert [one.piece for one in chosen.outlines] == ["Ärmel é", "a:b", "a b"]
    assert chosen.nodes[0].point == (9, 0)


def test_lines_without_id_and_with_the_same_id_are_kept_apart():
    drawing, chosen = opened(
        '<path d="M0 0H1"/><path d="M0 0H2"/><path id="p" d="M0 0H3"/><path id="p" d="M0 0H4"/>'
    )

    lengths = [path_length(outline.path) for _, outline in chosen.picked(drawing.pattern)]
    assert lengths == pytest.approx([1, 2, 3, 4])


def test_a_bare_line_called_like_a_piece_is_not_that_piece():
    content = front().replace('<g id="front"', '<g id="layer"') + '<path id="front" d="M0 0H33"/>'
    drawing, chosen = opened(content, ids=["front"])

    ((piece, outline),) = chosen.picked(drawing.pattern)
    assert not piece.named and path_length(outline.path) == pytest.approx(33)


def test_deep_nesting_is_no_trouble():
    depth = 1500
    drawing, _ = opened("<g>" * depth + '<path id="p" d="M0 0H9"/>' + "</g>" * depth)

    assert names(drawing) == ["p"]


# -- nodes as the editor counts them (measured with the editor) -----------------------------


@pytest.mark.parametrize(
    ("d", "word", "point"),
    [
        ("M0 0H10V10H0Z", "x:0:3", (0, 10)),
        ("M0 0H10V10H0V0Z", "x:0:3", (0, 10)),
        ("M1,1 M20,100 L30,100", "x:0:1", (30, 100)),
        ("M0 0L5 5 5 5 9 9", "x:0:2", (5, 5)),
        ("M0 0H1M5 5H7", "x:1:1", (7, 5)),
    ],
)
def test_nodes_are_counted_as_the_editor_counts_them(d, word, point):
    assert node_point(by_id(root_of('<path id="x" d="{}"/>'.format(d)), "x"), word).tolist() == list(point)


@pytest.mark.parametrize(
    ("d", "word", "code"),
    [
        ("M0 0H10V10H0V0Z", "x:0:4", "choice"),
        ("M0 0H10", "x:1:0", "choice"),
        ("M0 0A5 5 0 0 1 10 0", "x:0:1", "arc"),
        ("M0 0H10", "x:0:-1", "choice"),
        ("M0 0H10", "x:0:²", "choice"),
        ("M0 0H10", "x", "choice"),
        ("M0 0H10", "y:0:0", "choice"),
    ],
)
def test_a_node_that_cannot_be_found_is_told(d, word, code):
    with pytest.raises(InputError) as refused:
        opened('<path id="x" d="{}"/>'.format(d), nodes=[word])

    assert refused.value.code == code


def test_a_node_of_a_group_is_told():
    with pytest.raises(InputError, match="no nodes"):
        opened('<g id="x"/>', nodes=["x:0:0"])


# -- cleaning ---------------------------------------------------------------------------


def test_doubled_nodes_do_not_hide_a_corner():
    drawing, _ = opened('<path id="x" d="M0 0H10V0V10V10.0003H0.0004V0Z"/>')

    (outline,) = drawing.pattern.pieces[0].outlines
    assert len(outline.edges) == 4
    assert [round(path_length(run), 3) for name in outline.names for run in outline.runs(name)] == [10] * 4


def test_an_open_line_whose_ends_touch_is_closed_and_straight_lines_stay_straight():
    path = cleaned(Path.through([(0, 0), (50, 0), (50, 70), (0.0004, 0.0006)]))

    assert path.closed and len(path) == 3
    assert path.end.tolist() == path.start.tolist() == [0, 0]
    assert np.abs(path.curves[2] - Path.through([(50, 70), (0, 0)]).curves[0]).max() < 1e-12


def test_a_gap_that_can_be_seen_stays_open():
    assert not cleaned(Path.through([(0, 0), (50, 0), (50, 70), (0, 0.1)])).closed


# -- files that are no drawings ------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"PK\x03\x04",
        b"<svg",
        b"<html/>",
        b"<svg xmlns='urn:other'/>",
        b"\xff\xfe\x00",
        b"<?xml version='1.0' encoding='nope'?><svg/>",
    ],
)
def test_what_is_no_drawing_is_told(text, tmp_path):
    file = tmp_path / "drawing.svg"
    file.write_bytes(text)

    with pytest.raises(FileError) as refused:
        open_drawing(str(file))
    assert "\n" not in str(refused.value)


def test_a_missing_file_and_a_folder_are_told(tmp_path):
    for name in (tmp_path / "missing.svg", tmp_path):
        with pytest.raises(FileError, match="cannot be read"):
            open_drawing(name)


def test_a_compressed_drawing_is_unpacked(tmp_path):
    file = tmp_path / "drawing.svgz"
    packed = gzip.compress(stream(front()).read())
    file.write_bytes(packed)
    assert names(open_drawing(file)[0]) == ["front"]

    file.write_bytes(packed[:-30])
    with pytest.raises(FileError, match="damaged"):
        open_drawing(file)


def test_a_tree_an_element_and_a_stream_are_the_same_drawing():
    root = root_of(front())
    for source in (root, root.getroottree(), stream(front())):
        drawing, _ = open_drawing(source)
        assert names(drawing) == ["front"]
