"""Write a file whole or not at all, and never over something that was read.

The bytes go to a temporary name in the same folder, are flushed to the disk, and take
their real name in one step.  Whoever reads the file sees the old one or the new one.
"""

import itertools
import os
from typing import Sequence, Union

from sewkit.errors import FileError

PathLike = Union[str, "os.PathLike[str]"]

_numbers = itertools.count()


def write_text(path: PathLike, text: str, never: Sequence[PathLike] = ()) -> None:
    """Write text as UTF-8 with plain line ends; see ``write_bytes``."""
    write_bytes(path, text.encode("utf-8"), never)


def write_bytes(path: PathLike, data: bytes, never: Sequence[PathLike] = ()) -> None:
    """Write a file in one step.

    Args:
        path: where; a link is followed, and the file it leads to is replaced.
        data: all of it.
        never: files that were read to make it.  Naming one of these as ``path``, under
            whatever spelling or link, is a ``FileError``: a master is never changed.

    Raises ``FileError`` where the folder is missing, full or closed to us; what stood
    at ``path`` before is then unchanged, and no temporary file is left.
    """
    check_target(path, never)
    target = os.path.realpath(os.fspath(path))
    try:
        _replace(target, data)
    except OSError as error:
        raise _told(path, target, error) from error


def check_target(path: PathLike, never: Sequence[PathLike] = ()) -> None:
    """``FileError`` where a file of this name could not be written; see ``write_bytes``."""
    target = os.path.realpath(os.fspath(path))
    for source in never:
        if _same_file(target, source):
            raise FileError(
                "'{}' was read to make this and is never written over.".format(os.fspath(path)),
                "Give the result another name.",
                code="overwrite",
            )
    if os.path.isdir(target):
        raise FileError("'{}' is a folder.".format(os.fspath(path)), "Add a file name to it.", code="file")
    if not os.path.isdir(os.path.dirname(target)):
        raise _no_folder(path, target)


def _same_file(target: str, source: PathLike) -> bool:
    other = os.path.realpath(os.fspath(source))
    if os.path.normcase(other) == os.path.normcase(target):
        return True
    try:
        return os.path.samefile(other, target)  # one file under two names
    except OSError:
        return False


def _replace(target: str, data: bytes) -> None:
    folder, name = os.path.split(target)
    temporary = os.path.join(folder, ".{}.{}-{}.part".format(name[:80], os.getpid(), next(_numbers)))
    try:
        with open(temporary, "xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if os.path.exists(target):
            os.chmod(temporary, os.stat(target).st_mode & 0o777)
        os.replace(temporary, target)
    except BaseException:
        if os.path.exists(temporary):
            os.unlink(temporary)
        raise


def _told(path: PathLike, target: str, error: OSError) -> FileError:
    """The system's error in words that say what to do."""
    if not os.path.isdir(os.path.dirname(target)):
        return _no_folder(path, target)
    reason = (error.strerror or str(error)).rstrip(".").lower()
    return FileError(
        "'{}' cannot be written: {}.".format(os.fspath(path), reason),
        "Nothing was changed; choose a folder that you may write to and that has room.",
        code="file",
    )


def _no_folder(path: PathLike, target: str) -> FileError:
    return FileError(
        "'{}' cannot be written: there is no folder '{}'.".format(os.fspath(path), os.path.dirname(target)),
        "Make the folder first, or name another.",
        code="file",
    )
