"""x"""


def as_strokes(lines):
    return [l for l in lines if l.style.colour], [l for l in lines if not l.style.colour]
