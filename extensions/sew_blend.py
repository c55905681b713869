#!/usr/bin/env python3
"""Extensions > Sewkit > Sizes > Blend between size lines.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.blend  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewBlend(OperationExtension):
    runs = "blend"


if __name__ == "__main__":
    SewBlend().run()
