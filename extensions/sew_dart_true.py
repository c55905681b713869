#!/usr/bin/env python3
"""Extensions > Sewkit > Darts > True darts.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.dart_true  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewDartTrue(OperationExtension):
    runs = "dart-true"


if __name__ == "__main__":
    SewDartTrue().run()
