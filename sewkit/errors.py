"""What can go wrong, in the words of the person sewing.

An ``InputError`` is something the person can mend: a line left open, a name
that is not in the drawing, an amount that does not fit the piece.  Its text is
one or two sentences that say what, where, why it matters, and the smallest
cure.  A wrong call from code is a plain ``TypeError`` or ``ValueError``.
"""


class SewkitError(Exception):
    """The base of everything that sewkit raises on purpose."""


class InputError(SewkitError):
    """Input that the person can mend; nothing has been changed.

    Args:
        what: what is wrong and where, a whole sentence.
        cure: the smallest thing that mends it, a whole sentence or empty.
        code: a short stable name for the kind of fault, for tests and scripts.
    """

    def __init__(self, what: str, cure: str = "", code: str = "input") -> None:
        super().__init__((what + " " + cure).strip())
        self.what = what
        self.cure = cure
        self.code = code

    def on(self, piece: str) -> "InputError":
        """The same fault with the piece in front, where it does not name it yet."""
        if "'{}'".format(piece) in self.what:
            return self
        return InputError(
            "On '{}' {}{}".format(piece, self.what[:1].lower(), self.what[1:]), self.cure, self.code
        )


class FileError(InputError):
    """A file that cannot be read or written; nothing has been changed."""


class MissingExtra(SewkitError):
    """An optional package is needed for this and is not installed."""

    def __init__(self, purpose: str, extra: str) -> None:
        super().__init__(
            "{} needs an optional package: run  pip install '.[{}]'  in sewkit's own folder, and for "
            "Inkscape then  sewkit editor install.".format(purpose, extra)
        )
        self.extra = extra
