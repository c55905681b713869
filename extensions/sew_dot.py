#!/usr/bin/env python3
"""Extensions > Sewkit > Marks > Put dots and drill holes.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.dot  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewDot(OperationExtension):
    runs = "dot"


if __name__ == "__main__":
    SewDot().run()
