"""What the README shows of the register: its table of operations, written from there.

python -m sewkit.gallery           write the table into README.md
python -m sewkit.gallery --check   only tell whether it is in step
"""

import pathlib
import sys
from typing import Sequence

from sewkit.files.atomic import write_text
from sewkit.operation import Operation
from sewkit.operations import load

README = pathlib.Path(__file__).resolve().parent.parent / "README.md"
START = "<!-- operations: written by python -m sewkit.gallery; do not edit -->"
STOP = "<!-- end of operations -->"


def operations_table(operations: Sequence[Operation]) -> str:
    """A Markdown table: menu entry, command, what it does."""
    rows = ["| In the editor: Extensions > Sewkit | Command | What it does |", "|---|---|---|"]
    for one in sorted(operations, key=lambda o: (o.menu, o.title)):
        rows.append("| {} > {} | `sewkit {}` | {} |".format(one.menu, one.title, one.name, one.summary))
    return "\n".join(rows)


def in_step(text: str) -> str:
    """The README's text with the table as it should be; ``ValueError`` without its marks."""
    before, start, rest = text.partition(START)
    _, stop, after = rest.partition(STOP)
    if not (start and stop):
        raise ValueError("README.md has lost the marks round its table of operations")
    return before + START + "\n" + operations_table(load()) + "\n" + STOP + after


def main(arguments: Sequence[str]) -> int:
    """Write or check; exit status 1 where the check finds a difference."""
    text = README.read_text(encoding="utf-8")
    wanted = in_step(text)
    if "--check" in arguments:
        print("README.md is {}in step".format("" if text == wanted else "not "))
        return int(text != wanted)
    write_text(README, wanted)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
