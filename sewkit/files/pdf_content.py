"""What the operators of a PDF's page do: the stream is run, and what it paints is noted.

Operators and their operands: ISO 32000-1, Annex A.  An operator that is spoiled or unknown
is stepped over, as every viewer does.
"""

import math
from typing import Callable, Dict, List, Optional, Tuple

from sewkit.files.pdf_colour import CMYK, GREY, RGB, Colours, Space, first_colour
from sewkit.files.pdf_file import Pdf, key_of, number_or
from sewkit.files.pdf_fonts import Font, read_font
from sewkit.files.pdf_layers import NOWHERE, Layers, Member
from sewkit.files.pdf_state import (
    UNIT,
    Block,
    Matrix,
    Scene,
    Shape,
    State,
    applied,
    box_through,
    common,
    square_box,
    times,
)
from sewkit.files.pdf_text import TextPart
from sewkit.files.pdf_tokens import Budget, Program, read_program
from sewkit.sheet.drawn import Style

# Forms inside each other; real files have up to five.
DEEPEST_FORM = 24
# States kept by q without a Q; ISO 32000-1, Annex C has 28.
MOST_STATES = 5000
# Strokes kept of forms that may come again, so that a file of many different forms does not
# keep them all: a poster's artwork has a few hundred thousand.
MOST_KEPT = 1000000


class Book:
    """What all pages of a file share: colours, layers, fonts, forms read once, and the budget."""

    def __init__(self, pdf: Pdf) -> None:
        self.pdf = pdf
        self.budget = Budget()
        self.layers = Layers(pdf)
        self.colours = Colours(pdf)
        self.fonts: Dict[object, Font] = {}
        self.programs: Dict[object, Program] = {}
        self.scenes: Dict[object, Scene] = {}
        self.styles: Dict[Tuple[object, ...], Style] = {}
        self.kept = 0

    def program(self, data: bytes) -> Program:
        """A stream's instructions, with a doubt where some were lost."""
        program = read_program(data, self.budget)
        if program.lost or program.runs.spoiled:
            self.pdf.doubt("Some drawing commands are damaged; a line or a word may be missing.")
        return program

    def form_program(self, reference: object, form: object) -> Program:
        """A form's instructions, read once."""
        key = key_of(reference)
        if key not in self.programs:
            program = self.program(self.pdf.bytes_of(form))
            self._keep(len(program.steps) + len(program.runs.curves))
            self.programs[key] = program
        return self.programs[key]

    def keep_scene(self, key: object, scene: Scene) -> None:
        """Keep what a form draws, for when it comes again."""
        self._keep(len(scene.shapes) + len(scene.pieces))
        self.scenes[key] = scene

    def _keep(self, steps: int) -> None:
        self.kept += steps
        if self.kept > MOST_KEPT:
            self.programs.clear()
            self.scenes.clear()
            self.kept = steps

    def font(self, reference: object) -> Font:
        """A font, read once."""
        key = key_of(reference)
        if key not in self.fonts:
            self.fonts[key] = read_font(self.pdf, reference)
        return self.fonts[key]


