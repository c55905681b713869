#!/usr/bin/env python3
"""Extensions > Sewkit > Pattern > Measure the finished garment.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.measure  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewMeasure(OperationExtension):
    runs = "measure"


if __name__ == "__main__":
    SewMeasure().run()
