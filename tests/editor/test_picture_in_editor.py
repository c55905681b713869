"""The before/after picture as the editor draws it: the real letters, not an estimate of them."""

from sewkit.files.picture import before_after
from sewkit.geometry.path import Path
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Change


def box(size, width, height):
    edges = tuple(Edge(name, i, i + 1) for i, name in enumerate(("top", "side", "hem", "centre")))
    corners = [(0, 0), (width, 0), (width, height), (0, height)]
    return Outline(size, Path.through(corners, closed=True), edges)


def test_words_stand_apart_and_inside_the_page_as_they_are_really_drawn(editor, tmp_path):
    old, new = box("3", 200, 400), box("P03", 212.5, 420)
    before = Pattern((Piece("front", (old,), cut=2, cloth="wool"),))
    after = Pattern((Piece("front", (old, new), cut=2, cloth="wool"),))
    wide = "WIDE Words {} mm moved (1 1/2 in)"
    changes = [Change("front", wide.format(n), (205, 200 + n)) for n in range(9)]
    changes += [Change("front", "left {} mm".format(n), (1, 50 + 20 * n)) for n in range(4)]
    file = tmp_path / "picture.svg"
    text = before_after(before, after, ["3"], "P03", changes, "Waistcoat for P03, a long title " * 3)
    pieces = text.split("<text ")
    numbered = '{}<text id="words{}" {}'
    whole = pieces[0]
    for number, piece in enumerate(pieces[1:]):
        whole = numbered.format(whole, number, piece)
    file.write_text(whole, encoding="utf-8")

    answer = editor.call("--query-all", str(file))

    # Lines "id,x,y,width,height" in CSS pixels; the first is the whole document.
    rows = [line.split(",") for line in answer.stdout.splitlines() if line.startswith("words")]
    boxes = [[float(number) for number in row[1:]] for row in rows]
    width = float(text.split('width="')[1].split("mm")[0]) / 25.4 * 96
    assert len(boxes) == len(pieces) - 1
    for number, (x, y, w, h) in enumerate(boxes):
        assert x >= 0
        assert x + w <= width
        for x2, y2, w2, h2 in boxes[number + 1 :]:
            assert x + w <= x2 or x2 + w2 <= x or y + h <= y2 or y2 + h2 <= y
