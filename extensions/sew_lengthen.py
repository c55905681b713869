#!/usr/bin/env python3
"""Extensions > Sewkit > Length and room > Lengthen or shorten.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.lengthen  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewLengthen(OperationExtension):
    runs = "lengthen"


if __name__ == "__main__":
    SewLengthen().run()
