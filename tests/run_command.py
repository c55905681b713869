"""The command run in this process, in an empty folder."""

import os

from sewkit.cli import main


def runner(folder, capture):
    """A function of the words of a command; it gives status, both outputs and the files in the folder.

    ``capture``: pytest's ``capsys`` or, for bytes on standard output, ``capfd``.
    """

    def go(*words):
        try:
            status = main([str(word) for word in words])
        except SystemExit as stopped:
            status = stopped.code
        out, err = capture.readouterr()
        return status, out, err, sorted(os.listdir(str(folder)))

    return go
