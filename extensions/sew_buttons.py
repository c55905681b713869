#!/usr/bin/env python3
"""Extensions > Sewkit > Marks > Space buttons and buttonholes.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.buttons  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewButtons(OperationExtension):
    runs = "buttons"


if __name__ == "__main__":
    SewButtons().run()
