#!/usr/bin/env python3
"""Extensions > Sewkit > Pieces > Unfold or fold a piece.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.unfold  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewUnfold(OperationExtension):
    runs = "unfold"


if __name__ == "__main__":
    SewUnfold().run()
