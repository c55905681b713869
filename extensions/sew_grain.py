#!/usr/bin/env python3
"""Extensions > Sewkit > Marks > Draw grain line and fold bracket.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.grain  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewGrain(OperationExtension):
    runs = "grain"


if __name__ == "__main__":
    SewGrain().run()
