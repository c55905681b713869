"""Real PDFs from pages, by producers that know nothing of sewkit.

Each takes a ``Printed`` and gives the bytes of a PDF; it skips the test where its package is
absent.  They draw what the values say with their own strokes, dashes, clips and fonts.

=============  =======================================================================
cairo          24.8 fixed point: rounds to about 0.001 mm
reportlab      six decimals of a point
matplotlib     its own clip for every path, a white ground behind all
skia           the printing part of a web browser: dashes become filled strips
fpdf2          two decimals of a point
typst          a typesetter: relative curves, its own page groups
inkscape       the editor itself, through an SVG of one page (cairo inside)
written        by hand, see ``written.py``
=============  =======================================================================
"""

import importlib
import io
import shutil
import subprocess
from typing import Callable, Dict, Iterator, List, Sequence, Tuple

import numpy as np
import pytest

from sewkit.sheet.drawn import Drawn, Page, Printed
from tests.pdfs.written import write

POINTS = 72 / 25.4  # in a millimetre


def cairo(printed: Printed) -> bytes:
    """cairo through its C library."""
    cairocffi = needed("cairocffi")
    stream = io.BytesIO()
    surface = cairocffi.PDFSurface(stream, 10, 10)
    for page in printed.pages:
        surface.set_size(page.width * POINTS, page.height * POINTS)
        pen = cairocffi.Context(surface)
        pen.scale(POINTS, POINTS)
        for one in page.drawn:
            pen.save()
            _cairo_clip(pen, one.clip)
            for word, numbers in steps(one):
                {"M": pen.move_to, "L": pen.line_to, "C": pen.curve_to, "Z": pen.close_path}[word](*numbers)
            if one.style.fill:
                pen.set_source_rgb(*rgb(one.style.fill))
                pen.fill_preserve()
            if one.style.colour:
                pen.set_source_rgb(*rgb(one.style.colour))
                pen.set_line_width(one.style.width)
                pen.set_dash(list(one.style.dashes))
                pen.stroke()
            pen.restore()
        for text in page.words:
            pen.save()
            _cairo_clip(pen, text.clip)
            pen.set_source_rgb(*rgb(text.colour))
            pen.select_font_face("sans-serif")
            pen.set_font_size(text.height)
            pen.move_to(text.x, text.y)
            pen.show_text(text.text)
            pen.restore()
        surface.show_page()
    surface.finish()
    return stream.getvalue()


def _cairo_clip(pen, clip) -> None:
    pen.new_path()  # the path is no part of what save() keeps
    if clip is not None:
        pen.rectangle(clip[0], clip[1], clip[2] - clip[0], clip[3] - clip[1])
        pen.clip()


def reportlab(printed: Printed) -> bytes:
    """ReportLab; y runs up the page."""
    canvas_module = needed("reportlab.pdfgen.canvas")
    stream = io.BytesIO()
    pen = canvas_module.Canvas(stream, invariant=1)
    for page in printed.pages:
        pen.setPageSize((page.width * POINTS, page.height * POINTS))
        pen.transform(POINTS, 0, 0, -POINTS, 0, page.height * POINTS)
        for one in page.drawn:
            pen.saveState()
            _reportlab_clip(pen, one.clip)
            path = pen.beginPath()
            for word, numbers in steps(one):
                {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.close}[word](*numbers)
            if one.style.fill:
                pen.setFillColorRGB(*rgb(one.style.fill))
            if one.style.colour:
                pen.setStrokeColorRGB(*rgb(one.style.colour))
                pen.setLineWidth(one.style.width)
                pen.setDash(list(one.style.dashes))
            pen.drawPath(path, stroke=bool(one.style.colour), fill=bool(one.style.fill))
            pen.restoreState()
        for text in page.words:
            pen.saveState()
            _reportlab_clip(pen, text.clip)
            pen.transform(1, 0, 0, -1, text.x, text.y)
            pen.setFillColorRGB(*rgb(text.colour))
            pen.setFont("Helvetica", text.height)
            pen.drawString(0, 0, text.text)
            pen.restoreState()
        pen.showPage()
    pen.save()
    return stream.getvalue()


def _reportlab_clip(pen, clip) -> None:
    if clip is not None:
        path = pen.beginPath()
        path.rect(clip[0], clip[1], clip[2] - clip[0], clip[3] - clip[1])
        pen.clipPath(path, stroke=0, fill=0)


