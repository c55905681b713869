"""Putting a changed pattern back: the right place and size, and nothing else touched."""

import io
import os
import re

import numpy as np
import pytest
from lxml import etree

from sewkit.errors import FileError, InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.pattern.mark import GRAIN, LABEL, NOTCH, Mark, On
from sewkit.pattern.piece import CornerRule, CutLine, Piece, Style
from sewkit.pattern.seam import EdgeRef, Seam
from tests.files.sheets import BACK, MM, by_id, front, matrix, opened, points_mm, stream, svg

SEWKIT = "{urn:sewkit:1}"
SODIPODI = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}"
PIXEL = 25.4 / 96

# A square of 100 mm at (40, 30) mm on the sheet, whatever the frame: mm per unit of the root,
# then the group round the drawing that makes millimetres of it.
FRAMES = {
    "millimetres": (MM, 1.0, "none"),
    "pixels": ('width="2000" height="2000"', PIXEL, "scale({!r})".format(1 / PIXEL)),
    "half units off the corner": (
        'width="500mm" height="500mm" viewBox="-30 12 1000 1000"',
        0.5,
        "translate(-30,12) scale(2)",
    ),
    "mirrored": (MM, 1.0, "translate(300,0) scale(-1,1)"),
    "turned and skewed": (MM, 1.0, "translate(50,90) rotate(37) scale(2.5)"),
    "huge units": ('width="1000mm" height="1000mm" viewBox="0 0 1 1"', 1000.0, "scale(0.001)"),
    "tiny units": ('width="10mm" height="10mm" viewBox="0 0 1e6 1e6"', 1e-5, "scale(1e5)"),
}
SQUARE = '<path id="line" sodipodi:nodetypes="ccccc" d="M 40,30 H 140 V 130 H 40 Z"/>'


def again(drawing, **picks):
    """The saved drawing, opened anew."""
    return open_drawing(io.BytesIO(drawing.as_bytes()), **picks)


def with_line(pattern, path, name="line"):
    return pattern.with_piece(pattern.piece(name).with_cut_line(CutLine("", path)))


def untouched(root, but=()):
    """The bytes of every element, by id; those above or named in ``but`` aside."""
    changed = {
        up for name in but for e in root.xpath("//*[@id=$n]", n=name) for up in [e, *e.iterancestors()]
    }
    return {
        e.get("id"): etree.tostring(e, with_tail=False)
        for e in root.iter(etree.Element)
        if e.get("id") and e not in changed
    }


@pytest.mark.parametrize("name", list(FRAMES))
def test_a_new_line_lies_where_it_was_asked_for(name):
    frame, unit, group = FRAMES[name]
    drawing, _ = opened('<g transform="{}">{}</g>'.format(group, SQUARE), frame, ids=["line"])
    wanted = Path(
        np.array(
            [[[20, 10], [60, -20], [120, -20], [160, 10]], [[160, 10], [160, 60], [150, 150], [20, 10]]]
        ),
        True,
    )

    corner = np.array([-30.0, 12.0]) if "corner" in name else np.zeros(2)
    here = drawing.pattern.pieces[0].outlines[0].path.nodes
    drawn = points_mm(drawing.ids["line"], unit, 2)[::2] - corner * unit
    assert np.abs(here - drawn).max() < 1e-9
    # In the group's own frame the square is where it was drawn.
    drawing.put(with_line(drawing.pattern, wanted))

    (line,) = drawing.root.xpath("//*[@*[name()='sewkit:role']='cut-line']")
    # Bernstein's weights of the four points of a cubic.
    t = np.linspace(0, 1, 20)[:, None]
    weights = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3]
    expected = np.concatenate([sum(w * p for w, p in zip(weights, curve)) for curve in wanted.curves])
    assert np.abs(points_mm(line, unit) - corner * unit - expected).max() < 1e-6


@pytest.mark.parametrize("name", list(FRAMES))
def test_a_new_line_is_as_wide_as_it_should_be_on_the_sheet(name):
    frame, unit, group = FRAMES[name]
    drawing, _ = opened('<g transform="{}">{}</g>'.format(group, SQUARE), frame, ids=["line"])
    drawing.put(with_line(drawing.pattern, Path.through([(0, 0), (9, 0), (9, 9)], closed=True)))

    (line,) = drawing.root.xpath("//*[@*[name()='sewkit:role']='cut-line']")
    style = dict(word.split(":") for word in line.get("style").split(";"))
    stretch = abs(np.linalg.det(matrix(group)[:2, :2])) ** 0.5 * unit
    assert float(style["stroke-width"]) * stretch == pytest.approx(0.6, rel=1e-4)


