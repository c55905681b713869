"""Write a document as a PDF at true scale.

The artwork is one form, drawn once in millimetres; a page clips its windows, moves the form
there and draws what is its own beside.  A page's one matrix turns mm, y down, into the file's
1/72 inch, y up.  Viewers are told not to scale.  The same document gives the same bytes.
"""

from typing import Dict, Sequence, Tuple

from sewkit import __version__
from sewkit.files.pdf_write_ink import BOLD_FONT, PLAIN_FONT, drawn_content, extent
from sewkit.files.pdf_write_layers import add_layers
from sewkit.files.pdf_write_objects import Body, number_text, text_string
from sewkit.files.pdf_write_shared import shared_drawings
from sewkit.paper.document import Document, Drawn, Page, Window
from sewkit.units import MILLIMETRES

# Units of a page in a millimetre, where its unit is 1/72 inch.
_UNITS = 1.0 / MILLIMETRES["pt"]

# Decimals of what is multiplied by lengths of some metres: the product is right to 0.00001 mm.
_FACTOR_DECIMALS = 10
_SIZE_DECIMALS = 6

Box = Tuple[float, float, float, float]  # left, top, right, bottom (mm)

_TRUE_SCALE = "/PrintScaling /None /PickTrayByPDFSize true /DisplayDocTitle true"


def write_pdf(document: Document) -> bytes:
    """The bytes of a PDF file.

    ``ValueError`` for a document without pages, two layers of one name, or something drawn on
    a layer that the document does not have.
    """
    if not document.pages:
        raise ValueError("a document has at least one page")
    body = Body()
    known, properties, optional = add_layers(body, document.layers)
    resources = body.reserve()
    forms: Dict[str, int] = {}
    if any(page.windows for page in document.pages):
        seen = [_box(one) for page in document.pages for one in page.windows]
        forms["A"] = _add_form(body, document.artwork, seen, known, resources)
    shared, own = shared_drawings(document.pages)
    sizes = [(0.0, 0.0, page.width, page.height) for page in document.pages]
    for place, (drawn, _) in enumerate(shared):
        forms["S{}".format(place)] = _add_form(body, drawn, sizes, known, resources)
    tree = body.reserve()
    leaves = []
    for number, page in enumerate(document.pages):
        used = ["S{}".format(place) for place, (_, pages) in enumerate(shared) if number in pages]
        content = _page_content(page, own[number], used, document.unit, known)
        leaves.append(_add_page(body, page, content, document.unit, (tree, resources)))
    kids = " ".join("{} 0 R".format(leaf) for leaf in leaves)
    body.put(tree, "<< /Type /Pages /Count {} /Kids [{}] >>".format(len(leaves), kids))
    body.put(resources, _resources(body, forms, properties))
    return body.file(_add_catalog(body, document, tree, optional), _add_information(body, document))


def _add_form(body: Body, drawn: Drawn, seen: Sequence[Box], known: Dict[str, str], resources: int) -> int:
    """What is drawn as a form of its own, which pages can show as often as they like.

    Its box, to which viewers clip it, reaches as far as all that is ``seen`` of it: so it cuts
    nothing away, and a reader finds no other clip than the windows.
    """
    left, top, right, bottom = zip(extent(drawn), *seen)
    box = " ".join(number_text(value) for value in (min(left), min(top), max(right), max(bottom)))
    entries = "/Type /XObject /Subtype /Form /BBox [{}] /Resources {} 0 R".format(box, resources)
    return body.stream(drawn_content(drawn, known), entries)


def _page_content(page: Page, own: Drawn, shared: Sequence[str], unit: float, known: Dict[str, str]) -> bytes:
    factor = number_text(_UNITS / unit, _FACTOR_DECIMALS)
    parts = ["{} 0 0 -{} 0 {} cm".format(factor, factor, _size_text(page.height, unit))]
    if page.ground is not None:
        ink = " ".join(number_text(part, 3) for part in page.ground)
        parts.append(
            "q {} rg 0 0 {} {} re f Q".format(ink, number_text(page.width), number_text(page.height))
        )
    fills, rest = drawn_content(Drawn((), own.fills), known), drawn_content(own._replace(fills=()), known)
    drawn = [_apart(fills), " ".join("/{} Do".format(name) for name in shared).encode("ascii"), _apart(rest)]
    windows = "\n".join(_window(one) for one in page.windows).encode("ascii")
    drawn = [*drawn, windows] if page.below else [windows, *drawn]
    return b"\n".join(filter(None, ["\n".join(parts).encode("ascii"), *drawn]))


