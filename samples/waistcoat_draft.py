"""Draft a man's single-breasted waistcoat from four body measures.

    pieces = draft(Body("4", chest=1000, waist=860, seat=1020, back_waist=445))

Millimetres, y down.  The waist is y = 0 in every size.  The back has its centre-back
line at x = 0 above the blades and its side to the right; the front has its centre front
at x = 0 and its side to the left, so the two side seams face each other.  Outlines are
seam lines without allowance and run clockwise on the sheet.

The draft is plain proportional pattern cutting.  Where a rule comes from stands beside
it: a named source, "from memory" (an old rule, page not looked up), or "common
practice" (custom, no source).  It uses numpy alone and no code of sewkit, so that it can
serve the tests as an independent drawing.
"""

import math
from typing import Dict, NamedTuple, Tuple

import numpy as np

# The garment's ease over the body, all round: what this waistcoat promises.
CHEST_EASE = 100.0
WAIST_EASE = 80.0

# The chest is measured one inch below the armhole (common practice).
CHEST_BELOW_ARMHOLE = 25.0

# Front 10 mm wider than the quarter, back as much narrower: the side seam lies a
# little towards the back (common practice).
FRONT_SHARE = 10.0

# Centre-back seam: straight down to the blades, then in by 15 mm to the waist (common
# practice: 1/2 to 3/4 in).
BLADES = 300.0
HOLLOW_BACK = 15.0

# The back shoulder is longer and eased in: 1/4 in (6.35 mm) in The Cutter's Practical
# Guide, part 13.  5 mm here, so that a cloth of little give takes it too.
SHOULDER_EASE = 5.0
BACK_SLOPE, FRONT_SLOPE = 20.0, 23.0  # shoulder, degrees below level (common practice)

# Buttons: five at 80 mm, one within 12 mm of the chest level of every size.
BUTTONS = tuple(-255.0 + 80.0 * number for number in range(5))
# A button of 15 mm wants half of it and 6 mm beyond the centre, so 13.5 at least.
BUTTON_STAND = 20.0
BREAK = BUTTONS[0] - 15.0  # where the V meets the front edge

# Below the waist all sizes share their levels.
HEM_SIDE, HEM_BACK, HEM_POINT = 95.0, 108.0, 155.0
# The point: the hem leaves the front edge rising 27 in 100.
POINT_SLOPE = 0.27
# Seat line below the waist: 7 in in The New Dressmaker (1921), 7-9 in elsewhere.
SEAT_BELOW_WAIST = 200.0

# Facing: 65 mm from the front edge (common practice: 60-70) and three eighths of the
# shoulder, which grows with the size just enough to keep the lines of the nest apart.
FACING = 65.0
FACING_SHOULDER = 3.0 / 8.0
FACING_STRAIGHT_TO = -150.0

# The welt pocket's placement line, the same for all sizes: upper edge, rising to the side.
POCKET = ((-70.0, 24.0), (-178.0, 9.0))


class Body(NamedTuple):
    """One size of the chart: girths and the length from nape to waist (mm)."""

    size: str
    chest: float
    waist: float
    seat: float
    back_waist: float


class Edge(NamedTuple):
    """A named edge: cubic curves (n, 4, 2), mm."""

    name: str
    curves: np.ndarray


class Piece(NamedTuple):
    """A piece in one size: edges end to end, clockwise on the sheet."""

    name: str
    edges: Tuple[Edge, ...]

    def edge(self, name: str) -> np.ndarray:
        """The curves of an edge, (n, 4, 2)."""
        return next(edge.curves for edge in self.edges if edge.name == name)


class Plan(NamedTuple):
    """The lengths from which all pieces of one size are drawn (mm)."""

    nape: float  # y of the nape
    armhole: float  # y of the armhole's lowest point
    chest: float  # y of the chest level
    front_chest: float  # half front at the chest level, from the centre front
    back_chest: float  # half back at the chest level, from the centre-back seam
    side_chest: float  # how far the side seam comes in from chest level to waist
    flare: float  # how far it goes out again from waist to hem
    neck: float  # half width of the neck
    back_width: float  # half width across the back
    chest_width: float  # half width across the front

    @property
    def side_armhole(self) -> float:
        """How far the side seam comes in from the armhole to the waist."""
        return self.side_chest / _side_shape(CHEST_BELOW_ARMHOLE / -self.armhole)

    @property
    def front_waist(self) -> float:
        """Half front at the waist, from the centre front."""
        return self.front_chest - self.side_chest

    @property
    def back_waist(self) -> float:
        """The side seam's place at the waist, from x = 0 of the back."""
        return centre_back(self.chest) + self.back_chest - self.side_chest