OTHERS = (
    '<text id="words" x=" 3 " y="4">a <tspan id="inner">b</tspan> c</text>\n'
    "<g id='odd'   ><path id='odd-path' d='m 1 2   3,4 0.30000 -.5e0 z' sodipodi:nodetypes='cc' /></g>"
    '<other:thing id="foreign" other:a="1"/><rect id="rect" width="5" height="5"/><!-- note -->\n'
    '<path id="effect" inkscape:path-effect="#e" inkscape:original-d="M0 0H9" d="M0 0H9"/>\n'
)


def test_nothing_else_is_touched():
    drawing, _ = opened(OTHERS + front() + BACK, pieces=["front"])
    before = untouched(drawing.root)
    piece = drawing.pattern.piece("front")
    drawing.put(
        drawing.pattern.with_piece(
            piece.with_cut_line(CutLine("3", Path.through([(0, 0), (1, 0), (1, 1)], True)))
        )
    )

    after = untouched(drawing.root)
    (new,) = set(after) - set(before)
    for name in set(before) - {"front"}:
        assert after[name] == before[name]
    shown = re.sub(b'<path [^>]* id="%s"[^>]*/>\n  \n' % new.encode(), b"", after["front"])
    assert shown == before["front"]


def test_putting_the_same_pattern_back_changes_no_byte():
    drawing, _ = opened(OTHERS + front(group='sewkit:size="" sewkit:cut="1"') + BACK)
    before = drawing.as_bytes()

    drawing.put(drawing.pattern)
    drawing.put(drawing.pattern)
    assert drawing.as_bytes() == before


def test_only_a_changed_line_loses_the_kinds_of_its_nodes():
    drawing, _ = opened(SQUARE + SQUARE.replace('"line"', '"other"'), ids=["line", "other"])
    piece = drawing.pattern.piece("line")
    (outline,) = piece.outlines
    drawing.put(
        drawing.pattern.with_piece(piece.with_outline(outline.replace_path(move(5, 0).path(outline.path))))
    )

    assert SODIPODI + "nodetypes" not in drawing.ids["line"].attrib
    assert drawing.ids["other"].get(SODIPODI + "nodetypes") == "ccccc"
    assert drawing.ids["line"].get("d") == "M 45,30 L 145,30 L 145,130 L 45,130 Z"


SHAPES = [
    '<rect id="line" x="1" y="2" width="30" height="20" rx="3" style="fill:red" class="c">'
    '<title id="t">T</title></rect>',
    '<circle id="line" cx="5" cy="6" r="7" style="fill:red" class="c"><title id="t">T</title></circle>',
    '<polygon id="line" points="0,0 9,0 9,9" style="fill:red" class="c"><title id="t">T</title></polygon>',
    '<path id="line" sodipodi:type="star" sodipodi:sides="3" inkscape:flatsided="true" '
    'sodipodi:insensitive="true" '
    'd="M0 0H9V9Z" style="fill:red" class="c"><title id="t">T</title></path>',
]


@pytest.mark.parametrize("shape", SHAPES)
def test_a_shape_becomes_a_path_only_when_it_changes(shape):
    drawing, _ = opened(shape, ids=["line"])
    before = etree.tostring(drawing.ids["line"])
    drawing.put(with_line(drawing.pattern, Path.through([(0, 0), (9, 0), (9, 9)], True)))
    assert etree.tostring(drawing.ids["line"], with_tail=False) == before.strip()

    piece = drawing.pattern.piece("line")
    (outline,) = piece.outlines
    drawing.put(
        drawing.pattern.with_piece(piece.with_outline(outline.replace_path(move(5, 7).path(outline.path))))
    )

    element = again(drawing)[0].ids["line"]
    assert element.tag.endswith("}path")
    kept = {"id", "style", "class", "d", SODIPODI + "insensitive"}
    assert set(element.attrib) <= kept and element.get("style") == "fill:red"
    assert element[0].text == "T"
    shifted = again(drawing, ids=["line"])[0].pattern.piece("line").outlines[0].path
    assert np.abs(shifted.curves - move(5, 7).path(outline.path).curves).max() < 1e-6