def _apart(content: bytes) -> bytes:
    """Content whose pen and ink nothing behind it takes over."""
    return b"q\n" + content + b"\nQ" if content else b""


def _window(one: Window) -> str:
    """Clip to the window, move the artwork there, draw it."""
    width, height = one.width * one.scale, one.height * one.scale
    box = " ".join(number_text(value) for value in (one.x, one.y, width, height))
    across = -one.scale if one.mirrored else one.scale
    x = one.x + (width if one.mirrored else 0.0) - across * one.left
    y = one.y - one.scale * one.top
    factors = [number_text(value, _FACTOR_DECIMALS) for value in (across, one.scale)]
    moved = "{} 0 0 {} {} {} cm".format(*factors, number_text(x), number_text(y))
    return "q {} re W n {} /A Do Q".format(box, moved)


def _box(one: Window) -> Box:
    return one.left, one.top, one.left + one.width, one.top + one.height


def _size_text(mm: float, unit: float) -> str:
    """A length of the page in its own units."""
    return number_text(mm * _UNITS / unit, _SIZE_DECIMALS)


def _add_page(body: Body, page: Page, content: bytes, unit: float, above: Tuple[int, int]) -> int:
    tree, resources = above
    size = "{} {}".format(_size_text(page.width, unit), _size_text(page.height, unit))
    own_unit = "" if unit == 1.0 else " /UserUnit {}".format(number_text(unit, _FACTOR_DECIMALS))
    stream = body.stream(content)
    text = "<< /Type /Page /Parent {} 0 R /MediaBox [0 0 {}] /Contents {} 0 R /Resources {} 0 R{} >>"
    return body.add(text.format(tree, size, stream, resources, own_unit))


def _resources(body: Body, forms: Dict[str, int], properties: str) -> str:
    """What all pages and forms draw with."""
    font = "<< /Type /Font /Subtype /Type1 /BaseFont /{} /Encoding /WinAnsiEncoding >>"
    fonts = [(PLAIN_FONT, "Helvetica"), (BOLD_FONT, "Helvetica-Bold")]
    named = " ".join("/{} {} 0 R".format(name, body.add(font.format(face))) for name, face in fonts)
    parts = ["/Font << {} >>".format(named)]
    if forms:
        listed = " ".join("/{} {} 0 R".format(name, number) for name, number in forms.items())
        parts.append("/XObject << {} >>".format(listed))
    if properties:
        parts.append("/Properties << {} >>".format(properties))
    return "<< {} >>".format(" ".join(parts))


def _add_catalog(body: Body, document: Document, tree: int, optional: str) -> int:
    usual = "/UseOC" if optional else "/UseNone"
    parts = ["/Type /Catalog", "/Pages {} 0 R".format(tree)]
    parts.append("/PageMode {}".format("/FullScreen" if document.full_screen else usual))
    after = " /NonFullScreenPageMode {}".format(usual) if document.full_screen else ""
    parts.append("/ViewerPreferences << {}{} >>".format(_TRUE_SCALE, after))
    if any(page.label for page in document.pages):
        parts.append("/PageLabels << /Nums [{}] >>".format(_labels(document.pages)))
    return body.add("<< {} >>".format(" ".join(filter(None, [*parts, optional]))))


def _labels(pages: Sequence[Page]) -> str:
    """What each page is called (12.4.2); one without a label by its number."""
    found = []
    for number, page in enumerate(pages):
        called = "/P {}".format(text_string(page.label)) if page.label else "/S /D /St {}".format(number + 1)
        found.append("{} << {} >>".format(number, called))
    return " ".join(found)


def _add_information(body: Body, document: Document) -> int:
    told = {"Title": document.title, "Subject": document.subject, "Producer": "sewkit " + __version__}
    parts = ["/{} {}".format(key, text_string(text)) for key, text in told.items() if text]
    return body.add("<< {} >>".format(" ".join(parts)))
