"""The documents that an operation gives to be printed, as files.

Asked for "pieces.pdf", one document is that file; several stand beside it under their own
names, as "pieces-a4.pdf" and "pieces-roll.pdf".
"""

import os
from typing import Dict, Iterable, List, Mapping, Sequence, Tuple

from sewkit.files.atomic import PathLike, check_target, write_bytes
from sewkit.files.pdf_write import write_pdf
from sewkit.paper.document import Document, Words
from sewkit.paper.letter_widths import lost_letters
from sewkit.report import Finding, Level

KIND = ".pdf"


def printed_files(name: str, documents: Sequence[Document], beside: bool = False) -> Dict[str, bytes]:
    """Bytes of all documents by the names of their files.

    Args:
        name: "pieces.pdf", or any file that they are to stand beside.
        beside: each under a name of its own, even where there is only one.
    """
    stem = os.path.splitext(name)[0]
    if len(documents) == 1 and not beside:
        return {name: write_pdf(documents[0])}
    names: List[str] = []
    for document in documents:
        called, number = "{}-{}".format(stem, document.name), 2
        while called + KIND in names:
            called, number = "{}-{}-{}".format(stem, document.name, number), number + 1
        names.append(called + KIND)
    return {name: write_pdf(document) for name, document in zip(names, documents)}


def write_printed(files: Mapping[str, bytes], never: Sequence[PathLike] = ()) -> None:
    """Write them, each whole or not at all, and none where one of them may not be written."""
    check_printed_files(files, never)
    for name, data in files.items():
        write_bytes(name, data, never)


def check_printed_files(files: Iterable[str], never: Sequence[PathLike] = ()) -> None:
    """``FileError`` where a file of one of these names could not be written."""
    for name in files:
        check_target(name, never)


def letters_told(documents: Sequence[Document]) -> Tuple[Finding, ...]:
    """What to tell of letters that the fonts of a PDF lack."""
    lost: Dict[str, str] = {}
    for document in documents:
        for words in _words(document):
            lost.update((letter, words.text) for letter in lost_letters(words.text) if letter not in lost)
    if not lost:
        return ()
    text = "The printed sheets have '?' in place of {}, as in '{}': viewers have no such letters.".format(
        ", ".join(lost), next(iter(lost.values()))
    )
    cure = "Write it with Latin letters."
    return (Finding("letters", Level.WARN, text, cure=cure),)


def _words(document: Document) -> List[Words]:
    return [*document.artwork.words, *(words for page in document.pages for words in page.own.words)]
