#!/usr/bin/env python3
"""Extensions > Sewkit > Pieces > Take out one size.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.size  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewSize(OperationExtension):
    runs = "size"


if __name__ == "__main__":
    SewSize().run()
