#!/usr/bin/env python3
"""Extensions > Sewkit > Darts > Make a dart into something else.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.dart_into  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewDartInto(OperationExtension):
    runs = "dart-into"


if __name__ == "__main__":
    SewDartInto().run()
