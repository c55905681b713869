"""The folder of a pack: put in its place whole or not at all, and known again.

The files go into a folder beside, whose name begins with a full stop, the manifest last.
Then the folder takes its real name in one step.  After a stop at any moment there is the
old pack or the new one, and what is left over beside is cleared away by the next try.
"""

import hashlib
import json
import os
import shutil
from typing import Any, Dict, List, Mapping, Optional, Union

import numpy as np

from sewkit import __version__
from sewkit.body.body import Body
from sewkit.errors import FileError
from sewkit.files.fit_sheet import hash_of
from sewkit.pattern.mark import LABEL, NOTE, OVERLAY
from sewkit.pattern.pattern import Pattern

PathLike = Union[str, "os.PathLike[str]"]

MANIFEST = "pack.json"

# Raised when the same input is to give other files, so that older packs are made anew.
_LAYOUT = 2

# Geometry is compared to so many decimals of a mm; what a drawing rounds lies far below.
_DECIMALS = 5


def pack_inputs(
    master: bytes, body: Optional[Body] = None, chart: str = "", recipe: str = "", **more: Any
) -> Dict[str, str]:
    """What a pack is made from, hashed; equal inputs give equal bytes.

    Args:
        master: the bytes of the master.
        body: the person; in which row of a table does not matter.
        chart, recipe: their texts.
        more: whatever else decides what is made, such as exact=True or show="Carmen": words,
            numbers, yes and no, or lists of them.
    """
    person = None if body is None else dict(body._replace(row=0)._asdict())
    return {
        "master": hash_of(master),
        "body": _hash_of_value(person),
        "chart": hash_of(chart.encode("utf-8")),
        "recipe": hash_of(recipe.encode("utf-8")),
        "asked": _hash_of_value(more),
        "sewkit": "{}, layout {}".format(__version__, _LAYOUT),
    }


def _hash_of_value(value: Any) -> str:
    return hash_of(json.dumps(value, sort_keys=True, ensure_ascii=True).encode("ascii"))


def geometry_hash(pattern: Pattern) -> str:
    """One hash for all lines of a pattern: equal for two bodies whose pieces are the same.

    Names of sizes and all words are left out, for they say for whom the pieces are.
    """
    found = hashlib.sha256()
    for piece in pattern.pieces:
        found.update(repr((piece.name, piece.cut, piece.cloth)).encode("utf-8"))
        lines = [("outline", outline.path) for outline in piece.outlines]
        lines += [("cut", line.path) for line in piece.cut_lines]
        lines += [
            (mark.kind, mark.path)
            for mark in piece.marks
            if mark.path is not None and mark.kind not in (LABEL, NOTE, OVERLAY)
        ]
        for kind, path in lines:
            found.update("{} {}".format(kind, path.closed).encode("utf-8"))
            # The sum turns a zero below nothing into a plain one.
            found.update((np.round(path.curves, _DECIMALS) + 0.0).astype("<f8").tobytes())
    return "sha256:" + found.hexdigest()


def write_manifest(files: Mapping[str, bytes], inputs: Mapping[str, str], geometry: str) -> bytes:
    """The manifest of some files: what they were made from, the hash of each, and of the geometry."""
    value = {
        "made-from": dict(inputs),
        "geometry": geometry,
        "files": {name: hash_of(data) for name, data in files.items()},
    }
    return (json.dumps(value, sort_keys=True, ensure_ascii=False, indent=2) + "\n").encode("utf-8")


def read_manifest(folder: PathLike) -> Optional[Dict[str, Any]]:
    """The manifest of a folder; None where it has none, or none that can be read."""
    try:
        with open(os.path.join(os.fspath(folder), MANIFEST), encoding="utf-8") as stream:
            value = json.load(stream)
    except (OSError, ValueError):
        return None
    whole = isinstance(value, dict) and all(
        isinstance(value.get(key), dict) for key in ("files", "made-from")
    )
    # A name that leads out of the folder was not written by us.
    return value if whole and all(os.path.basename(name) == name for name in value["files"]) else None


