"""Colours of hand-written pages, as text."""

import colorsys
import io

import pytest

from sewkit.files.pdf_read import read_pages
from tests.files.pdf_assembler import Assembler, stream

FUNCTION = b"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] /N 1 >>"


def colour(content, spaces=b""):
    file = Assembler()
    profile = {size: file.add(stream(b"", b"/N %d" % size)) for size in (1, 3, 4)}
    table = file.add(stream(b"\x00\x00\x00\xff\x80\x40"))
    spaces = spaces.replace(b"GRAY", b"%d 0 R" % profile[1]).replace(b"THREE", b"%d 0 R" % profile[3])
    spaces = spaces.replace(b"FOUR", b"%d 0 R" % profile[4]).replace(b"TABLE", b"%d 0 R" % table)
    resources = b"/ColorSpace << %s >>" % spaces.replace(b"FUNCTION", FUNCTION)
    file.page(content + b" 0 0 m 9 9 l S", resources=resources)
    return [one.style.colour for one in read_pages(io.BytesIO(file.bytes())).pages[0].drawn]


@pytest.mark.parametrize(
    "content, expected",
    [
        (b"", "#000000"),
        (b"0.2 G", "#333333"),
        (b"1 0.4 0 RG", "#ff6600"),
        (b"2 -1 0 RG", "#ff0000"),
        (b"0 1 0 0 K", "#ff00ff"),  # 1 - min(1, c + k): ISO 32000-1, 10.3.5
        (b"0.2 0 0.4 0.4 K", "#669933"),
        (b"/DeviceRGB CS", "#000000"),
        (b"/DeviceRGB CS 0 0 1 SC", "#0000ff"),
        (b"/DeviceCMYK CS 0 0 1 0 SCN", "#ffff00"),
        (b"/Unknown CS 0.2 SC", "#333333"),
        (b"/DeviceRGB CS SC", "#000000"),
        (b"/DeviceRGB CS 1 SC", "#ff0000"),
    ],
)
def test_device_colours(content, expected):
    assert colour(content) == [expected]


@pytest.mark.parametrize(
    "space, numbers, expected",
    [
        (b"[/ICCBased GRAY]", b"0.2", "#333333"),
        (b"[/ICCBased THREE]", b"0 0.4 0", "#006600"),
        (b"[/ICCBased FOUR]", b"0 1 0 0", "#ff00ff"),
        (b"[/CalRGB << /WhitePoint [1 1 1] >>]", b"0 0.4 0", "#006600"),
        (b"[/Indexed /DeviceRGB 1 <000000FF8040>]", b"1", "#ff8040"),
        (b"[/Indexed /DeviceRGB 1 TABLE]", b"1", "#ff8040"),
        (b"[/Indexed [/ICCBased THREE] 1 TABLE]", b"0", "#000000"),
        (b"[/Pattern /DeviceRGB]", b"1 0 0 /P1", "#ff0000"),
        (b"/Pattern", b"/P1", "#808080"),
        (b"[/Separation /Cut#20Line /DeviceCMYK FUNCTION]", b"1", "ink:Cut Line"),
        (b"[/Separation /Cut#20Line /DeviceCMYK FUNCTION]", b"", "ink:Cut Line"),  # full ink to begin with
        (b"[/Separation /Cut#20Line /DeviceCMYK FUNCTION]", b"0.25", "ink:Cut Line 25%"),
        (b"[/Separation /Gr#c3#b6#c3#9fe /DeviceCMYK FUNCTION]", b"1", "ink:Größe"),
        (b"[/Separation /Black /DeviceCMYK FUNCTION]", b"0.6", "#666666"),
        (b"[/Separation /All /DeviceCMYK FUNCTION]", b"1", "ink:All"),
        (b"[/DeviceN [/Cut /Fold] /DeviceCMYK FUNCTION]", b"0 1", "ink:Fold"),
        (b"[/DeviceN [/Cut /Fold] /DeviceCMYK FUNCTION]", b"1 0.5", "ink:Cut+Fold 50%"),
        (b"[/DeviceN [/Cyan /Black] /DeviceCMYK FUNCTION]", b"1 0", "#00ffff"),
    ],
)
def test_named_spaces(space, numbers, expected):
    content = b"/X CS" + (b" " + numbers + b" SCN" if numbers else b"")

    assert colour(content, b"/X " + space) == [expected]


def test_the_ink_called_none_leaves_no_mark():
    assert colour(b"/X CS 1 SCN", b"/X [/Separation /None /DeviceCMYK FUNCTION]") == []


@pytest.mark.parametrize(
    "lab, rgb",
    [
        # Published sRGB primaries in CIE Lab, D65 (e.g. B. Lindbloom's calculator), to two digits
        ((53.24, 80.09, 67.20), (1, 0, 0)),
        ((87.73, -86.18, 83.18), (0, 1, 0)),
        ((32.30, 79.19, -107.86), (0, 0, 1)),
        ((100, 0, 0), (1, 1, 1)),
        ((53.59, 0, 0), (0.5, 0.5, 0.5)),
    ],
)
def test_lab_is_near(lab, rgb):
    content = b"/X CS %f %f %f SCN" % lab
    (found,) = colour(content, b"/X [/Lab << /WhitePoint [0.95 1 1.09] /Range [-128 127 -128 127] >>]")
    parts = [int(found[at : at + 2], 16) / 255 for at in (1, 3, 5)]

    assert parts == pytest.approx(rgb, abs=0.02)


def test_fill_and_stroke_keep_their_own_colours():
    file = Assembler()
    file.page(b"1 0 0 RG 0 1 0 rg 0 0 m 9 0 l 9 9 l B 0 0 m 9 0 l 9 9 l f q 0 g Q 0 0 m 9 0 l 9 9 l S")
    found = [one.style[::3] for one in read_pages(io.BytesIO(file.bytes())).pages[0].drawn]

    assert found == [("#ff0000", "#00ff00"), ("", "#00ff00"), ("#ff0000", "")]


def test_hues_of_twelve_sizes_stay_apart():
    hues = [colorsys.hsv_to_rgb(size / 12, 1, 0.8) for size in range(12)]
    found = {colour(b"%f %f %f RG" % hue)[0] for hue in hues}

    assert len(found) == 12
