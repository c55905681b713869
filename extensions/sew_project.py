#!/usr/bin/env python3
"""Extensions > Sewkit > Paper > Project onto a table.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.project  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewProject(OperationExtension):
    runs = "project"


if __name__ == "__main__":
    SewProject().run()
