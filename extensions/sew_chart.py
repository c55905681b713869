#!/usr/bin/env python3
"""Extensions > Sewkit > Sizes > Keep the size chart.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.chart  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewChart(OperationExtension):
    runs = "chart"


if __name__ == "__main__":
    SewChart().run()
