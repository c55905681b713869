"""Layers of hand-written files: all ways in which a line comes to be in one, and which are off.

Expected visibility follows the wording of ISO 32000-1, 8.11.2 and 8.11.4.
"""

import io

import pytest

from sewkit.files.pdf_read import read_pages
from sewkit.sheet.drawn import Layer
from tests.files.pdf_assembler import Assembler, stream

LINE = b" 0 0 m 9 9 l S "


class Layered(Assembler):
    """A file with layers A, B (off) and C."""

    def __init__(self, setting=b"/OFF [%(B)d 0 R]"):
        super().__init__()
        self.groups = {}
        for name in (b"A", b"B", b"C"):
            self.groups[name] = self.add(b"<< /Type /OCG /Name (size %s) >>" % name)
        listed = b" ".join(b"%d 0 R" % number for number in self.groups.values())
        self.catalogue = b"/OCProperties << /OCGs [%s] /D << %s >> >>" % (listed, setting % self.groups)

    def with_names(self, text):
        return text % self.groups

    def read(self):
        return read_pages(io.BytesIO(self.bytes()))


def places(printed, page=0):
    return [(one.layers, one.hidden) for one in printed.pages[page].drawn]


def test_marked_content_by_a_name_of_the_page_and_nested():
    file = Layered()
    content = (
        b"/OC /X BDC"
        + LINE
        + b"/OC /Y BDC"
        + LINE
        + b"/Span << /A 1 >> BDC"
        + LINE
        + b"EMC EMC"
        + LINE
        + b"EMC"
        + LINE
    )
    file.page(content, resources=file.with_names(b"/Properties << /X %(A)d 0 R /Y %(B)d 0 R >>"))

    a, both = ("size A",), ("size A", "size B")
    assert places(file.read()) == [(a, False), (both, True), (both, True), (a, False), ((), False)]


def test_one_name_may_mean_another_layer_on_another_page():
    file = Layered()
    file.page(b"/OC /X BDC" + LINE + b"EMC", resources=file.with_names(b"/Properties << /X %(A)d 0 R >>"))
    file.page(b"/OC /X BDC" + LINE + b"EMC", resources=file.with_names(b"/Properties << /X %(B)d 0 R >>"))
    printed = file.read()

    assert places(printed, 0) + places(printed, 1) == [(("size A",), False), (("size B",), True)]


def test_a_form_is_in_a_layer_with_all_that_it_holds():
    file = Layered()
    form = b"/Subtype /Form /BBox [0 0 99 99] /OC %(B)d 0 R /Resources << /Properties << /X %(C)d 0 R >> >>"
    number = file.add(stream(LINE + b"/OC /X BDC" + LINE + b"EMC /OC /X BDC", file.with_names(form)))
    resources = file.with_names(b"/Properties << /X %(A)d 0 R >> /XObject << /F ") + b"%d 0 R >>" % number
    file.page(b"/OC /X BDC /F Do EMC" + LINE, resources=resources)

    assert places(file.read()) == [
        (("size A", "size B"), True),
        (("size A", "size B", "size C"), True),
        ((), False),  # what the form left open ends with the form
    ]


