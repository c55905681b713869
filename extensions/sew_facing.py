#!/usr/bin/env python3
"""Extensions > Sewkit > Pieces > Facing, band or lining.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.facing  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewFacing(OperationExtension):
    runs = "facing"


if __name__ == "__main__":
    SewFacing().run()