class Painter(TextPart):
    """Runs one stream and notes what it paints in a scene."""

    def __init__(self, book: Book, resources: dict, state: State, above: Tuple[object, ...] = ()) -> None:  # type: ignore[type-arg]
        self.book = book
        self.resources = resources
        self.state = state
        self.above = above  # the forms that this stream is in
        self.scene = Scene()
        self.program: Optional[Program] = None
        self.saved: List[State] = []
        self.marked: List[Member] = []
        self.member = NOWHERE
        self.clips = False
        self.start_text()

    def run(self, program: Program) -> Scene:
        """Run all instructions."""
        self.program = program
        self.book.budget.spend(len(program.steps) // 2)
        table = {name: work.__get__(self) for name, work in _OPERATORS.items()}
        for name, operands in program.steps:
            work = table.get(name)
            if work is None:
                continue
            try:
                work(operands)
            except (
                IndexError,
                TypeError,
                ValueError,
                KeyError,
                AttributeError,
                OverflowError,
                ZeroDivisionError,
            ):
                self.book.pdf.doubt("Some drawing commands are damaged; a line or a word may be missing.")
        return self.scene

    # -- state ---------------------------------------------------------------------------

    def save(self, operands: List[object]) -> None:
        if len(self.saved) < MOST_STATES:
            self.saved.append(self.state)
            self.state = self.state.copy()

    def restore(self, operands: List[object]) -> None:
        if self.saved:
            self.state = self.saved.pop()

    def concatenate(self, operands: List[float]) -> None:
        matrix = times(_matrix(operands[-6:]), self.state.matrix)
        if all(math.isfinite(value) and abs(value) < 1e12 for value in matrix):
            self.state.matrix = matrix

    def set_width(self, operands: List[float]) -> None:
        self.state.width = max(0.0, float(operands[-1]))

    def set_dashes(self, operands: List[object]) -> None:
        self.state.dashes = _dashes(operands[0])  # type: ignore[arg-type]

    def set_from_dictionary(self, operands: List[str]) -> None:
        pdf, state = self.book.pdf, self.state
        given = pdf.table(pdf.table(self.resources, "/ExtGState"), "/" + operands[-1])
        width = pdf.get(given, "/LW")
        if width is not None:
            state.width = max(0.0, number_or(width, state.width))
        dashes = pdf.array(given, "/D")
        if dashes:
            state.dashes = _dashes([number_or(pdf.value(item), 0.0) for item in pdf.value(dashes[0]) or []])  # type: ignore[attr-defined]
        font = pdf.array(given, "/Font")
        if len(font) == 2:
            state.font, state.size = self.book.font(font[0]), number_or(pdf.value(font[1]), 0.0)
        state.stroke_seen = number_or(pdf.get(given, "/CA"), 1.0 if state.stroke_seen else 0.0) > 0
        state.fill_seen = number_or(pdf.get(given, "/ca"), 1.0 if state.fill_seen else 0.0) > 0

    # -- colour --------------------------------------------------------------------------

    def stroke_in(self, space: Space, numbers: List[float]) -> None:
        self.state.stroke_space, self.state.stroke = space, self.book.colours.text(space, numbers)

    def fill_in(self, space: Space, numbers: List[float]) -> None:
        self.state.fill_space, self.state.fill = space, self.book.colours.text(space, numbers)

    def set_stroke_space(self, operands: List[str]) -> None:
        space = self.book.colours.space(operands[-1], self.resources)
        self.state.stroke_space, self.state.stroke = space, first_colour(space)

    def set_fill_space(self, operands: List[str]) -> None:
        space = self.book.colours.space(operands[-1], self.resources)
        self.state.fill_space, self.state.fill = space, first_colour(space)

    def set_stroke(self, operands: List[object]) -> None:
        self.stroke_in(self.state.stroke_space, _floats(operands))

    def set_fill(self, operands: List[object]) -> None:
        self.fill_in(self.state.fill_space, _floats(operands))

    # -- painting ------------------------------------------------------------------------

    def stroke(self, run: int) -> None:
        state = self.state
        self._note(run, state.stroke if state.stroke_seen else "", "")

    def fill(self, run: int) -> None:
        state = self.state
        self._note(run, "", state.fill if state.fill_seen else "")

    def fill_and_stroke(self, run: int) -> None:
        state = self.state
        self._note(run, state.stroke if state.stroke_seen else "", state.fill if state.fill_seen else "")

    def no_paint(self, run: int) -> None:
        if self.clips:
            self._clip(run)

    def mark_clip(self, operands: List[object]) -> None:
        self.clips = True

    def _note(self, run: int, stroke: str, fill: str) -> None:
        state, runs = self.state, self.program.runs  # type: ignore[union-attr]
        if run >= 0 and (stroke or fill) and runs.first[run + 1] > runs.first[run]:
            style = self._style(stroke, fill)
            self.scene.shapes.append(
                Shape(self.program, run, state.matrix, style, self.member, state.clip, state.cut)
            )
        if self.clips:
            self._clip(run)

    def _style(self, stroke: str, fill: str) -> Style:
        state, styles = self.state, self.book.styles
        key = (stroke, fill, state.width, state.dashes, state.matrix[:4]) if stroke else fill
        style = styles.get(key)  # type: ignore[arg-type]
        if style is None:
            a, b, c, d = state.matrix[:4]
            scale = math.sqrt(abs(a * d - b * c))
            if stroke:
                style = Style(stroke, state.width * scale, tuple(dash * scale for dash in state.dashes), fill)
            else:
                style = Style("", 0.0, (), fill)
            styles[key] = style  # type: ignore[index]
        return style

    def _clip(self, run: int) -> None:
        self.clips = False
        state, runs = self.state, self.program.runs  # type: ignore[union-attr]
        if run < 0 or runs.first[run + 1] == runs.first[run]:
            return
        corners = runs.corners(run)
        box = square_box(applied(state.matrix, corners)) if corners is not None else None
        if box is None:
            box = box_through(state.matrix, runs.boxes[run].tolist())
            state.cut = True
        state.clip = common(state.clip, box)

    # -- marked content ------------------------------------------------------------------

    def begin_marked(self, operands: List[object]) -> None:
        self.marked.append(self.member)
        if len(operands) >= 2 and operands[0] == "OC":
            inside = self.book.layers.member(operands[1], self.book.pdf.table(self.resources, "/Properties"))
            self.member = _within(self.member, inside)

    def end_marked(self, operands: List[object]) -> None:
        if self.marked:
            self.member = self.marked.pop()

    # -- forms and pictures --------------------------------------------------------------

    def place(self, operands: List[str]) -> None:
        pdf = self.book.pdf
        reference = pdf.table(self.resources, "/XObject").get("/" + operands[-1])
        thing = pdf.value(reference)
        if not isinstance(thing, dict):
            return
        outer = thing.get("/OC")
        member = _within(self.member, self.book.layers.member(outer)) if outer is not None else self.member
        kind = pdf.get(thing, "/Subtype")
        if kind == "/Image":
            self.place_picture(operands)
        elif kind == "/Form" or "/BBox" in thing:
            self._place_form(reference, thing, member)

    def place_picture(self, operands: List[object]) -> None:
        a, b, c, d = self.state.matrix[:4]
        box = box_through(self.state.matrix, (0.0, 0.0, 1.0, 1.0))
        area = (box[2] - box[0]) * (box[3] - box[1])
        share = min(1.0, abs(a * d - b * c) / area) if area > 0 else 0.0
        self.scene.pictures.append((box, share, self.state.clip))

    def _place_form(self, reference: object, form: dict, member: Member) -> None:  # type: ignore[type-arg]
        book, pdf, state = self.book, self.book.pdf, self.state
        key = key_of(reference)
        if key in self.above or len(self.above) >= DEEPEST_FORM:
            pdf.doubt("A drawing in the file contains itself; the repetition is left out.")
            return
        own = pdf.numbers(form, "/Matrix")
        matrix = times(_matrix(own) if len(own) == 6 else UNIT, state.matrix)
        resources = pdf.get(form, "/Resources")
        inherited = not isinstance(resources, dict)
        inner = state.copy()
        inner.matrix, inner.clip, inner.cut = matrix[:4] + (0.0, 0.0), None, False  # type: ignore[assignment]
        known = (key, repr(self.resources) if inherited else None, inner.matrix, inner.looks())
        scene = book.scenes.get(known)
        if scene is None:
            _clip_to_box(inner, pdf.numbers(form, "/BBox"))
            painter = Painter(book, self.resources if inherited else resources, inner, self.above + (key,))  # type: ignore[arg-type]
            scene = painter.run(book.form_program(reference, form))
            book.keep_scene(known, scene)
        block = Block(scene, matrix[4], matrix[5], member, state.clip, state.cut)
        self.scene.blocks.setdefault(len(self.scene.shapes), []).append(block)


def _clip_to_box(state: State, box: List[float]) -> None:
    import numpy as np

    if len(box) != 4:
        return
    x0, y0, x1, y1 = box
    corners = applied(state.matrix, np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]))
    upright = square_box(corners)
    if upright is None:
        upright = box_through(state.matrix, box)
        state.cut = True
    state.clip = upright


