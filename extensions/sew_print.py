#!/usr/bin/env python3
"""Extensions > Sewkit > Paper > Print at true size.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.print_  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewPrint(OperationExtension):
    runs = "print"


if __name__ == "__main__":
    SewPrint().run()
