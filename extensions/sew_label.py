#!/usr/bin/env python3
"""Extensions > Sewkit > Marks > Label the pieces.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.label  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewLabel(OperationExtension):
    runs = "label"


if __name__ == "__main__":
    SewLabel().run()
