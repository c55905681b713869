"""Invented outlines for the tests of geometry, mm, y down, seam lines without allowance.

Each exercises something; ``WIDTHS`` holds a width per edge for each.  R1 and R2 are the
front and back bodice whose lengths were worked out by 64-point Gauss integration.
"""

import math

from sewkit.geometry.path import Path, lines


def outline(*steps):
    """A closed path: the first step is the start, then (point) or (handle, handle, point)."""
    at, curves = steps[0], []
    for step in steps[1:]:
        if len(step) == 2 and not hasattr(step[0], "__len__"):
            curves.append(lines([at], [step])[0])
            at = step
        else:
            curves.append([at, step[0], step[1], step[2]])
            at = step[2]
    if tuple(at) != tuple(steps[0]):
        curves.append(lines([at], [steps[0]])[0])
    return Path(curves, closed=True)


def _arc(radius, start, stop):
    """A circle's arc about (0, 0) in degrees as the textbook cubic, 4/3 tan(angle / 4)."""
    a, b = math.radians(start), math.radians(stop)
    h = 4.0 / 3.0 * math.tan((b - a) / 4) * radius
    p = (radius * math.cos(a), radius * math.sin(a))
    q = (radius * math.cos(b), radius * math.sin(b))
    one = (p[0] - h * math.sin(a), p[1] + h * math.cos(a))
    two = (q[0] + h * math.sin(b), q[1] - h * math.cos(b))
    return p, one, two, q


def _steps(*arcs):
    return [arc[1:] for arc in arcs]


# Neck, armhole with an inflection, shaped side seam, curved hem; centre on the fold.
BODICE = outline(
    (0, 85),
    ((40, 85), (72, 50), (76, 2)),
    (196, 42),
    ((150, 98), (196, 190), (262, 212)),
    ((252, 300), (240, 340), (248, 430)),
    ((170, 444), (80, 440), (0, 440)),
)

# A cap of four cubics with kinks of about one degree at the joints, tapered seams.
SLEEVE = outline(
    (-172, 142),
    ((-128, 140), (-112, 96), (-88, 66)),
    ((-67.2, 38.8), (-46, 0), (0, 0)),
    ((44, 0.8), (62, 34), (86, 64)),
    ((108.6, 93), (122, 142), (160, 142)),
    ((146, 280), (124, 420), (112, 560)),
    (-118, 560),
    ((-130, 420), (-158, 280), (-172, 142)),
)

# A tight concave crotch and a long side curve.
TROUSER = outline(
    (20, 0),
    (240, 12),
    ((262, 120), (282, 240), (262, 480)),
    ((254, 640), (246, 820), (240, 1000)),
    (60, 1000),
    ((44, 760), (20, 520), (-64, 316)),
    ((-44, 300), (8, 296), (14, 200)),
    ((16, 120), (18, 60), (20, 0)),
)

# A point of about thirty degrees and a concave corner.
COLLAR = outline(
    (0, 0),
    ((60, 30), (130, 34), (200, 10)),
    (262, 74),
    ((180, 86), (90, 84), (30, 58)),
    (22, 40),
)

# A quarter ring, radii 600 and 110, outer arc of two curves and inner of two.
_OUT = _arc(600.0, 0, 45), _arc(600.0, 45, 90)
_IN = _arc(110.0, 90, 45), _arc(110.0, 45, 0)
RING = outline(_OUT[0][0], *_steps(*_OUT), _IN[0][0], *_steps(*_IN))

# A sharp slit: the parallel lines of its legs meet far from the apex.
NOTCH = outline(
    (0, 0),
    (120, 0),
    (127, 95),
    (134, 0),
    ((190, 6), (240, 20), (262, 60)),
    (255, 240),
    ((160, 252), (80, 250), (0, 236)),
)

# Two cut-ins, one of them with curved legs.
DARTS = outline(
    (0, 0),
    (70, -2),
    ((74, 30), (80, 70), (84, 110)),
    ((88, 70), (94, 28), (96, -2)),
    (180, 4),
    ((204, 110), (232, 120), (226, 200)),
    (140, 196),
    ((232, 212), (236, 216), (230, 222)),
    ((226, 300), (220, 330), (222, 400)),
    ((150, 410), (60, 408), (0, 404)),
)

# A hollow tighter than the allowance: two cusps and a swallowtail.
TIGHT = outline(
    (0, 0),
    (90, 0),
    ((94, 60), (106, 60), (110, 0)),
    (220, 0),
    (214, 160),
    ((150, 170), (70, 168), (4, 158)),
)

R1 = outline(
    (0, 80),
    ((45, 78), (70, 45), (70, 0)),
    (190, 45),
    ((160, 110), (165, 228), (250, 230)),
    (245.958, 284.851),
    (95, 265),
    (240.994, 308.222),
    (210.017, 440.149),
    (0, 440.149),
)

R2 = outline(
    (0, 20),
    ((40, 22), (70, 18), (72, 0)),
    (192, 48),
    ((168, 110), (180, 228), (245, 230)),
    (225, 425),
    (0, 425),
)

OUTLINES = {
    "bodice": BODICE,
    "sleeve": SLEEVE,
    "trouser": TROUSER,
    "collar": COLLAR,
    "ring": RING,
    "notch": NOTCH,
    "darts": DARTS,
    "tight": TIGHT,
}

WIDTHS = {
    "bodice": [6, 15, 10, 20, 40, 0],
    "sleeve": [10, 10, 10, 10, 15, 30, 15],
    "trouser": [10, 20, 20, 40, 15, 15, 15],
    "collar": [6, 6, 10, 6, 6],
    "ring": [20, 20, 15, 10, 10, 0],
    "notch": [10, 10, 10, 10, 15, 20, 0],
    "darts": [15, 10, 10, 15, 20, 12, 12, 20, 30, 0],
    "tight": [10, 12, 10, 15, 30, 0],
}
