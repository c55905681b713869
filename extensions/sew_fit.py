#!/usr/bin/env python3
"""Extensions > Sewkit > Sizes > Fit to a body.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.fit  # noqa: F401  declares the operation
from sewkit.editor.host import OperationExtension


class SewFit(OperationExtension):
    runs = "fit"


if __name__ == "__main__":
    SewFit().run()