def test_a_clone_is_not_redrawn_but_may_have_a_cut_line():
    content = SQUARE + '<use id="twin" xlink:href="#line" x="200"/>'
    drawing, _ = opened(content, ids=["twin"])
    drawing.put(with_line(drawing.pattern, Path.through([(200, 0), (300, 0), (300, 99)], True), "twin"))
    piece = drawing.pattern.piece("twin")
    (outline,) = piece.outlines

    with pytest.raises(InputError, match="Unlink"):
        drawing.put(
            drawing.pattern.with_piece(
                piece.with_outline(outline.replace_path(move(5, 0).path(outline.path)))
            )
        )


# -- again and again -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "picks"),
    [
        (SQUARE, {"ids": ["line"]}),
        (SQUARE, {}),
        (SQUARE.replace('id="line"', ""), {}),
        (SQUARE.replace('id="line"', "") + SQUARE.replace('id="line"', "").replace("M 40", "M 45"), {}),
        (SQUARE.replace('"line"', '"a b:ü"'), {}),
        (SQUARE + SQUARE.replace("M 40", "M 45"), {}),
    ],
)
def test_doing_it_again_replaces(content, picks):
    def lined(drawing, chosen, size):
        pattern = drawing.pattern
        for number, piece in enumerate(chosen.pieces(pattern)):
            line = CutLine("", Path.through([(0, 0), (size, number), (size, size)], True))
            pattern = pattern.with_piece(piece.with_cut_line(line))
        drawing.put(pattern)

    drawing, chosen = opened(content, **picks)
    lined(drawing, chosen, 5)
    once = drawing.as_bytes()
    second, chosen = again(drawing, **picks)
    lined(second, chosen, 9)
    lined(second, chosen if picks else second.choose(), 5)

    assert second.as_bytes() == once
    third, chosen = opened(content, **picks)
    lined(third, chosen, 5)
    assert third.as_bytes() == once  # the same ids every time


def test_lines_drawn_beside_a_bare_line_are_known_after_each_change():
    drawing, _ = opened(SQUARE, ids=["line"])
    for number in range(1, 4):
        piece = drawing.pattern.piece("line")
        grain = Mark(GRAIN, str(number), path=Path.through([(60, 40 + number), (120, 40 + number)]))
        drawing.put(drawing.pattern.with_piece(piece._replace(marks=(*piece.marks, grain))))

        known = drawing.pattern.piece("line").marks
        assert sorted(mark.name for mark in known) == [str(n + 1) for n in range(number)]
        assert all(drawing.entries[mark.key].element is drawing.ids[mark.key] for mark in known)


def test_picking_the_cut_line_too_does_not_cut_round_the_cut_line():
    drawing, _ = opened(SQUARE, ids=["line"])
    drawing.put(with_line(drawing.pattern, Path.through([(0, 0), (9, 0), (9, 9)], True)))
    (name,) = drawing.pattern.piece("line").cut_lines

    for ids in ([name.key, "line"], ["line", name.key], [name.key]):
        _, chosen = again(drawing, ids=ids)
        assert [one.piece for one in chosen.outlines] == ["line"]


def test_a_second_step_goes_on_from_the_first():
    drawing, _ = opened(front())
    piece = drawing.pattern.piece("front")
    new = piece.outlines[0]._replace(size="P03", key="", path=move(7, 0).path(piece.outlines[0].path))
    drawing.put(drawing.pattern.with_piece(piece.with_outline(new)))
    piece = drawing.pattern.piece("front")
    drawing.put(drawing.pattern.with_piece(piece.with_cut_line(CutLine("P03", new.path))))

    assert again(drawing)[0].pattern.piece("front").sizes == ("3", "P03")
    assert len(drawing.root.xpath("//*[local-name()='path']")) == 3


# -- groups, names, seams, marks -------------------------------------------------------------


def named(drawing, title, keys, edges="a b c d"):
    """The pattern with bare lines gathered into one named piece."""
    outlines = []
    for size, key in enumerate(keys):
        outline = drawing.pattern.piece(key).outlines[0]
        renamed = tuple(e._replace(name=n) for e, n in zip(outline.edges, edges.split()))
        outlines.append(outline._replace(size=str(size), edges=renamed))
    pieces = tuple(p for p in drawing.pattern.pieces if p.name not in keys)
    return drawing.pattern._replace(pieces=(*pieces, Piece(title, tuple(outlines))))


