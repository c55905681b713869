#!/usr/bin/env python3
"""Extensions > Sewkit > Names > Show and check names.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.names  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewNames(OperationExtension):
    runs = "names"


if __name__ == "__main__":
    SewNames().run()
