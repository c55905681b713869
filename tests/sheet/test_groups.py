"""Lines sorted by size, and the sizes named."""

import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.report import Level
from sewkit.sheet.drawn import Style
from sewkit.sheet.groups import group_lines, with_sizes
from sewkit.sheet.groups_keys import rhythm
from sewkit.sheet.nest import find_pieces
from sewkit.sheet.size_names import size_at_end, size_name, size_of, size_of_layer, sizes_in
from tests.pdfs.scene import scene
from tests.sheet.nests import BLACK, THIN, apart, fronts, polygon, say, style, whole

PLACES = ((20.0, 80.0), (320.0, 80.0), (620.0, 80.0))


def sizes_of(grouping):
    """Sizes by their lines: {"36": {0, 5, 10}, ...}."""
    found = {}
    for group in grouping.groups:
        found.setdefault(group.size, set()).update(group.lines)
    return found


def sheet_lines(sheet):
    strokes = [(s, p) for s in sheet.strokes for p in s.paths]
    drawn = [whole(p, s.style, s.layers, n) for n, (s, p) in enumerate(strokes)]
    return drawn, [s for s, _ in strokes]


@pytest.mark.parametrize(
    "name, size",
    [
        ("Size 38", "38"),
        ("38", "38"),
        ("Gr. 40", "40"),
        ("Größe 36", "36"),
        ("gr40", "40"),
        ("EU 42 / US 12", "42"),  # of two systems the first
        ("XS", "XS"),
        ("xxl", "XXL"),
        ("size-XL", "XL"),
        ("36/38", "36-38"),  # one size for two; a slash is no part of a name
        ("10.5", "10.5"),
        ("3 months", "3-months"),
        ("Layer 1", ""),
        ("Marks", ""),
        ("Front", ""),
        ("Page 38", ""),
        ("front 38", ""),  # a piece first of all: see below
        ("2024", ""),
        ("", ""),
    ],
)
def test_a_layer_name_tells_its_size(name, size):
    assert size_of(name) == size


@pytest.mark.parametrize(
    "name, size",
    [("front 38", "38"), ("Back bodice size 40", "40"), ("Layer 1", ""), ("Ebene 3", ""), ("Front", "")],
)
def test_a_name_of_a_piece_may_end_in_a_size(name, size):
    assert size_at_end(name) == size


@pytest.mark.parametrize(
    "layer, size",
    [
        ("1X", "1X"),
        ("Size 3x", "3x"),
        ("6 years", "6-years"),
        ("10/12", "10-12"),
        ("10 / 12", "10-12"),
        ("36 W", "36-W"),
        ("24W", "24W"),
        ("XS+", "XS-plus"),
        ("Medium", "Medium"),
        ("Size A", "A"),
        ("front 38", "38"),
        ("Base", ""),
        ("Marks", ""),
        ("Size chart", ""),
        ("Layer 2", ""),
    ],
)
def test_a_layer_may_have_a_size_s_name_that_words_cannot_tell(layer, size):
    assert size_of_layer(layer) == size


def test_layers_with_printed_names_of_sizes_become_sizes():
    drawing = fronts(PLACES, 3, "nothing")
    names = ("1X", "10 / 12", "XS+")
    drawn = [line._replace(layers=(names[n % 3],)) for n, line in enumerate(drawing.lines)]

    assert sizes_of(group_lines(drawn, [])) == {"1X": {0, 3, 6}, "10-12": {1, 4, 7}, "XS-plus": {2, 5, 8}}


@pytest.mark.parametrize("text", ["", "a=b", "~", "36:38"])
def test_a_size_that_is_no_name_is_refused_with_examples_of_sizes(text):
    with pytest.raises(InputError, match="38 or M"):
        size_name(text)


@pytest.mark.parametrize(
    "text, sizes",
    [
        ("36 38 40", ("36", "38", "40")),
        ("3436384042", ("34", "36", "38", "40", "42")),  # printed as five words, read as one
        ("116122128", ("116", "122", "128")),
        ("XS S M L", ("XS", "S", "M", "L")),
        ("XSSMLXL", ("XS", "S", "M", "L", "XL")),
        ("36, 38, 40", ("36", "38", "40")),
        ("Size 38", ("38",)),
        ("Cut 2", ()),
        ("100 mm", ()),
        ("Front", ()),
        ("3437", ("34", "37")),
        ("343740", ("34", "37", "40")),
        ("343641", ()),  # no even step
    ],
)
def test_words_list_sizes(text, sizes):
    assert sizes_in(text) == sizes


