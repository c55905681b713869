"""Damaged, hostile and locked PDFs: read as far as they go, or refused with one sentence."""

import builtins
import hashlib
import io
import random
import sys
import time
import zlib

import pytest

from sewkit.errors import FileError, InputError, MissingExtra, SewkitError
from sewkit.files import pdf_filters
from sewkit.files.pdf_filters import Spoiled, TooLarge, unpack
from sewkit.files.pdf_objects import PatientStream, Tired
from sewkit.files.pdf_read import read_pages
from tests.files.pdf_assembler import Assembler, page, stream

LINE = b"0 0 m 9 9 l S "


def read(data):
    return read_pages(io.BytesIO(data))


# -- What is no PDF, or locked ------------------------------------------------------------


@pytest.mark.parametrize(
    "data",
    [b"", b"GIF89a", b"<svg/>", b"%!PS-Adobe-3.0\n", b"\0" * 5000],
    ids=["none", "gif", "svg", "ps", "zeros"],
)
def test_what_is_no_pdf_is_refused(data):
    with pytest.raises(FileError) as told:
        read(data)
    assert told.value.code == "not-a-pdf"


# First bytes: ISO/IEC 10918-1 (SOI and a marker), ISO/IEC 15948 5.2, PKWARE APPNOTE 4.3.7.
@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "JPEG"),
        (b"\x89PNG\r\n\x1a\n", "PNG"),
        (b"PK\x03\x04\x14\0", "ZIP"),
        (b"\n<!DOCTYPE html><html>", "web page"),
        (b"<?xml version='1.0'?>\n<!-- a -->\n<svg>", "SVG"),
        (b"\xef\xbb\xbf<svg/>", "SVG"),
        (b"", "empty"),
        (b"\0" * 5000, "something else"),
    ],
)
def test_a_renamed_file_is_told_by_what_it_is(data, kind, tmp_path):
    file = tmp_path / "gown.pdf"
    file.write_bytes(data)

    with pytest.raises(FileError, match=kind) as told:
        read_pages(file)

    assert "ends in .pdf" not in str(told.value)


def test_a_file_of_another_name_is_sent_to_the_pdf(tmp_path):
    file = tmp_path / "gown.jpg"
    file.write_bytes(b"\xff\xd8\xff\xe0")

    with pytest.raises(FileError, match=r"ends in \.pdf"):
        read_pages(file)


def test_a_file_that_is_not_there_is_told_by_its_name(tmp_path):
    with pytest.raises(FileError, match="gown"):
        read_pages(tmp_path / "gown.pdf")


def test_without_pypdf_the_cure_is_told(monkeypatch):
    monkeypatch.setitem(sys.modules, "pypdf", None)
    with pytest.raises(MissingExtra) as told:
        read(page(LINE))
    assert told.value.extra == "pdf"


@pytest.mark.parametrize(
    "error",
    [
        SyntaxError("invalid syntax"),
        ImportError("cannot import name 'Self' from 'typing'", name="typing"),
        ModuleNotFoundError("No module named 'typing_extensions'", name="typing_extensions"),
    ],
)
def test_a_pypdf_for_another_python_has_a_cure_that_fits_the_editor(error, monkeypatch):
    def load(name, *rest, **named):
        if name == "pypdf":
            raise error
        return real(name, *rest, **named)

    real = builtins.__import__
    monkeypatch.setattr(builtins, "__import__", load)
    with pytest.raises(FileError, match="zip anew") as told:
        read(page(LINE))

    assert "pypdf<6" in str(told.value)
    assert "command line" in str(told.value)


PADDING = bytes.fromhex("28BF4E5E4E758A4164004E56FFFA01082E2E00B6D0683E802F0CA9FE6453697A")


def rc4(key, data):
    """The cipher of ISO 32000-1, 7.6.2, as published."""
    box, j = list(range(256)), 0
    for i in range(256):
        j = (j + box[i] + key[i % len(key)]) & 255
        box[i], box[j] = box[j], box[i]
    out, i, j = bytearray(), 0, 0
    for byte in data:
        i = (i + 1) & 255
        j = (j + box[i]) & 255
        box[i], box[j] = box[j], box[i]
        out.append(byte ^ box[(box[i] + box[j]) & 255])
    return bytes(out)