def finished_pack(folder: PathLike, inputs: Mapping[str, str]) -> bool:
    """Whether a folder holds a whole pack made from these inputs, every file as it was written."""
    manifest = read_manifest(folder)
    if manifest is None or manifest["made-from"] != dict(inputs):
        return False
    return not _changed(os.fspath(folder), manifest["files"], gone=True)


def put_pack(folder: PathLike, files: Mapping[str, bytes]) -> None:
    """Put files into a folder of their own in one step; see ``write_pack``."""
    target = os.path.abspath(os.fspath(folder))
    parent, name = os.path.split(target)
    if not os.path.isdir(parent):
        raise FileError(
            "'{}' cannot be written: there is no folder '{}'.".format(folder, parent),
            "Make the folder first, or name another.",
            code="file",
        )
    beside, old = (os.path.join(parent, ".{}.{}".format(name, word)) for word in ("part", "old"))
    try:
        if not os.path.lexists(target) and os.path.isdir(old):
            os.replace(old, target)  # stopped between the two steps below
        _refuse_other(target, folder)
        _clear(beside)
        _clear(old)
        os.mkdir(beside)
        try:
            _keep(target, beside)
            for one, data in files.items():
                with open(os.path.join(beside, one), "xb") as stream:
                    stream.write(data)
            if os.path.isdir(target):
                os.replace(target, old)
            os.replace(beside, target)
        except BaseException:
            _clear(beside)
            raise
        _clear(old)
    except OSError as error:
        reason = (error.strerror or str(error)).rstrip(".").lower()
        raise FileError(
            "The pack '{}' cannot be written: {}.".format(folder, reason),
            "Choose a folder that you may write to and that has room.",
            code="file",
        ) from error


def _clear(folder: str) -> None:
    if os.path.isdir(folder):
        shutil.rmtree(folder)


def _refuse_other(target: str, shown: PathLike) -> None:
    """``FileError`` where something stands that is not ours to replace."""
    if not os.path.lexists(target):
        return
    if not os.path.isdir(target) or os.path.islink(target):
        raise FileError("'{}' is no folder.".format(shown), "Give the pack another name.", code="file")
    if read_manifest(target) is None and os.listdir(target):
        raise FileError(
            "The folder '{}' holds other things and no pack.".format(shown),
            "Give the pack another name, or empty the folder.",
            code="overwrite",
        )


def _keep(target: str, beside: str) -> None:
    """Copy what is somebody's own in an older pack: what was put there, and what was changed."""
    manifest = read_manifest(target) or {"files": {}}
    ours = {MANIFEST, *manifest["files"]}
    for name in sorted(os.listdir(target)) if os.path.isdir(target) else ():
        source = os.path.join(target, name)
        if name not in ours:
            copy = shutil.copytree if os.path.isdir(source) else shutil.copy2
            copy(source, os.path.join(beside, name))
    for name in _changed(target, manifest["files"], gone=False):
        shutil.copy2(os.path.join(target, name), os.path.join(beside, _free(beside, name)))


def _free(folder: str, name: str) -> str:
    """A name for a file that was changed: "recipe-kept.toml", with a number where that is taken."""
    stem, end = os.path.splitext(name)
    names = ("{}-kept{}{}".format(stem, "" if i == 1 else "-{}".format(i), end) for i in range(1, 10000))
    return next(one for one in names if not os.path.lexists(os.path.join(folder, one)))


def _changed(folder: str, files: Mapping[str, str], gone: bool) -> List[str]:
    """The files that are not as they were written; with ``gone`` also those that are not there."""
    now = {name: _hash_now(folder, name) for name in files}
    return [name for name, known in files.items() if now[name] != known and (gone or now[name] is not None)]


def _hash_now(folder: str, name: str) -> Optional[str]:
    try:
        with open(os.path.join(folder, name), "rb") as stream:
            return hash_of(stream.read())
    except OSError:
        return None