def matplotlib(printed: Printed) -> bytes:
    """Matplotlib's own PDF backend; a drawing in points on a figure of the page's size."""
    needed("matplotlib")
    from matplotlib import rc_context
    from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages
    from matplotlib.figure import Figure
    from matplotlib.patches import PathPatch, Rectangle
    from matplotlib.path import Path as Outline
    from matplotlib.transforms import Affine2D

    codes = {
        "M": [Outline.MOVETO],
        "L": [Outline.LINETO],
        "C": [Outline.CURVE4] * 3,
        "Z": [Outline.CLOSEPOLY],
    }
    stream = io.BytesIO()
    settings = {"lines.scale_dashes": False, "path.simplify": False, "pdf.fonttype": 42}
    with rc_context(settings), PdfPages(stream, metadata={"CreationDate": None}) as book:
        for page in printed.pages:
            figure = Figure(figsize=(page.width / 25.4, page.height / 25.4), dpi=72)
            FigureCanvasPdf(figure)
            place = Affine2D().scale(POINTS, -POINTS).translate(0, page.height * POINTS)
            for one in page.drawn:
                spots: List[Sequence[float]] = []
                kinds: List[int] = []
                for word, numbers in steps(one):
                    kinds += codes[word]
                    spots += list(zip(numbers[::2], numbers[1::2])) or [(0.0, 0.0)]
                style = one.style
                patch = PathPatch(
                    Outline(spots, kinds),
                    transform=place,
                    facecolor=style.fill or "none",
                    edgecolor=style.colour or "none",
                    linewidth=style.width * POINTS if style.colour else 0,
                    capstyle="butt",
                )
                if style.dashes:
                    patch.set_linestyle((0, [dash * POINTS for dash in style.dashes]))
                figure.add_artist(patch)
                if one.clip is not None:
                    x, y, right, bottom = one.clip
                    patch.set_clip_path(Rectangle((x, y), right - x, bottom - y, transform=place))
            for text in page.words:
                spot = place.transform((text.x, text.y)) / (page.width * POINTS, page.height * POINTS)
                said = figure.text(*spot, text.text, fontsize=text.height * POINTS, color=text.colour)
                said.set_verticalalignment("baseline")
            book.savefig(figure)
    return stream.getvalue()


def skia(printed: Printed) -> bytes:
    """Skia's PDF backend, which a web browser prints with; every dash becomes an area."""
    module = needed("skia")
    stream = module.DynamicMemoryWStream()
    with module.PDF.MakeDocument(stream) as document:
        for page in printed.pages:
            with document.page(page.width * POINTS, page.height * POINTS) as canvas:
                canvas.scale(POINTS, POINTS)
                for one in page.drawn:
                    canvas.save()
                    _skia_clip(module, canvas, one.clip)
                    path = module.Path()
                    add = {"M": path.moveTo, "L": path.lineTo, "C": path.cubicTo, "Z": path.close}
                    for word, numbers in steps(one):
                        add[word](*map(float, numbers))
                    if one.style.fill:
                        canvas.drawPath(path, module.Paint(Color=_skia_colour(module, one.style.fill)))
                    if one.style.colour:
                        canvas.drawPath(path, _skia_pen(module, one))
                    canvas.restore()
                for text in page.words:
                    canvas.save()
                    _skia_clip(module, canvas, text.clip)
                    # Letters stand where the font says, not on whole units, as in a browser.
                    font = module.Font(module.Typeface.MakeDefault(), text.height)
                    font.setSubpixel(True)
                    font.setLinearMetrics(True)
                    ink = module.Paint(Color=_skia_colour(module, text.colour))
                    canvas.drawString(text.text, text.x, text.y, font, ink)
                    canvas.restore()
    return bytes(stream.detachAsData())


def _skia_pen(module, one: Drawn):
    ink = module.Paint(
        Color=_skia_colour(module, one.style.colour),
        Style=module.Paint.kStroke_Style,
        StrokeWidth=one.style.width,
    )
    if one.style.dashes:
        ink.setPathEffect(module.DashPathEffect.Make(list(one.style.dashes), 0.0))
    return ink


def _skia_colour(module, colour: str) -> int:
    return module.Color(*[round(255 * part) for part in rgb(colour)])


def _skia_clip(module, canvas, clip) -> None:
    if clip is not None:
        canvas.clipRect(module.Rect.MakeLTRB(*clip))


def fpdf2(printed: Printed) -> bytes:
    """fpdf2, in millimetres, y down; it writes two decimals of a point."""
    module = needed("fpdf")
    drawing = needed("fpdf.drawing")
    book = module.FPDF(unit="mm")
    book.set_auto_page_break(False)
    for page in printed.pages:
        book.add_page(format=(page.width, page.height))
        for one in page.drawn:
            with book.new_path() as path:
                path.style.fill_color = one.style.fill or None
                path.style.stroke_color = one.style.colour or None
                path.style.stroke_width = one.style.width
                path.style.stroke_dash_pattern = list(one.style.dashes) or None
                path.style.auto_close = False
                path.style.stroke_cap_style = "butt"
                path.style.stroke_join_style = "miter"
                add = {"M": path.move_to, "L": path.line_to, "C": path.curve_to, "Z": path.close}
                for word, numbers in steps(one):
                    add[word](*map(float, numbers))
                if one.clip is not None:
                    x, y, right, bottom = one.clip
                    window = drawing.ClippingPath()
                    window.rectangle(x, y, right - x, bottom - y)
                    path.clipping_path = window
        book.set_font("Helvetica")
        for text in page.words:
            book.set_font_size(text.height * POINTS)
            book.text(text.x, text.y, text.text)
    return bytes(book.output())


