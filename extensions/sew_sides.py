#!/usr/bin/env python3
"""Extensions > Sewkit > Pieces > Left and right apart.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.sides  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewSides(OperationExtension):
    runs = "sides"


if __name__ == "__main__":
    SewSides().run()