def locked(user, content=LINE):
    """A file encrypted with 40 bits (ISO 32000-1, 7.6.3, algorithms 1 to 4, revision 2)."""
    file = Assembler()
    padded = (user + PADDING)[:32]
    owner = rc4(hashlib.md5((b"maker" + PADDING)[:32]).digest()[:5], padded)
    permissions = (2**32 - 64).to_bytes(4, "little")  # nothing but looking is allowed
    key = hashlib.md5(padded + owner + permissions + b"0123456789abcdef").digest()[:5]
    number = file.later()
    object_key = hashlib.md5(key + number.to_bytes(3, "little") + b"\0\0").digest()[:10]
    file.objects[number] = stream(rc4(object_key, content))
    file.kids.append(
        file.add(b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Contents %d 0 R >>" % number)
    )
    cipher = file.add(
        b"<< /Filter /Standard /V 1 /R 2 /P -64 /O <%s> /U <%s> >>"
        % (owner.hex().encode(), rc4(key, PADDING).hex().encode())
    )
    identity = b"0123456789abcdef".hex().encode()
    extra = b"/Encrypt %d 0 R /ID [<%s> <%s>]\n" % (cipher, identity, identity)
    return file.bytes().replace(b"trailer\n<< ", b"trailer\n<< " + extra)


def test_a_file_that_opens_without_a_password_is_read():
    assert len(read(locked(b"")).pages[0].drawn) == 1


def test_a_file_with_a_password_is_refused_with_the_way_out():
    with pytest.raises(InputError) as told:
        read(locked(b"secret"))
    assert told.value.code == "pdf-password"
    assert told.value.cure


# -- Damage -------------------------------------------------------------------------------


def tiles(count=3):
    file = Assembler()
    for _ in range(count):
        file.page(LINE * 20, packed=True)
    return file.bytes()


def test_a_file_without_its_table_is_read_with_a_doubt():
    file = Assembler()
    file.page(LINE)
    printed = read(file.bytes(table=False))

    assert len(printed.pages[0].drawn) == 1
    assert printed.doubts


def test_a_download_that_broke_off_gives_what_it_has():
    file = Assembler()
    for _ in range(3):
        file.page(LINE)
    data = file.bytes(table=False)
    cut = data[: data.rindex(b"/Type /Page ")]  # within the third page
    # The tree of pages came first in the file, and still names the third.
    printed = read(cut)

    assert [len(found.drawn) for found in printed.pages][:2] == [1, 1]
    assert printed.doubts


def test_objects_packed_together_are_found_again():
    inside = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Contents 5 0 R >>",
    ]
    offsets, at = [], 0
    for body in inside:
        offsets.append(at)
        at += len(body) + 1
    head = b" ".join(b"%d %d" % pair for pair in zip((1, 2, 3), offsets)) + b" "
    packed = stream(head + b"\n".join(inside), b"/Type /ObjStm /N 3 /First %d" % len(head), packed=True)
    data = b"%PDF-1.5\n4 0 obj\n" + packed + b"\nendobj\n5 0 obj\n" + stream(LINE) + b"\nendobj\n"

    assert len(read(data).pages[0].drawn) == 1


