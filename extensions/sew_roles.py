#!/usr/bin/env python3
"""Extensions > Sewkit > Names > Confirm what was guessed.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.roles  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewRoles(OperationExtension):
    runs = "roles"


if __name__ == "__main__":
    SewRoles().run()