def typst(printed: Printed) -> bytes:
    """Typst, a typesetter: one curve element for every path."""
    module = needed("typst")
    lines = []
    for page in printed.pages:
        lines.append("#set page(width: {}mm, height: {}mm, margin: 0mm)".format(page.width, page.height))
        lines += [_typst_path(one) for one in page.drawn]
        for text in page.words:
            said = '#place(dx: {:.6f}mm, dy: {:.6f}mm, text(size: {}mm, top-edge: "baseline", "{}"))'
            lines.append(said.format(text.x, text.y, text.height, text.text))
        lines.append("#pagebreak(weak: true)")
    return module.compile("\n".join(lines[:-1]).encode("utf-8"))


def _typst_path(one: Drawn) -> str:
    words = []
    for word, numbers in steps(one):
        spots = ["({:.6f}mm, {:.6f}mm)".format(x, y) for x, y in zip(numbers[::2], numbers[1::2])]
        name = {"M": "move", "L": "line", "C": "cubic"}.get(word)
        words.append(
            "curve.{}({})".format(name, ", ".join(spots)) if name else 'curve.close(mode: "straight")'
        )
    style = one.style
    pen = "none"
    if style.colour:
        dashes = ", ".join("{}mm".format(dash) for dash in style.dashes)
        rhythm = "({},)".format(dashes) if dashes else '"solid"'
        pen = '(paint: rgb("{}"), thickness: {}mm, dash: {})'.format(style.colour, style.width, rhythm)
    fill = 'rgb("{}")'.format(style.fill) if style.fill else "none"
    curve = "curve(stroke: {}, fill: {}, {})".format(pen, fill, ", ".join(words))
    if one.clip is None:
        return "#place({})".format(curve)
    x, y, right, bottom = one.clip
    window = "#place(dx: {0}mm, dy: {1}mm, block(width: {2}mm, height: {3}mm, clip: true, place(dx: -{0}mm, "
    return (window + "dy: -{1}mm, {4})))").format(x, y, right - x, bottom - y, curve)


def inkscape(printed: Printed) -> bytes:
    """The editor itself; one page, given to it as an SVG."""
    program = shutil.which("inkscape")
    if not program:
        pytest.skip("the editor is not here")
    (page,) = printed.pages
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}">'
    parts = [head.format(page.width, page.height)]
    for one in page.drawn:
        d = " ".join(word + " " + " ".join("%.6f" % n for n in numbers) for word, numbers in steps(one))
        style = "fill:{};stroke:{};stroke-width:{};stroke-dasharray:{}".format(
            one.style.fill or "none",
            one.style.colour or "none",
            one.style.width,
            ",".join(map(str, one.style.dashes)) or "none",
        )
        parts.append('<path d="{}" style="{}"/>'.format(d, style))
    for text in page.words:
        said = '<text x="{}" y="{}" style="font-family:sans-serif;font-size:{}px">{}</text>'
        parts.append(said.format(text.x, text.y, text.height, text.text))
    parts.append("</svg>")
    done = subprocess.run(
        [program, "--pipe", "--export-type=pdf", "--export-filename=-"],
        input="\n".join(parts).encode("utf-8"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        timeout=120,
    )
    assert done.stdout.startswith(b"%PDF"), done.stderr.decode("utf-8", "replace")
    return done.stdout


# All that take any number of pages; the editor takes one and is slow.
PRODUCERS: Dict[str, Callable[[Printed], bytes]] = {
    "written": write,
    "cairo": cairo,
    "reportlab": reportlab,
    "matplotlib": matplotlib,
    "skia": skia,
    "fpdf2": fpdf2,
    "typst": typst,
}


def needed(name: str):
    """A module; the test skips without it, or without the library that it wraps."""
    try:
        return importlib.import_module(name)
    except (ImportError, OSError) as error:
        pytest.skip("{} is not here: {}".format(name, str(error).splitlines()[0]))


def steps(one: Drawn) -> Iterator[Tuple[str, Tuple[float, ...]]]:
    """A path as M, L, C and Z with absolute numbers; Z draws the last straight line."""
    for run in one.runs():
        yield "M", tuple(run.curves[0, 0].tolist())
        last = len(run.curves) - 1
        for number, curve in enumerate(run.curves):
            third = (curve[3] - curve[0]) / 3
            straight = np.abs(curve[1:3] - (curve[0] + third, curve[3] - third)).max() < 1e-9
            if not straight:
                yield "C", tuple(curve[1:].reshape(-1).tolist())
            elif not (run.closed and number == last):
                yield "L", tuple(curve[3].tolist())
        if run.closed:
            yield "Z", ()


def rgb(colour: str) -> Tuple[float, float, float]:
    """``#rrggbb`` as three numbers from 0 to 1."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def square_page() -> Page:
    """A page of A4 with nothing but a square of 100 mm, its middle on the middle of the page."""
    from sewkit.geometry.path import Path
    from sewkit.sheet.drawn import Style

    corners = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]) + (55.0, 98.5)
    path = Path.through(corners, closed=True)
    return Page(1, 210.0, 297.0, 0, (Drawn(path.curves, (0,), (True,), Style("#000000", 0.35)),))
