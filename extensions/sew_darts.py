#!/usr/bin/env python3
"""Extensions > Sewkit > Darts > Show, name or cut in darts.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.darts  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewDarts(OperationExtension):
    runs = "darts"


if __name__ == "__main__":
    SewDarts().run()
