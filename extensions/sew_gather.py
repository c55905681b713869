#!/usr/bin/env python3
"""Extensions > Sewkit > Marks > Mark gathers or pleats.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.gather  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewGather(OperationExtension):
    runs = "gather"


if __name__ == "__main__":
    SewGather().run()
