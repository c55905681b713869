#!/usr/bin/env python3
"""Extensions > Sewkit > Pattern > Bring in a bought PDF.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import sewkit.operations.import_  # noqa: F401  declares the operation
from sewkit.editor.pages_host import PagesExtension


class SewImport(PagesExtension):
    runs = "import"


if __name__ == "__main__":
    SewImport().run()
