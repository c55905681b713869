#!/usr/bin/env python3
"""Extensions > Sewkit > Seams > Smooth and square.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.smooth  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewSmooth(OperationExtension):
    runs = "smooth"


if __name__ == "__main__":
    SewSmooth().run()
