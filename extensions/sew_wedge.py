#!/usr/bin/env python3
"""Extensions > Sewkit > Length and room > Let in or take out a wedge.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.wedge  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewWedge(OperationExtension):
    runs = "wedge"


if __name__ == "__main__":
    SewWedge().run()
