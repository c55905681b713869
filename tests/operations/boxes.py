"""Drawings of a few straight pieces, as text."""

SVG = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" {}>\n{}\n</svg>'
)
PAGE = 'width="700mm" height="700mm" viewBox="0 0 700 700"'


def line(d, edges, size=""):
    named = ' sewkit:size="{}"'.format(size) if size else ""
    return '<path sewkit:role="seam-line"{} sewkit:edges="{}" d="{}"/>'.format(named, edges, d)


def group(name, content, attributes=""):
    """A piece; ``attributes``: our own, such as cut="2"."""
    own = " ".join("sewkit:" + word for word in _words(attributes))
    return '<g id="{0}-group" sewkit:piece="{0}" {1}>{2}</g>'.format(name, own, content)


def _words(attributes):
    return [
        word + '"'
        for word in attributes.replace('" ', '"\n').replace('"\n', "\n").rstrip('"').split("\n")
        if word
    ]


def pair(bottom=320, right=220.0, baseline=""):
    """A front and a back with cut lines, notches and grain, all right; the front may be moved by hand.

    Args:
        bottom: where its hem lies; 320 is right.
        right: where the lower end of its side lies.
    """
    front = (
        line("M 20,20 H 220 L {},{} H 20 Z".format(right, bottom), "top:200 side:300 hem:200 centre:300")
        + '<path sewkit:role="cut-line" d="M 20,10 H 230 V 330 H 20 Z"/>'
        + '<path sewkit:role="notch" sewkit:name="a" sewkit:at="side+100" d="M 230,120 H 225"/>'
        + '<path sewkit:role="grain" d="M 100,60 V 260"/>'
    )
    back = (
        line("M 300,20 H 500 V 320 H 300 Z", "top:200 side:300 hem:200 centre:300")
        + '<path sewkit:role="cut-line" d="M 300,10 H 510 V 330 H 300 Z"/>'
        + '<path sewkit:role="notch" sewkit:name="a" sewkit:at="side+100" d="M 510,120 H 505"/>'
        + '<path sewkit:role="grain" d="M 400,60 V 260"/>'
    )
    kept = "<metadata><sewkit:baseline>{}</sewkit:baseline></metadata>".format(baseline) if baseline else ""
    told = 'folds="centre" allowance="10"'
    return SVG.format(
        PAGE, kept + group("front", front, told + ' sewn="side=back/side"') + group("back", back, told)
    )
