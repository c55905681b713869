#!/usr/bin/env python3
"""Extensions > Sewkit > Darts > Add a dart.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.dart_add  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewDartAdd(OperationExtension):
    runs = "dart-add"


if __name__ == "__main__":
    SewDartAdd().run()