def test_naming_bare_lines_keeps_their_elements_and_places():
    content = (
        '<g transform="translate(5,6) rotate(20)">' + SQUARE + "</g>"
        '<g transform="scale(-2,3) skewX(9)"><rect id="other" x="9" y="9" width="50" height="60"/></g>'
    )
    drawing, _ = opened(content, ids=["line", "other"])
    places = [points_mm(drawing.ids["line"], 1.0, 2)]
    wanted = [piece.outlines[0].path for piece in drawing.pattern.pieces]
    drawing.put(named(drawing, "front", ["line", "other"]))

    after, _ = again(drawing)
    piece = after.pattern.piece("front")
    assert [o.key for o in piece.outlines] == ["line", "other"]
    assert piece.outlines[0].names == ("a", "b", "c", "d")
    for outline, path in zip(piece.outlines, wanted):
        assert np.abs(outline.path.curves - path.curves).max() < 1e-8
    assert np.abs(points_mm(after.ids["line"], 1.0, 2) - places[0]).max() < 1e-8
    assert after.ids["other"].tag.endswith("}rect") and len(after.pattern.pieces) == 1


def everything(content):
    """All pieces of a drawing, as an operation takes them where nothing was picked."""
    drawing, chosen = opened(content)
    return chosen.pieces(drawing.pattern)


def test_a_piece_whose_corners_changed_can_be_named_again_in_its_place():
    broken = front(d="M 20,20 H 120 V 170 L 60,200 L 0,170 Z", group='sewkit:hems="hem"')
    with pytest.raises(InputError) as refused:
        everything(broken)
    assert refused.value.code == "corners"

    drawing, _ = opened(broken, ids=["front-3"])
    drawing.put(named(drawing, "front", ["front-3"], "waist side hem hem-left centre"))
    piece = again(drawing)[0].pattern.piece("front")
    assert piece.outlines[0].names == ("waist", "side", "hem", "hem-left", "centre")
    assert piece.hems == ("hem",) and len(drawing.root.xpath("//*[local-name()='g']")) == 1


def test_a_piece_named_on_a_single_line_is_told_and_can_be_named():
    content = SQUARE.replace("<path", '<path sewkit:piece="front"')
    with pytest.raises(InputError, match="single line"):
        everything(content)
    drawing, _ = opened(content, ids=["line"])
    drawing.put(named(drawing, "front", ["line"]))

    assert again(drawing)[0].pattern.piece("front").outlines[0].key == "line"


def test_attributes_are_written_and_read_back():
    drawing, _ = opened(front() + BACK)
    rules = {("side", "hem"): CornerRule(Style.TURNED_BACK, "hem")}
    piece = drawing.pattern.piece("front")._replace(
        folds=("centre",), hems=("hem",), darts=("side",), cut=4, cloth="wool",
        allowance={"": 10.0, "hem": 40.5, "side": 0.0}, corners=rules,
    )  # fmt: skip
    seams = (
        Seam((EdgeRef("front", "side"),), (EdgeRef("back", "side", True),), (0.0, 6.5)),
        Seam((EdgeRef("back", "waist"), EdgeRef("front", "waist")), (EdgeRef("front", "hem"),)),
    )
    drawing.put(drawing.pattern.with_piece(piece)._replace(seams=seams))

    after = again(drawing)[0].pattern
    assert after.piece("front") == piece
    assert set(after.seams) == set(seams)
    drawing.put(drawing.pattern._replace(seams=()))
    assert b"sewn" not in drawing.as_bytes()


def test_a_seam_whose_first_piece_cannot_be_read_is_not_lost():
    broken = front(edges="just:1 two:2", group='sewkit:sewn="hem=back/hem"') + BACK.replace(
        "<g id", '<g sewkit:sewn="front/waist+waist=back/hem" id'
    )
    drawing, _ = opened(broken, pieces=["back"])
    more = Seam((EdgeRef("back", "side"),), (EdgeRef("front", "side"),))
    drawing.put(drawing.pattern._replace(seams=(*drawing.pattern.seams, more)))

    group = by_id(drawing.root, "back")
    assert group.get(SEWKIT + "sewn") == "front/waist+waist=hem side=front/side"
    assert by_id(drawing.root, "front").get(SEWKIT + "sewn") == "hem=back/hem"


MARKS = (
    '<path id="grain" sewkit:role="grain" d="M 60,40 V 140"/>'
    '<path id="n" sewkit:role="notch" sewkit:name="1" sewkit:size="3" sewkit:at="side+40" d="M120 60H125"/>'
    '<text id="label" sewkit:role="label" x="50" y="60" transform="rotate(10)">'
    '<tspan x="50" y="60">front</tspan></text>'
)