def test_a_stream_cut_short_gives_its_beginning():
    whole = zlib.compress(b"".join(b"%d 0 m 5 9 l S " % x for x in range(300)))
    file = Assembler()
    file.page(b"")
    number = max(file.objects) - 1
    file.objects[number] = stream(whole[: len(whole) // 2], b"/Filter /FlateDecode")
    printed = read(file.bytes())

    assert 50 < len(printed.pages[0].drawn) < 300
    assert printed.doubts


@pytest.mark.parametrize("seed", range(8))
def test_whatever_is_done_to_its_bytes_a_file_is_read_or_refused(seed):
    draw = random.Random(seed)
    file = Assembler(b"/OCProperties << /OCGs [] /D << >> >> /PageLabels << /Nums [0 << /S /r >>] >>")
    form = file.add(stream(LINE, b"/Subtype /Form /BBox [0 0 99 99] /Matrix [1 0 0 1 0 0]"))
    font = b"/Font << /F << /Subtype /Type1 /BaseFont /Helvetica /Encoding << /Differences [65 /B] >> >> >>"
    content = (
        b"q 0 0 99 99 re W n /F Do BT /F 9 Tf [(a) 9 (b)] TJ ET 0.5 g 0 0 m 1 2 3 4 5 6 c [3 2] 0 d S Q "
    )
    file.page(content * 2, resources=font + b" /XObject << /F %d 0 R >>" % form)
    file.page(content, b"/Rotate 90 /UserUnit 2 /CropBox [1 2 300 400]", font, packed=True)
    whole = file.bytes()
    for _ in range(40):
        try:
            read(spoiled(whole, draw))
        except SewkitError as error:
            assert str(error)


SPICE = [
    b"",
    b"0",
    b"-",
    b"(",
    b")",
    b"<<",
    b">>",
    b"[",
    b"]",
    b"/",
    b"%",
    b"R",
    b"obj",
    b"endobj",
    b"stream",
]
SPICE += [b"9" * 30, b"1e9", b"\xff\xfe", b"\0\0\0", b"null", b"1 0 R", b"2 0 R", b"BI ID", b"q ", b"/F Do"]


def spoiled(data, draw):
    for _ in range(draw.randint(1, 6)):
        at = draw.randrange(len(data))
        until = at + draw.choice([0, 1, 1, 2, 5, 40])
        data = data[:at] + draw.choice(SPICE) + data[until:]
    return data


@pytest.mark.parametrize("seed", range(4))
def test_any_bytes_as_a_page_are_stepped_through(seed):
    draw = random.Random(seed)
    words = [
        b"q",
        b"Q",
        b"cm",
        b"m",
        b"l",
        b"c",
        b"re",
        b"h",
        b"S",
        b"f",
        b"W",
        b"n",
        b"d",
        b"w",
        b"gs",
        b"scn",
    ]
    words += [
        b"Tf",
        b"Tj",
        b"TJ",
        b"'",
        b'"',
        b"Do",
        b"BDC",
        b"EMC",
        b"BI",
        b"ID",
        b"EI",
        b"CS",
        b"RG",
        b"Tm",
    ]
    words += [
        b"0",
        b"1",
        b"-7.5",
        b"1e9",
        b"99999999999999",
        b"(a)",
        b"<41>",
        b"[",
        b"]",
        b"<<",
        b">>",
        b"/F",
        b"/OC",
    ]
    for _ in range(40):
        content = b" ".join(draw.choice(words) for _ in range(400))
        assert len(read(page(content)).pages) == 1


# -- Too much -----------------------------------------------------------------------------


def zeros(megabytes):
    """Zeros as a packed stream without an end; a block may stand again after a full flush."""
    packer = zlib.compressobj(9)
    head = packer.compress(b"") + packer.flush(zlib.Z_FULL_FLUSH)
    block = packer.compress(bytes(1 << 20)) + packer.flush(zlib.Z_FULL_FLUSH)
    return head + block * megabytes


def test_a_stream_that_unpacks_without_end_is_refused_soon():
    bomb = zlib.compress(zeros(2000), 9)
    file = Assembler()
    file.page(b"")
    file.objects[max(file.objects) - 1] = stream(bomb, b"/Filter [/FlateDecode /FlateDecode]")
    start = time.perf_counter()
    with pytest.raises(FileError) as told:
        read(file.bytes())

    assert told.value.code == "pdf-too-large"
    assert time.perf_counter() - start < 10


@pytest.mark.parametrize("kind", [b"XRef", b"ObjStm"])
def test_tables_that_unpack_without_end_are_refused(kind):
    bomb = zeros(120)
    packed = b"<< /Type /%s /W [1 2 1] /Size 9 /N 1 /First 4 /Root 1 0 R " % kind
    packed += b"/Length %d /Filter /FlateDecode >>\nstream\n%s\nendstream" % (len(bomb), bomb)
    data = b"%PDF-1.5\n4 0 obj\n" + packed + b"\nendobj\nstartxref\n9\n%%EOF\n"
    with pytest.raises(FileError):
        read(data)


def test_forms_that_multiply_are_refused(monkeypatch):
    monkeypatch.setattr("sewkit.files.pdf_tokens.MOST_STEPS", 500000)
    file = Assembler()
    inner = file.add(stream(LINE, b"/Subtype /Form /BBox [0 0 99 99]"))
    for _ in range(9):
        resources = b"/Subtype /Form /BBox [0 0 99 99] /Resources << /XObject << /F %d 0 R >> >>" % inner
        inner = file.add(stream(b"/F Do " * 10, resources))
    file.page(b"/F Do", resources=b"/XObject << /F %d 0 R >>" % inner)  # a thousand million lines
    with pytest.raises(FileError) as told:
        read(file.bytes())
    assert told.value.code == "pdf-too-much"


def test_more_steps_than_the_limit_are_refused(monkeypatch):
    monkeypatch.setattr("sewkit.files.pdf_tokens.MOST_STEPS", 1000)
    with pytest.raises(FileError) as told:
        read(page(LINE * 1000))
    assert told.value.code == "pdf-too-much"


# -- Unpacking ----------------------------------------------------------------------------

PLAIN = bytes(range(256)) * 3 + b"0 0 m 9 9 l S" * 50


def png_rows(data, columns, kind):
    """The differences of PNG's specification, 9.2, taken the straightforward way."""
    rows, above = b"", bytes(columns)
    for at in range(0, len(data), columns):
        row = data[at : at + columns]
        coded = bytearray([kind])
        for i, byte in enumerate(row):
            left, corner = (row[i - 1], above[i - 1]) if i else (0, 0)
            up = above[i]
            aim = left + up - corner
            near = min((left, up, corner), key=lambda value, aim=aim: abs(aim - value))
            coded.append((byte - (0, left, up, (left + up) // 2, near)[kind]) & 255)
        rows, above = rows + bytes(coded), row
    return rows


@pytest.mark.parametrize("kind", range(5))
def test_rows_of_differences(kind):
    data = PLAIN[:1400]
    packed = zlib.compress(png_rows(data, 28, kind))

    assert unpack(packed, [("FlateDecode", {"Predictor": 15, "Columns": 28})]) == (data, True)


def test_filters_one_after_the_other():
    packed = zlib.compress(PLAIN).hex().encode() + b">"

    assert unpack(packed, [("ASCIIHexDecode", {}), ("FlateDecode", {})]) == (PLAIN, True)


def test_filters_as_others_pack_them():
    pdfutils = pytest.importorskip("reportlab.lib.rl_accel")

    assert unpack(pdfutils.asciiBase85Encode(PLAIN).encode(), [("ASCII85Decode", {})]) == (PLAIN, True)


def test_run_lengths():
    # ISO 32000-1, 7.4.5: 2 means three bytes follow; 254 means the next byte three times; 128 ends
    assert unpack(b"\x02abc\xfed\x80", [("RunLengthDecode", {})]) == (b"abcddd", True)


def test_the_code_of_the_standard_s_own_example():
    # ISO 32000-1, 7.4.4.2, example 1
    packed = bytes.fromhex("800B6050220C0C8501")

    assert unpack(packed, [("LZWDecode", {})]) == (bytes([45, 45, 45, 45, 45, 65, 45, 45, 45, 66]), True)


def test_a_long_code_as_pypdf_reads_it():
    codecs = pytest.importorskip("pypdf._codecs._codecs")
    data = PLAIN * 40

    assert unpack(codecs.LzwCodec().encode(data), [("LZWDecode", {})])[0] == data


@pytest.mark.parametrize("name", ["DCTDecode", "Unheard"])
def test_packing_for_photographs_is_not_undone(name):
    with pytest.raises(Spoiled):
        unpack(b"abc", [(name, {})])


@pytest.mark.parametrize("name, data", [("RunLengthDecode", b"\x81a" * 999), ("ASCII85Decode", b"z" * 999)])
def test_every_filter_has_its_limit(name, data):
    with pytest.raises(TooLarge):
        unpack(data, [(name, {})], limit=500)


def test_damage_in_packed_data_costs_only_what_follows():
    packed = bytearray(zlib.compress(PLAIN * 30, 1))
    packed[len(packed) // 2] ^= 255
    data, sound = unpack(bytes(packed), [("FlateDecode", {})])

    assert not sound
    assert len(data) > 1000
    assert data[:1000] == (PLAIN * 30)[:1000]


def test_a_spoiled_heading_is_forgiven():
    packed = b"\0\0" + zlib.compress(PLAIN)[2:]

    assert unpack(packed, [("FlateDecode", {})]) == (PLAIN, False)


def test_a_tower_of_filters_is_refused():
    with pytest.raises(Spoiled):
        unpack(b"00", [("ASCIIHexDecode", {})] * (pdf_filters.MOST_FILTERS + 1))


def test_reading_in_circles_ends():
    stream = PatientStream(b"[ endo ]")
    with pytest.raises(Tired):
        for _ in range(10**7):
            stream.seek(0)
            stream.read(1)


@pytest.mark.parametrize("body", [b"[ 1 2 endo", b"<< /A [ (", b"<< /Kids [ endobj", b"[[[[<<", b"(", b"<"])
def test_objects_that_never_end_are_no_trap(body):
    file = Assembler()
    file.page(LINE)
    data = file.bytes().replace(b"<< /Type /Catalog", body + b" << /Type /Catalog", 1)
    start = time.perf_counter()
    try:
        read(data)
    except SewkitError as error:
        assert str(error)

    assert time.perf_counter() - start < 20
