#!/usr/bin/env python3
"""Extensions > Sewkit > Names > Pair two edges.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.pair  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewPair(OperationExtension):
    runs = "pair"


if __name__ == "__main__":
    SewPair().run()