def test_marks_move_change_come_and_go():
    drawing, _ = opened(front(more=MARKS))
    piece = drawing.pattern.piece("front")
    _, notch, label = piece.marks
    assert (notch.on, label.text) == (On("side", 40.0), "front")
    start = label.path.start
    marks = (
        notch._replace(on=On("side", 30.0, True), count=2, path=move(0, 80).path(notch.path)),
        label._replace(text="front\ncut 2", path=move(3, -4).path(label.path)),
        Mark(NOTCH, "2", "3", Path.through([(70, 170), (70, 175)]), On("hem", 50.0)),
        Mark(LABEL, "", "", Path.through([(10, 20), (10, 30)]), text="a < b & c"),
    )
    drawing.put(drawing.pattern.with_piece(piece._replace(marks=marks)))

    found = again(drawing)[0].pattern.piece("front").marks
    assert [mark.kind for mark in found].count(GRAIN) == 0 and "grain" not in again(drawing)[0].ids
    by_key = {mark.key: mark for mark in found}
    assert by_key["n"].on == On("side", 30.0, True) and by_key["n"].count == 2
    assert by_key["n"].path.nodes.tolist() == [[120, 140], [125, 140]]
    assert by_key["label"].path.start == pytest.approx(start + [3, -4])
    assert [span.text for span in by_id(drawing.root, "label")] == ["front", "cut 2"]
    new = [mark for mark in found if mark.key not in ("n", "label")]
    assert {mark.text for mark in new} == {"", "a < b & c"}
    words = next(mark for mark in new if mark.text)
    assert words.path.start == pytest.approx([10, 20])


def test_a_piece_that_is_gone_takes_its_group_with_it():
    drawing, _ = opened(front(more=MARKS) + BACK)
    drawing.put(drawing.pattern._replace(pieces=drawing.pattern.pieces[1:]))

    assert [e.get("id") for e in drawing.root.iter(etree.Element) if e.get("id")] == ["back", "back-3"]


def test_a_piece_inside_a_piece_keeps_its_own_lines():
    inner = BACK.replace("\n", "")
    drawing, _ = opened(front(more=inner))

    assert [(p.name, [o.key for o in p.outlines]) for p in drawing.pattern.pieces] == [
        ("front", ["front-3"]),
        ("back", ["back-3"]),
    ]


# -- saving --------------------------------------------------------------------------------


def test_the_master_is_never_written_over(tmp_path):
    master = tmp_path / "master.svg"
    master.write_bytes(svg(front()).encode())
    link = tmp_path / "link.svg"
    os.symlink(str(master), str(link))
    drawing, _ = open_drawing(master)

    for name in (master, link, str(tmp_path) + "/./master.svg"):
        with pytest.raises(FileError, match="never written over"):
            drawing.save(name, never=[master])
    assert master.read_bytes() == svg(front()).encode()


def test_a_stream_gets_what_a_file_gets(tmp_path):
    drawing, _ = opened(front())
    drawing.save(tmp_path / "a.svg")
    out = io.BytesIO()
    drawing.save(out)

    assert out.getvalue() == (tmp_path / "a.svg").read_bytes()
    assert etree.parse(stream(front())).getroot().tag == etree.fromstring(out.getvalue()).tag


def test_a_new_size_is_drawn_in_the_pieces_own_group_and_an_emptied_layer_goes():
    square = '<path sewkit:role="seam-line" sewkit:size="{0}" id="l{0}" d="M0,0 h5{0} v50 h-5{0} z"/>'
    content = '<g id="front" sewkit:piece="front">{}</g>'.format(
        "".join('<g id="layer{0}">{1}</g>'.format(size, square.format(size)) for size in "34")
    )
    drawing, _ = opened(content)
    piece = drawing.pattern.piece("front")
    drawing.put(drawing.pattern.with_piece(piece.with_outline(piece.outlines[0]._replace(size="M", key=""))))
    made = drawing.pattern.piece("front")

    assert drawing.ids[made.outline("M").key].getparent() is drawing.ids["front"]
    drawing.put(drawing.pattern.with_piece(made._replace(outlines=(made.outline("M"),))))
    assert [element.get("id") for element in drawing.root.iter("{*}g")] == ["front"]
