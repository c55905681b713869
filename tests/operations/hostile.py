"""A master in which everything is wrong at once."""

from tests.operations.boxes import SVG, group, line


def hostile():
    """The drawing's text; what is wrong with it is said beside each piece."""
    grain = '<path sewkit:role="grain" d="M {0},{1} L {2},{3}"/>'
    pieces = [
        # The seam with the back is 20 mm off; its cut line is stale on the right; a button lies outside;
        # the grain leans by about 3 degrees against the fold.
        group(
            "front",
            line("M 20,20 H 220 V 320 H 20 Z", "top:200 side:300 hem:200 centre:300")
            + '<path sewkit:role="cut-line" d="M 10,10 H 242 V 330 H 10 Z"/>'
            + '<circle sewkit:role="button" cx="400" cy="600" r="5"/>'
            + grain.format(100, 60, 110, 260),
            'folds="centre" allowance="10" '
            'sewn="side,turned=back/side top=sleeve/cap hem=lost/hem side=back/nowhere"',
        ),
        # Open by 40 mm, the notch 30 mm from its place, no grain, no cut line.
        group(
            "back",
            line("M 300,20 H 500 V 300 H 300 V 60", "top:200 side:280 hem:200 centre:240")
            + '<path sewkit:role="notch" sewkit:name="a" sewkit:at="side+100" d="M 500,150 H 505"/>',
        ),
        # Crosses itself.
        group("bow-tie", line("M 20,400 L 220,400 L 40,600 L 240,640 Z", "a b c d")),
        # Sizes 2 and 3 are taken for each other.
        group(
            "pocket",
            "".join(
                line("M 300,400 h {0} v {0} h -{0} Z".format(side), "a b c d", size)
                for size, side in zip("1234", (100, 140, 120, 160))
            ),
            'cut="2"',
        ),
        # Three faults in one piece that cannot be read: no number, a corner too many, an odd cut line.
        group(
            "sleeve",
            line("M 20,NaN L 4,4 Z", "cap a", "1")
            + line("M 520,400 h 100 v 100 l -50,30 h -50 Z", "cap a hem b", "2")
            + '<path sewkit:role="cut-line" d=""/>',
        ),
        # The name a second time; once a group that is no group; once an allowance that is none.
        group("front", line("M 520,20 h 50 v 50 h -50 Z", "a b c d")).replace('id="front', 'id="other'),
        '<path id="alone" sewkit:piece="belt" d="M 0,0 h 10"/>',
        group("cuff", line("M 520,120 h 50 v 50 h -50 Z", "a b c d"), 'allowance="ten"'),
    ]
    # A page 5 % larger than its content.
    return SVG.format('width="735mm" height="735mm" viewBox="0 0 700 700"', "".join(pieces))
