"""Small drawings as an editor would save them: every scale, every nesting, every state.

Each is called with the piece of drawing it should hold, in millimetres on the sheet.
"""

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'xmlns:sewkit="urn:sewkit:1" {frame}>{content}</svg>'
)

# A rectangle 100 mm wide and 60 mm high, and two hems of one pattern in two sizes.
RECTANGLE = '<path id="line" d="M 40,30 H 140 V 90 H 40 Z" style="fill:none;stroke:none"/>'
HEMS = (
    '<path id="line" d="M 20,20 C 60,30 100,30 140,20" style="fill:none"/>'
    '<path id="other" d="M 20,25 C 60,36 100,36 145,25" style="fill:none"/>'
)
PIECES = (
    '<g id="front" sewkit:piece="front" sewkit:allowance="10 hem=25" sewkit:hems="hem" '
    'sewkit:sewn="side=back/side,turned">'
    '<path id="front-1" sewkit:role="seam-line" sewkit:size="1" sewkit:edges="waist side hem centre" '
    'd="M 20,20 H 120 V 170 H 20 Z"/>'
    '<path id="front-2" sewkit:role="seam-line" sewkit:size="2" sewkit:edges="waist side hem centre" '
    'd="M 20,20 H 125 V 172 H 20 Z"/></g>'
    '<g id="back" sewkit:piece="back">'
    '<path id="back-1" sewkit:role="seam-line" sewkit:size="1" sewkit:edges="waist centre hem side" '
    'd="M 150,20 H 250 V 170 H 150 Z"/>'
    '<path id="back-2" sewkit:role="seam-line" sewkit:size="2" sewkit:edges="waist centre hem side" '
    'd="M 145,20 H 250 V 172 H 145 Z"/></g>'
)

# Frame of the drawing, and the group that turns millimetres into its units.
# In pixels 96 go to the inch of 25.4 mm (CSS Values 4, section 6.2).
FRAMES = {
    "millimetres": ('width="210mm" height="297mm" viewBox="0 0 210 297"', "{}"),
    "pixels": ('width="800" height="1200"', '<g transform="scale({})">{{}}</g>'.format(repr(96 / 25.4))),
    "half-size units off the corner": (
        # 0.5 mm a unit; the sheet's corner is at (-30, 12) units.
        'width="210mm" height="297mm" viewBox="-30 12 420 594"',
        '<g transform="translate(-30,12) scale(2)">{}</g>',
    ),
    "no height, so pixels": (
        'width="210mm" viewBox="0 0 210 297"',
        '<g transform="scale({})">{{}}</g>'.format(repr(96 / 25.4)),
    ),
    "wider than its box, so the smaller scale counts": (
        'width="420mm" height="297mm" viewBox="0 0 210 297"',
        "{}",
    ),
    "stretched on purpose": (
        'width="420mm" height="297mm" viewBox="0 0 210 297" preserveAspectRatio="none"',
        '<g transform="scale(0.5,1)">{}</g>',
    ),
    "filled, so the larger scale counts": (
        'width="420mm" height="297mm" viewBox="0 0 210 297" preserveAspectRatio="xMidYMid slice"',
        '<g transform="scale(0.5)">{}</g>',
    ),
    "half of the window, so half a pixel": (
        'width="50%" height="50%" viewBox="0 0 210 297"',
        '<g transform="scale({})">{{}}</g>'.format(repr(2 * 96 / 25.4)),
    ),
    "turned and mirrored inside layers": (
        'width="210mm" height="297mm" viewBox="0 0 210 297"',
        # matrix(0.6,0.8,0.8,-0.6,5,-7) is its own turn and mirror; the inner matrix undoes it:
        # the inverse of a symmetric orthogonal matrix is itself, and moves by -A (5,-7).
        '<g inkscape:groupmode="layer" transform="matrix(0.6,0.8,0.8,-0.6,5,-7)">'
        '<g transform="matrix(0.6,0.8,0.8,-0.6,2.6,-8.2)">{}</g></g>',
    ),
}


def drawing(frame="millimetres", content=RECTANGLE):
    """The text of a drawing in one of the frames."""
    head, group = FRAMES[frame]
    return HEAD.format(frame=head, content=group.format(content))


EVERY = {
    "one outline": drawing(),
    "one outline in pixels": drawing("pixels"),
    "one outline off the corner": drawing("half-size units off the corner"),
    "one outline in turned layers": drawing("turned and mirrored inside layers"),
    "two open lines": drawing(content=HEMS),
    "pieces in two sizes": drawing(content=PIECES),
    "nothing drawn": drawing(content=""),
    "only words": drawing(content='<text id="line" x="10" y="10">hello</text>'),
    "an effect that redraws": drawing(
        content='<path id="line" inkscape:path-effect="#e" inkscape:original-d="M 0,0 H 9" d="M 0,0 H 9"/>'
    ),
    "no drawing at all": "<html><body/></html>",
    "not even XML": "PK\x03\x04",
}
