#!/usr/bin/env python3
"""Extensions > Sewkit > Pattern > Check everything.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.check  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewCheck(OperationExtension):
    runs = "check"


if __name__ == "__main__":
    SewCheck().run()