def plan(body: Body) -> Plan:
    """Work out a size's lengths from the body's measures."""
    # Depth of scye: half the nape-to-waist length and one inch (from memory: the rule of
    # older tailors' manuals for a direct measure).
    armhole = -(body.back_waist - (body.back_waist / 2 + 25.0))
    chest = armhole + CHEST_BELOW_ARMHOLE
    # Halves are drafted, and a quarter of the girth is the measure of each panel
    # (classic division of the chest, from memory: The Cutter's Practical Guide).
    quarter = (body.chest + CHEST_EASE) / 4
    # What the half must lose between chest and waist; the centre-back seam takes its
    # part, the side seam the rest, front and back alike: so both sides are one shape.
    taken = (body.chest + CHEST_EASE - body.waist - WAIST_EASE) / 2
    side = (taken - (HOLLOW_BACK - centre_back(chest))) / 2
    return Plan(
        nape=-body.back_waist,
        armhole=armhole,
        chest=chest,
        front_chest=quarter + FRONT_SHARE,
        back_chest=quarter - FRONT_SHARE,
        side_chest=side,
        # On the straight line from waist to seat, as far as the hem.
        flare=(body.seat - body.waist) / 4 * HEM_SIDE / SEAT_BELOW_WAIST,
        # Widths: a part of the chest and a constant, which fits middle sizes and grows
        # more slowly than the girth (the constants: common practice).
        neck=body.chest / 30 + 49.0,
        back_width=body.chest / 8 + 67.0,
        chest_width=body.chest / 8 + 57.0,
    )


def draft(body: Body) -> Dict[str, Piece]:
    """Draw the pieces of one size: front, back, front-facing."""
    lengths = plan(body)
    front = draft_front(lengths)
    pieces = (front, draft_back(lengths), draft_facing(front))
    return {piece.name: piece for piece in pieces}


def draft_back(lengths: Plan) -> Piece:
    """Draw the half back: neck, shoulder, armhole, side, hem, centre-back."""
    nape = np.array([0.0, lengths.nape])
    # The side of the neck lies 20 mm, 3/4 in, above the nape (from memory).
    neck_point = np.array([lengths.neck, lengths.nape - 20.0])
    along, down = _directions(BACK_SLOPE)
    tip = neck_point + along * back_shoulder(lengths)
    neck = _cubic(nape, nape + (0.55 * lengths.neck, 0.0), neck_point + down * 14.0, neck_point)
    side = side_seam(lengths, lengths.back_waist)
    # Deepest across the back 95 mm above the armhole's floor (common practice).
    pitch = np.array([lengths.back_width, lengths.armhole - 95.0])
    hem, bottom = side[-1, 3], np.array([HOLLOW_BACK, HEM_BACK])
    level = np.array([(hem[0] - bottom[0]) * 0.62, 0.0])
    hem_curve = _cubic(hem, hem + _square_to_side(lengths), bottom + level, bottom)
    return Piece(
        "back",
        (
            Edge("neck", neck),
            Edge("shoulder", _line(neck_point, tip)),
            Edge("armhole", _armhole(tip, down, pitch, side)),
            Edge("side", side),
            Edge("hem", hem_curve),
            Edge("centre-back", _centre_back_seam(nape)),
        ),
    )