@pytest.mark.parametrize(
    "membership, names, hidden",
    [
        (b"/OCGs %(A)d 0 R", "A", False),
        (b"/OCGs %(B)d 0 R", "B", True),
        (b"/OCGs [%(A)d 0 R %(B)d 0 R]", "AB", False),  # AnyOn is meant where nothing is said
        (b"/OCGs [%(A)d 0 R %(B)d 0 R] /P /AnyOn", "AB", False),
        (b"/OCGs [%(A)d 0 R %(B)d 0 R] /P /AllOn", "AB", True),
        (b"/OCGs [%(A)d 0 R %(B)d 0 R] /P /AnyOff", "AB", False),
        (b"/OCGs [%(A)d 0 R %(B)d 0 R] /P /AllOff", "AB", True),
        (b"/OCGs [%(B)d 0 R] /P /AllOff", "B", False),
        (b"/OCGs [%(A)d 0 R %(C)d 0 R] /P /AllOn", "AC", False),
        (b"/OCGs [null]", "", False),  # nothing named: always seen
        (b"", "", False),
        (b"/VE [/Not %(A)d 0 R]", "A", True),
        (b"/VE [/And %(A)d 0 R [/Not %(B)d 0 R]]", "AB", False),
        (b"/VE [/Or %(B)d 0 R [/Not %(C)d 0 R]]", "BC", True),
        (b"/VE [/Or %(B)d 0 R] /OCGs %(A)d 0 R /P /AllOn", "AB", True),  # the expression goes first
        (b"/VE [/Sometimes %(B)d 0 R] /OCGs %(A)d 0 R", "AB", False),  # no such word: as without it
    ],
)
@pytest.mark.parametrize("way", ["named", "in the stream", "on a form"])
def test_memberships_of_several_layers(membership, names, hidden, way):
    file = Layered()
    text = b"<< /Type /OCMD %s >>" % file.with_names(membership)
    if way == "named":
        number = file.add(text)
        file.page(b"/OC /M BDC" + LINE + b"EMC", resources=b"/Properties << /M %d 0 R >>" % number)
    elif way == "in the stream":
        file.page(b"/OC " + text + b" BDC" + LINE + b"EMC")
    else:
        form = file.add(stream(LINE, b"/Subtype /Form /BBox [0 0 99 99] /OC %s" % text))
        file.page(b"/F Do", resources=b"/XObject << /F %d 0 R >>" % form)

    assert places(file.read()) == [(tuple("size " + name for name in names), hidden)]


@pytest.mark.parametrize(
    "setting, off",
    [
        (b"", ""),
        (b"/OFF [%(B)d 0 R %(C)d 0 R]", "BC"),
        (b"/BaseState /OFF", "ABC"),
        (b"/BaseState /OFF /ON [%(C)d 0 R]", "AB"),
        (b"/BaseState /ON /OFF [%(A)d 0 R] /ON [%(B)d 0 R]", "A"),
    ],
)
def test_layers_are_listed_in_order_with_those_that_are_off(setting, off):
    file = Layered(setting)
    content = b"".join(b"/OC /%s BDC" % name + LINE + b"EMC " for name in file.groups)
    names = b" ".join(b"/%s %d 0 R" % pair for pair in file.groups.items())
    file.page(content, resources=b"/Properties << %s >>" % names)
    printed = file.read()

    assert printed.layers == tuple(Layer("size " + name, name in off) for name in "ABC")
    assert places(printed) == [(("size " + name,), name in off) for name in "ABC"]


def test_layer_names_in_any_script():
    file = Assembler()
    group = file.add(b"<< /Type /OCG /Name <FEFF004700720F6600DF0065> >>")
    plain = file.add(b"<< /Type /OCG /Name (Gr\\366\\337e) >>")
    file.catalogue = b"/OCProperties << /OCGs [%d 0 R %d 0 R] /D << >> >>" % (group, plain)
    file.page(LINE)

    names = [layer.name for layer in read_pages(io.BytesIO(file.bytes())).layers]
    assert names == ["Gr\u0f66ße", "Größe"]


def test_a_name_that_the_page_does_not_know_is_no_layer():
    file = Layered()
    file.page(b"/OC /X BDC" + LINE + b"EMC EMC EMC" + LINE)

    assert places(file.read()) == [((), False), ((), False)]


def test_words_are_in_layers_too():
    file = Layered()
    font = b"/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>"
    content = b"/OC /X BDC BT /F 12 Tf 50 50 Td (hem) Tj ET EMC"
    file.page(content, resources=font + file.with_names(b" /Properties << /X %(B)d 0 R >>"))
    (words,) = file.read().pages[0].words

    assert (words.text, words.layers, words.hidden) == ("hem", ("size B",), True)