def _within(outer: Member, inner: Member) -> Member:
    if not inner.names:
        return Member(outer.names, outer.hidden or inner.hidden)
    names = outer.names + tuple(name for name in inner.names if name not in outer.names)
    return Member(names, outer.hidden or inner.hidden)


def _matrix(numbers: List[float]) -> Matrix:
    a, b, c, d, e, f = numbers
    return float(a), float(b), float(c), float(d), float(e), float(f)


def _floats(operands: List[object]) -> List[float]:
    return [value for value in operands if isinstance(value, float)]


def _dashes(numbers: List[float]) -> Tuple[float, ...]:
    """Stroke, gap, stroke, gap ...; an odd count is said twice, as it is drawn."""
    dashes = tuple(float(value) for value in numbers)
    if not dashes or min(dashes) < 0 or max(dashes) <= 0 or len(dashes) > 64:
        return ()
    return dashes if len(dashes) % 2 == 0 else dashes * 2


def _in_space(method: Callable[..., None], space: Space) -> Callable[[Painter, List[object]], None]:
    def work(self: Painter, operands: List[object]) -> None:
        method(self, space, _floats(operands))

    return work


_OPERATORS: Dict[str, Callable[..., None]] = {
    "q": Painter.save,
    "Q": Painter.restore,
    "cm": Painter.concatenate,
    "w": Painter.set_width,
    "d": Painter.set_dashes,
    "gs": Painter.set_from_dictionary,
    "G": _in_space(Painter.stroke_in, GREY),
    "g": _in_space(Painter.fill_in, GREY),
    "RG": _in_space(Painter.stroke_in, RGB),
    "rg": _in_space(Painter.fill_in, RGB),
    "K": _in_space(Painter.stroke_in, CMYK),
    "k": _in_space(Painter.fill_in, CMYK),
    "CS": Painter.set_stroke_space,
    "cs": Painter.set_fill_space,
    "SC": Painter.set_stroke,
    "SCN": Painter.set_stroke,
    "sc": Painter.set_fill,
    "scn": Painter.set_fill,
    "S": Painter.stroke,
    "f": Painter.fill,
    "B": Painter.fill_and_stroke,
    "n": Painter.no_paint,
    "W": Painter.mark_clip,
    "BMC": Painter.begin_marked,
    "BDC": Painter.begin_marked,
    "EMC": Painter.end_marked,
    "Do": Painter.place,
    "EI": Painter.place_picture,
    "BT": Painter.begin_text,
    "Tf": Painter.set_font,
    "Tc": Painter.set_letter_gap,
    "Tw": Painter.set_word_gap,
    "Tz": Painter.set_stretch,
    "TL": Painter.set_leading,
    "Ts": Painter.set_rise,
    "Tr": Painter.set_mode,
    "Td": Painter.move_line,
    "TD": Painter.move_line_leading,
    "Tm": Painter.set_text_matrix,
    "T*": Painter.next_line,
    "Tj": Painter.show,
    "TJ": Painter.show_spaced,
    "'": Painter.next_line_show,
    '"': Painter.next_line_show_spaced,
}