def draft_front(lengths: Plan) -> Piece:
    """Draw the half front: shoulder, neck, front-edge, hem, side, armhole.

    It is drawn like the back, with the side to the right, and then mirrored.
    """
    # Front balance: the neck point 10 mm lower than on the back (common practice).
    neck_point = np.array([lengths.neck, lengths.nape - 10.0])
    along, down = _directions(FRONT_SLOPE)
    tip = neck_point + along * (back_shoulder(lengths) - SHOULDER_EASE)
    side = side_seam(lengths, lengths.front_waist)
    # The front armhole is hollower than the back's: its deepest place 70 mm above the floor.
    pitch = np.array([lengths.chest_width, lengths.armhole - 70.0])
    edge_top, point = np.array([-BUTTON_STAND, BREAK]), np.array([-BUTTON_STAND, HEM_POINT])
    leave, arrive = down * 0.3 * (BREAK - neck_point[1]), (edge_top - neck_point) * 0.3
    # The V leaves the shoulder square, so that it runs on into the back neck.
    neck = _cubic(neck_point, neck_point + leave, edge_top - arrive, edge_top)
    hem = side[-1, 3]
    rising = np.array([110.0, -110.0 * POINT_SLOPE])
    hem_curve = _cubic(point, point + rising, hem + _square_to_side(lengths), hem)
    edges = (
        Edge("shoulder", _line(tip, neck_point)),
        Edge("neck", neck),
        Edge("front-edge", _line(edge_top, point)),
        Edge("hem", hem_curve),
        Edge("side", _reverse(side)),
        Edge("armhole", _reverse(_armhole(tip, down, pitch, side))),
    )
    return Piece("front", tuple(Edge(name, curves * (-1.0, 1.0)) for name, curves in edges))


def draft_facing(front: Piece) -> Piece:
    """Draw the facing on the front: shoulder, neck, front-edge, hem, inner.

    All but the inner edge are the front's own lines or parts of them.
    """
    tip, neck_point = front.edge("shoulder")[0, [0, 3]]
    start = neck_point + (tip - neck_point) * FACING_SHOULDER
    hem = front.edge("hem")[0]
    part = _first_part(hem, _reach_across(hem, FACING))
    foot = part[0, 3]
    knee = np.array([foot[0], FACING_STRAIGHT_TO])
    _, down = _directions(FRONT_SLOPE)
    curve = _cubic(knee, knee - (0.0, 100.0), start + down * (-100.0, 100.0), start)
    return Piece(
        "front-facing",
        (
            Edge("shoulder", _line(start, neck_point)),
            Edge("neck", front.edge("neck")),
            Edge("front-edge", front.edge("front-edge")),
            Edge("hem", part),
            Edge("inner", np.concatenate([_line(foot, knee), curve])),
        ),
    )


def back_shoulder(lengths: Plan) -> float:
    """Length of the back shoulder seam (mm): its tip stands 8 mm beyond the back width."""
    return (lengths.back_width + 8.0 - lengths.neck) / math.cos(math.radians(BACK_SLOPE))


def side_seam(lengths: Plan, waist: float) -> np.ndarray:
    """Draw the side seam from armhole to hem, (2, 4, 2); ``waist``: its x at the waist.

    Two cubics that meet upright at the waist.  Their handles stand at thirds of the
    height, so x is a plain polynomial of y.  Front and back call this with different
    ``waist`` only, so the two seams have one shape and one length.
    """
    top, out, flare = lengths.armhole, lengths.side_armhole, lengths.flare
    above = [(out, top), (out * 2 / 3, top * 2 / 3), (0.0, top / 3), (0.0, 0.0)]
    below = [(0.0, 0.0), (0.0, HEM_SIDE / 3), (flare * 2 / 3, HEM_SIDE * 2 / 3), (flare, HEM_SIDE)]
    return np.array([above, below]) + (waist, 0.0)


def _side_shape(part: float) -> float:
    """How much of its hollow the side seam still has, ``part`` of the way to the waist.

    The Bezier with the x values 1, 2/3, 0, 0: s^3 + 3 s^2 t 2/3 = s^2 (1 + t), s = 1 - t.
    """
    return (1 - part) ** 2 * (1 + part)


def _square_to_side(lengths: Plan) -> np.ndarray:
    """The hem's handle at the side, 40 mm inwards and square to the side seam.

    Square on both pieces, so the sewn hem runs on without a step.
    """
    return np.array([-40.0, 40.0 * lengths.flare / HEM_SIDE])