def test_a_rhythm_has_no_phase():
    assert rhythm((8.0, 1.5, 1.0, 1.5)) == rhythm((1.0, 1.5, 8.0, 1.5))
    assert rhythm((3.0,)) == rhythm((3.0, 3.0)) == rhythm((3.0, 3.0, 3.0, 3.0))
    assert rhythm((6.0, 2.0)) != rhythm((2.0, 6.0))


def test_a_layer_for_each_size_tells_them_apart():
    drawing = fronts(PLACES, 3, "nothing", layers=True)

    grouping = group_lines(drawing.lines, [])

    assert grouping.told_by == "layers"
    assert sizes_of(grouping) == {"36": {0, 3, 6}, "38": {1, 4, 7}, "40": {2, 5, 8}}


def test_layers_that_name_piece_and_size_count_by_size():
    drawing = fronts(PLACES[:2], 3, "nothing")
    drawn = [
        line._replace(layers=("{} {}".format(("front", "back")[n // 3], 36 + 2 * (n % 3)),))
        for n, line in enumerate(drawing.lines)
    ]

    grouping = group_lines(drawn, [])

    assert grouping.told_by == "layers"
    assert sizes_of(grouping) == {"36": {0, 3}, "38": {1, 4}, "40": {2, 5}}


def test_layers_that_are_pieces_leave_it_to_the_style():
    drawing = fronts(PLACES[:2], 3, "colours")
    drawn = [line._replace(layers=("Layer {}".format(n // 3),)) for n, line in enumerate(drawing.lines)]

    grouping = group_lines(drawn, [])

    assert grouping.told_by == "styles"
    assert sizes_of(grouping) == {"1": {0, 3}, "2": {1, 4}, "3": {2, 5}}


def test_a_layer_with_two_kinds_of_line_is_told():
    drawing = fronts(PLACES, 3, "colours", layers=True)
    drawn = list(drawing.lines)
    drawn[0] = drawn[0]._replace(style=style(1, "colours"))
    drawn[1] = drawn[1]._replace(style=style(0, "colours"))

    grouping = group_lines(drawn, [])

    assert grouping.told_by == "layers"
    told = [f for f in grouping.findings if f.code == "layer-styles"]
    assert {f.level for f in told} == {Level.WARN}
    assert [name for name in ("36", "38", "40") if any(name in f.text for f in told)] == ["36", "38"]


@pytest.mark.parametrize("told_by, said", [("dashes", "dashes"), ("colours", "styles"), ("widths", "styles")])
def test_styles_tell_sizes_apart_and_words_name_them(told_by, said):
    sheet = scene(pieces=12, told_by=told_by)
    drawn, strokes = sheet_lines(sheet)

    grouping = group_lines(drawn, sheet.words)

    assert grouping.told_by == said
    found = sizes_of(grouping)
    for name in sheet.sizes:
        assert {n for n in found[name] if strokes[n].role == "outline"} == {
            n for n, s in enumerate(strokes) if s.role == "outline" and s.size == name
        }
    assert {strokes[n].role for n in found["-"]} == {"arrow"}
    assert {"grain", "notch", "lengthen"} <= {strokes[n].role for n in found["all"]}


def test_dashes_measured_with_a_wobble_are_one_style():
    drawing = fronts(PLACES, 3, "dashes")
    drawn = list(drawing.lines)
    drawn[3] = drawn[3]._replace(style=Style("#000000", 0.51, (6.3, 1.8)))
    drawn[7] = drawn[7]._replace(style=Style("#000000", 0.49, (2.2, 1.9)))
    drawn[5] = drawn[5]._replace(style=Style("#000000", 0.5, (1.2, 1.4, 7.8, 1.7)))  # another phase

    grouping = group_lines(drawn, [])

    assert sizes_of(grouping) == {"1": {0, 3, 6}, "2": {1, 4, 7}, "3": {2, 5, 8}}


def test_two_sizes_whose_dashes_hardly_differ_stay_two():
    drawing = fronts(PLACES, 2, "nothing")
    looks = (Style("#000000", 0.5, (3.0, 2.0)), Style("#000000", 0.5, (3.4, 2.0)))
    drawn = [line._replace(style=looks[n % 2]) for n, line in enumerate(drawing.lines)]

    assert sizes_of(group_lines(drawn, [])) == {"1": {0, 2, 4}, "2": {1, 3, 5}}


def test_lines_that_all_look_alike_are_told_apart_by_their_nest():
    drawing = fronts(PLACES, 4, "nothing", "once")

    grouping = group_lines(drawing.lines, [])

    assert grouping.told_by == "nesting"
    assert [group.rank for group in grouping.groups] == [1, 2, 3, 4, 0]
    assert sizes_of(grouping)["1"] == {0, 5, 10}
    assert sizes_of(grouping)["all"] == {4, 9, 14}
    assert "nesting" in {finding.code for finding in grouping.findings}


def test_one_size_is_told_as_one():
    drawing = fronts(PLACES, 1, "nothing")

    grouping = group_lines(drawing.lines, [])

    assert grouping.told_by == "one size"
    assert sizes_of(grouping) == {"all": {0, 1, 2}}


def test_a_single_size_keeps_the_name_its_layer_has():
    drawing = fronts(PLACES, 1, "nothing", layers=True)

    assert sizes_of(group_lines(drawing.lines, [])) == {"36": {0, 1, 2}}


def test_a_size_that_draws_only_its_own_hem_is_a_size():
    # Neck, shoulder, armhole and side of all sizes are one line, of the largest size.
    drawing = fronts(PLACES, 4, "colours", "once", same=True)

    grouping = group_lines(drawing.lines, [])

    assert sizes_of(grouping) == {
        "1": {0, 5, 10},
        "2": {1, 6, 11},
        "3": {2, 7, 12},
        "4": {3, 8, 13},
        "all": {4, 9, 14},
    }


def test_marks_of_all_sizes_and_letters_and_frames_are_no_sizes():
    drawing = fronts(PLACES[:2], 3, "colours")
    grain = whole(Path.through([(60, 200), (60, 400)]), THIN)
    frame = whole(Path.through([(0, 0), (900, 0), (900, 700), (0, 700)], closed=True), Style("#808080", 0.2))
    letters = [
        whole(Path.through([(x, 300), (x + 3, 300), (x + 1, 304)], closed=True), Style("#112233", 0.1))
        for x in range(60, 180, 4)
    ]
    drawn = list(drawing.lines) + [grain, frame] + letters

    found = sizes_of(group_lines(drawn, []))

    assert found["all"] == {6}
    assert found["-"] == set(range(7, 8 + len(letters)))


def test_a_seam_line_inside_its_cut_line_is_no_second_size():
    # The seam line 10 mm inside, by Shapely; drawn dashed.
    drawing = fronts(PLACES, 1, "nothing")
    seams = [polygon(line.path).buffer(-10.0) for line in drawing.lines]
    dashed = [
        whole(Path.through(list(s.exterior.coords)[:-1], closed=True), style(0, "dashes")) for s in seams
    ]
    drawn = list(drawing.lines) + dashed

    grouping = group_lines(drawn, [])
    found = find_pieces(drawn, [], grouping)

    assert grouping.told_by == "one size"
    assert "10.0 mm" in grouping.findings[0].text
    assert [[o.size for o in piece.outlines] for piece in found.pieces] == [[""]] * 3
    assert [piece.inside for piece in found.pieces] == [(3,), (4,), (5,)]


def test_numbers_beside_the_lines_name_the_sizes():
    drawing = fronts(PLACES, 3, "colours")
    words = []
    for t in drawing.truth:  # outside the hem's end, just below it
        x, y = t.path.curves[4, 3]
        words.append(say(str(40 + 2 * t.size), x + 30, y + 1.0, height=2.0))

    grouping = group_lines(drawing.lines, words)

    assert [group.size for group in grouping.groups] == ["40", "42", "44"]
    assert "size-names" not in {finding.code for finding in grouping.findings}


def test_numbers_in_the_colour_of_their_line_name_the_sizes():
    drawing = fronts(PLACES, 3, "colours")
    words = [
        say(size, 20 + 30 * n, 20, colour=style(n, "colours").colour)
        for n, size in enumerate(("S", "M", "L"))
    ]

    assert [group.size for group in group_lines(drawing.lines, words).groups] == ["S", "M", "L"]


@pytest.mark.parametrize("listed", ["40 42 44", "404244", "40/42/44"])
def test_a_list_of_sizes_in_one_run_names_them_by_area(listed):
    drawing = fronts(PLACES, 3, "nothing")

    grouping = group_lines(drawing.lines, [say(listed, 100, 500)])

    assert [group.size for group in grouping.groups] == ["40", "42", "44"]


def test_a_legend_of_samples_names_the_sizes():
    drawing = fronts(PLACES, 4, "dashes", "once")
    samples, words = [], []
    for n, size in enumerate(("Size 36", "Size 38", "Size 40", "Size 42")):
        samples.append(whole(Path.through([(900, 100 + 9 * n), (930, 100 + 9 * n)]), style(n, "dashes")))
        words.append(say(size, 936, 101 + 9 * n))

    grouping = group_lines(list(drawing.lines) + samples, words)

    assert [group.size for group in grouping.groups] == ["36", "38", "40", "42", "all"]


def test_sizes_without_any_words_are_numbered_and_told():
    grouping = group_lines(fronts(PLACES, 3, "colours").lines, [])

    assert [group.size for group in grouping.groups] == ["1", "2", "3"]
    assert [f.code for f in grouping.findings] == ["size-names"]


def test_groups_say_how_long_they_are():
    drawing = fronts(PLACES[:1], 1, "nothing")
    drawn = list(drawing.lines) + [whole(Path.through([(50, 200), (50, 300)]), THIN)]

    groups = {group.style: group.length for group in group_lines(drawn, []).groups}

    assert groups[THIN] == pytest.approx(100.0)
    # The outline's length by Shapely, at a thousandth of a millimetre.
    assert groups[BLACK] == pytest.approx(polygon(drawing.truth[0].path).length, rel=1e-4)


def test_the_person_may_say_what_a_group_is():
    grouping = group_lines(fronts(PLACES, 3, "colours").lines, [])

    changed = with_sizes(grouping, {"A": "XS", "b": "all", "C": "-"})

    assert [group.size for group in changed.groups] == ["XS", "all", "-"]
    assert [group.key for group in changed.groups] == ["A", "B", "C"]
    assert all(group.score == 1.0 for group in changed.groups)


def test_a_group_that_is_not_there_is_refused_with_those_that_are():
    grouping = group_lines(fronts(PLACES, 3, "colours").lines, [])

    with pytest.raises(InputError, match=r"'Q'.*A, B, C"):
        with_sizes(grouping, {"Q": "38"})


def test_a_size_that_cannot_be_a_name_is_refused():
    grouping = group_lines(fronts(PLACES, 3, "colours").lines, [])

    with pytest.raises(InputError):
        with_sizes(grouping, {"A": "a=b"})


def test_every_line_is_in_one_group():
    sheet = scene(pieces=12, shared="once")
    drawn, _ = sheet_lines(sheet)

    lines = [n for group in group_lines(drawn, sheet.words).groups for n in group.lines]

    assert sorted(lines) == list(range(len(drawn)))


def test_the_same_drawing_gives_the_same_groups():
    sheet = scene(told_by="nothing", shared="once")
    drawn, _ = sheet_lines(sheet)

    assert group_lines(drawn, sheet.words) == group_lines(drawn, sheet.words)


def test_nothing_drawn_is_no_group():
    assert group_lines([], []).groups == ()


def rays(places, count, black):
    """Sizes that draw only their side, from one point; neck, fold and hem are drawn once.

    The truth: from the fold's upper end clockwise, the side 6 mm further out in each size.
    """
    drawn, truth = [], []
    for x, y in places:
        for n in range(count):
            side = [(x + 100, y), (x + 140 + 6 * n, y + 120), (x + 140 + 6 * n, y + 220)]
            look = BLACK if black else style(n, "colours")
            layer = ("Size {}".format(36 + 2 * n),) if black else ()
            drawn.append(whole(Path.through(side), look, layer, len(drawn)))
            truth.append(Path.through([(x, y), *side, (x, y + 220)], closed=True))
        far = x + 140 + 6 * (count - 1)
        common = [(far, y + 220), (x, y + 220), (x, y), (x + 100, y)]
        drawn.append(whole(Path.through(common), BLACK, ("Base",) if black else (), len(drawn)))
    return drawn, truth


@pytest.mark.parametrize("black", [True, False])
@pytest.mark.parametrize("count", [2, 3, 5])
def test_what_is_drawn_once_for_all_sizes_is_not_the_largest(count, black):
    drawn, truth = rays(PLACES, count, black)

    grouping = group_lines(drawn, [])
    found = find_pieces(drawn, [], grouping)

    names = [str(36 + 2 * n if black else n + 1) for n in range(count)]
    step = count + 1
    expected = {name: set(range(n, 3 * step, step)) for n, name in enumerate(names)}
    assert sizes_of(grouping) == {**expected, "all": set(range(count, 3 * step, step))}
    outlines = [one for piece in found.pieces for one in piece.outlines]
    assert [one.size for one in outlines] == names * 3
    assert max(apart(one.path, true) for one, true in zip(outlines, truth)) < 0.02


@pytest.mark.parametrize("longer", [0.0, 2.0, 5.0])
def test_a_fold_line_with_ticks_at_its_ends_is_no_size(longer):
    drawn, truth, words = [], [], []
    for n in range(4):
        out = 6 * n
        right, low = 240 + out, 300 + out
        edge = [(100, 80 - out), (200 + out, 80 - out), (220 + out, 180), (right, low), (100, low)]
        drawn.append(whole(Path.through(edge), style(n, "colours")))
        truth.append(Path.through(edge, closed=True))
        words.append(say(str(36 + 2 * n), 231 + out, 200, height=2.0))
    top, foot = 62 - longer, 318 + longer
    drawn.append(whole(Path.through([(100, top), (100, foot)])))
    drawn += [whole(Path.through([(90, y), (110, y)])) for y in (62, 318)]

    grouping = group_lines(drawn, words)
    found = find_pieces(drawn, words, grouping)

    assert sizes_of(grouping) == {"36": {0}, "38": {1}, "40": {2}, "42": {3}, "all": {4, 5, 6}}
    assert [one.size for one in found.pieces[0].outlines] == ["36", "38", "40", "42"]
    assert max(apart(o.path, t) for o, t in zip(found.pieces[0].outlines, truth)) < 0.02
    assert "size-names" not in {f.code for f in grouping.findings}


def test_a_size_that_no_words_name_gets_no_invented_name():
    # 36 and 40 stand beside their lines; what lies between may be 37, 38 or 39.
    drawing = fronts(PLACES, 3, "colours")
    words = []
    for t in drawing.truth:
        if t.size != 1:
            x, y = t.path.curves[4, 3]
            words.append(say(str(36 + 2 * t.size), x + 30, y + 1.0, height=2.0))

    grouping = group_lines(drawing.lines, words)

    assert [group.size for group in grouping.groups] == ["36", "unnamed-1", "40"]
    told = [f.text for f in grouping.findings if f.code == "size-names"]
    assert len(told) == 1 and style(1, "colours").colour in told[0]


def test_a_layer_without_a_size_s_name_among_those_with_one_keeps_the_others_names():
    drawing = fronts(PLACES, 3, "nothing", layers=True)
    drawn = [line._replace(layers=("Extra",)) if n % 3 == 2 else line for n, line in enumerate(drawing.lines)]

    grouping = group_lines(drawn, [])

    assert sizes_of(grouping) == {"36": {0, 3, 6}, "38": {1, 4, 7}, "unnamed-1": {2, 5, 8}}
    told = [f for f in grouping.findings if f.code == "size-names"]
    assert [f.level for f in told] == [Level.WARN] and "'Extra'" in told[0].text


def test_numbered_sizes_are_not_said_to_be_without_words_where_there_are_some():
    drawing = fronts(PLACES, 3, "colours")

    grouping = group_lines(drawing.lines, [say("38", 900, 500), say("40", 900, 560)])

    assert [group.size for group in grouping.groups] == ["1", "2", "3"]
    told = [f.text for f in grouping.findings if f.code == "size-names"]
    assert "38, 40" in told[0] and "No words" not in told[0]


def test_stray_numbers_beside_some_lines_are_no_sizes():
    # Numbers of notches beside the two larger sizes: with a step of 5 the smallest were -3.
    drawing = fronts(PLACES[:1], 3, "colours")
    words = []
    for t in drawing.truth[1:]:
        x, y = t.path.curves[4, 3]
        words.append(say(("2", "7")[t.size - 1], x + 30, y + 1.0, height=2.0))

    assert [group.size for group in group_lines(drawing.lines, words).groups] == ["1", "2", "3"]


@pytest.mark.parametrize("drawn_in", [(1, 3), (2, 3), (0, 2, 3)])
def test_a_piece_that_lacks_sizes_has_those_that_words_beside_it_say(drawn_in):
    # All black; two fronts in sizes 36 to 42, a third only in some of them.
    drawing = fronts(PLACES, 4, "nothing")
    kept = [n for n, t in enumerate(drawing.truth) if t.piece < 2 or t.size in drawn_in]
    drawn = [drawing.lines[n] for n in kept]
    words = []
    for n in kept:
        t = drawing.truth[n]
        x, y = t.path.curves[4, 3]
        words.append(say(str(36 + 2 * t.size), x + 30, y + 1.0, height=2.0))

    found = find_pieces(drawn, words, group_lines(drawn, words))

    names = [[one.size for one in piece.outlines] for piece in found.pieces]
    assert names == [["36", "38", "40", "42"]] * 2 + [[str(36 + 2 * size) for size in drawn_in]]
    truth = [drawing.truth[n].path for n in kept]
    outlines = [one.path for piece in found.pieces for one in piece.outlines]
    assert max(apart(one, true) for one, true in zip(outlines, truth)) < 0.02
