#!/usr/bin/env python3
"""Extensions > Sewkit > Names > Name a piece and its edges.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.name  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewName(OperationExtension):
    runs = "name"


if __name__ == "__main__":
    SewName().run()
