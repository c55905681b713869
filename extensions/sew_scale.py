#!/usr/bin/env python3
"""Extensions > Sewkit > Pattern > Check and correct the scale.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.scale  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewScale(OperationExtension):
    runs = "scale"


if __name__ == "__main__":
    SewScale().run()