def centre_back(y: float) -> float:
    """How far the centre-back seam has come in (mm) at the height ``y``.

    The Bezier with the x values 0, 0, 1, 1 between blades and waist: t^2 (3 - 2 t).
    """
    part = min(max((y + BLADES) / BLADES, 0.0), 1.0)
    return HOLLOW_BACK * part * part * (3 - 2 * part)


def _centre_back_seam(nape: np.ndarray) -> np.ndarray:
    """The centre-back seam from hem to nape; below the blades the same for all sizes."""
    blades, waist = np.array([0.0, -BLADES]), np.array([HOLLOW_BACK, 0.0])
    third = np.array([0.0, BLADES / 3])
    return np.concatenate(
        [
            _line(np.array([HOLLOW_BACK, HEM_BACK]), waist),
            _cubic(waist, waist - third, blades + third, blades),
            _line(blades, nape),
        ]
    )


def _armhole(tip: np.ndarray, down: np.ndarray, pitch: np.ndarray, side: np.ndarray) -> np.ndarray:
    """The armhole from shoulder tip to side seam: two cubics, upright at the pitch.

    It stands square to the shoulder and square to the side seam, so front and back run
    on without point or hollow: A Complete Course in Dressmaking (1921), vol. 9, p. 22.
    """
    floor, toward = side[0, 0], side[0, 1] - side[0, 0]
    inward = np.array([-toward[1], toward[0]]) / np.hypot(*toward)
    drop = pitch[1] - tip[1]
    upper = _cubic(tip, tip + down * drop * 0.35, pitch - (0.0, drop * 0.4), pitch)
    wide, deep = floor[0] - pitch[0], floor[1] - pitch[1]
    lower = _cubic(pitch, pitch + (0.0, deep * 0.62), floor + inward * wide * 0.62, floor)
    return np.concatenate([upper, lower])


def _directions(slope: float) -> Tuple[np.ndarray, np.ndarray]:
    """Unit vectors along a shoulder that falls to the right, and square to it downwards."""
    angle = math.radians(slope)
    return (
        np.array([math.cos(angle), math.sin(angle)]),
        np.array([-math.sin(angle), math.cos(angle)]),
    )


def _cubic(*points: np.ndarray) -> np.ndarray:
    return np.array([points], dtype=float)


def _line(start: np.ndarray, end: np.ndarray) -> np.ndarray:
    return _cubic(start, start + (end - start) / 3, end - (end - start) / 3, end)


def _reverse(curves: np.ndarray) -> np.ndarray:
    return curves[::-1, ::-1]


def _reach_across(curve: np.ndarray, width: float) -> float:
    """The parameter at which a curve (4, 2) has gone ``width`` mm to the left; by halving."""
    x = curve[0, 0] - curve[:, 0]
    low, high = 0.0, 1.0
    for _ in range(60):  # 2^-60: past the last digit
        t = (low + high) / 2
        gone = 3 * (1 - t) ** 2 * t * x[1] + 3 * (1 - t) * t**2 * x[2] + t**3 * x[3]
        low, high = (t, high) if gone < width else (low, t)
    return low


def _first_part(curve: np.ndarray, t: float) -> np.ndarray:
    """The first part of a cubic (4, 2) up to ``t``: de Casteljau's halving, (1, 4, 2)."""
    rows = [curve]
    while len(rows[-1]) > 1:
        rows.append(rows[-1][:-1] + t * (rows[-1][1:] - rows[-1][:-1]))
    return np.array([[row[0] for row in rows]])


def length(curves: np.ndarray) -> float:
    """Length of curves (n, 4, 2) end to end (mm), good to 1e-6 mm on these calm curves."""
    steps = 3 * np.diff(curves, axis=1)
    nodes, weights = np.polynomial.legendre.leggauss(24)
    t = ((nodes + 1) / 2)[:, None, None]
    speed = (1 - t) ** 2 * steps[:, 0] + 2 * t * (1 - t) * steps[:, 1] + t**2 * steps[:, 2]
    return float((np.hypot(speed[..., 0], speed[..., 1]) * weights[:, None]).sum() / 2)
