"""The editor's dialogs and start scripts, written from the declarations.

    python -m sewkit.editor.inx           writes extensions/sew_*.inx and sew_*.py anew
    python -m sewkit.editor.inx --check   only says what is out of step

The files are checked in, so that everybody who unpacks the source has them; a test
proves that they are in step.
"""

import argparse
import math
import pathlib
import sys
from typing import Dict, List, Optional, Sequence, Tuple

from lxml import etree

from sewkit.arguments import UNITS, editor_default, takes_lengths, type_name
from sewkit.editor.columns import fit_page
from sewkit.operation import Choice, Count, Length, LengthsByName, Number, Operation, Param, Percent, Sheet
from sewkit.units import MILLIMETRES, write_number

NAMESPACE = "http://www.inkscape.org/namespace/inkscape/extension"
EXTENSIONS = pathlib.Path(__file__).resolve().parent.parent.parent / "extensions"
MENU = "Sewkit"

# Three decimals would do for millimetres, but a sixteenth of an inch is 0.0625: rounded to
# three it would be off by more than 0.01 mm.  Newer editors pass on just what they show.
DECIMALS = 4
_NUMBER_DECIMALS = 2  # a quarter of a degree
_PERCENT_DECIMALS = 1  # a thousandth of anything: 0.01 mm of a way of 10 mm between two sizes

_NOTE = " Written by sewkit.editor.inx from the declaration of the operation; do not edit. "
_UNIT_WORDS = {"mm": "millimetres", "cm": "centimetres", "in": "inches"}
_TAKEN = (
    "tab",
    "file",
    "unit",
    "id",
    "selected-nodes",
    "output",
    "help",
    "show-report",
    "report-file",
    "print-file",
)

# What a sheet may be called, so that the editor's file dialog shows it.
_SHEETS = "csv,tsv,txt"


def inx_text(operation: Operation) -> bytes:
    """The dialog of one operation, as the bytes of its .inx file."""
    for param in operation.params:
        if param.option[2:] in _TAKEN:
            raise TypeError("{}: the name {} is taken by the editor".format(operation.name, param.name))
    root = etree.Element("inkscape-extension", nsmap={None: NAMESPACE}, translationdomain="none")
    root.append(etree.Comment(_NOTE))
    _add(root, "name", operation.title)
    _add(root, "id", identifier(operation))
    _add(root, "dependency", "sewkit/__init__.py", type="file", location="inx")
    book = _add(root, "param", name="tab", type="notebook")
    _fill_values(_add(book, "page", name="values", **{"gui-text": "Values"}), operation)
    _fill_help(_add(book, "page", name="help", **{"gui-text": "Help"}), operation)
    _fill_meanings(book, operation)
    _fill_effect(_add(root, "effect"), operation)
    script = _add(root, "script")
    _add(script, "command", stem(operation) + ".py", location="inx", interpreter="python")
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)


def stem(operation: Operation) -> str:
    """The name of its files without ending: ``sew_`` keeps them from hiding other modules."""
    return "sew_" + operation.name.replace("-", "_")


def identifier(operation: Operation) -> str:
    """Its id in the editor, where the action is called the same with ``-`` for ``_``."""
    return "org.sewkit." + stem(operation)


def class_name(operation: Operation) -> str:
    """The class that inkex's own test expects for that id."""
    return stem(operation).title().replace("_", "")


def _add(parent: etree._Element, tag: str, text: str = "", **attributes: str) -> etree._Element:
    child = etree.SubElement(parent, tag, attributes)
    if text:
        child.text = text
    return child


def _fill_values(page: etree._Element, operation: Operation) -> None:
    _add(page, "label", operation.select)
    _add(page, "spacer")
    if operation.takes_pages:
        words = _words("PDF:", "the file to bring in")
        _add(page, "param", name="file", type="path", mode="file", filetypes="pdf", **words)
    if operation.prints:
        words = _words("PDF to write:", "a new file whose name ends in .pdf")
        _add(page, "param", name="print-file", type="path", mode="file_new", filetypes="pdf", **words)
    waiting = takes_lengths(operation)
    for param in operation.params:
        if waiting and isinstance(param.kind, (Length, LengthsByName)):
            names = {unit: _UNIT_WORDS[unit] for unit in UNITS}
            _add_choice(
                page, "unit", "Lengths are in", "the unit of every length on this page", names, UNITS[0]
            )
            waiting = False
        _add_param(page, param)
    if operation.told or operation.prints:
        _add_report(page, operation.prints)
    fit_page(page, operation.preview)


def _add_report(page: etree._Element, shown: bool) -> None:
    """Whether to show the report, and the file to write it to; ``editor.told`` reads them.

    ``shown``: unless somebody asks for silence.
    """
    words = _words("Show the report", "in a message, when all is done")
    _add(page, "param", name="show-report", type="bool", **words).text = "true" if shown else "false"
    words = _words("Report as a file:", "a new file whose name ends in .html, .txt or .json; empty for none")
    _add(page, "param", name="report-file", type="path", mode="file_new", filetypes="html,txt,json", **words)


def _add_param(page: etree._Element, param: Param) -> None:
    kind, name = param.kind, param.option[2:]
    if isinstance(kind, Choice):
        _add_choice(page, name, kind.label, kind.help, kind.options, param.default)
        return
    if isinstance(kind, Sheet):
        words = _words(kind.label + ":", kind.help)
        _add(page, "param", name=name, type="path", mode="file", filetypes=_SHEETS, **words)
        return
    sort = {"Boolean": "bool", "str": "string"}.get(type_name(param), type_name(param))
    label = kind.label + (" (%)" if isinstance(kind, Percent) else "") + ("" if sort == "bool" else ":")
    field = _add(page, "param", name=name, type=sort, **_words(label, kind.help))
    for key, value in _limits(param).items():
        field.set(key, value)
    default = editor_default(param)
    text = default if isinstance(default, str) else kind.write(default)
    field.text = text or None


def _limits(param: Param) -> Dict[str, str]:
    """Limits that hold in every unit; the exact ones in mm are checked after reading."""
    kind = param.kind
    if not isinstance(kind, Number) or type_name(param) == "str":
        return {}
    if isinstance(kind, Count):
        return {"min": str(int(kind.least)), "max": str(int(kind.most))}
    least, most = kind.least, kind.most
    if isinstance(kind, Length):
        largest = max(MILLIMETRES[unit] for unit in UNITS)
        step = 10.0**DECIMALS
        least = least if least <= 0 else math.floor(least / largest * step) / step
        most = most if most >= 0 else math.ceil(most / largest * step) / step
    decimals = _PERCENT_DECIMALS if isinstance(kind, Percent) else _NUMBER_DECIMALS
    decimals = DECIMALS if isinstance(kind, Length) else decimals
    return {"precision": str(decimals), "min": write_number(least), "max": write_number(most)}


def _add_choice(
    page: etree._Element, name: str, label: str, help: str, options: Dict[str, str], default: str
) -> None:
    """A list to choose from."""
    field = _add(
        page, "param", name=name, type="optiongroup", appearance="combo", **_words(label + ":", help)
    )
    for value in _in_order(options, default):
        _add(field, "option", options[value], value=value)


def _words(label: str, help: str) -> Dict[str, str]:
    words = {"gui-text": label}
    if help:
        words["gui-description"] = help[:1].upper() + help[1:]
    return words


def _fill_help(page: etree._Element, operation: Operation) -> None:
    _add(page, "label", operation.summary)
    for paragraph in operation.details.split("\n\n"):
        if paragraph:
            _add(page, "label", paragraph)


def _fill_meanings(book: etree._Element, operation: Operation) -> None:
    """What each value and each choice means, on a page of its own: one page of help that held
    it all would be higher than a small screen, and the dialog is as high as its highest page.
    """
    told = [param for param in operation.params if param.kind.help or isinstance(param.kind, Choice)]
    page = _add(book, "page", name="meanings", **{"gui-text": "Help on values"}) if told else None
    for param in told:
        help = param.kind.help.rstrip(".")
        _add(page, "label", "{}: {}.".format(param.kind.label, help) if help else param.kind.label + ":")
        if isinstance(param.kind, Choice):
            for word in _in_order(param.kind.options, param.default):
                _add(page, "label", _meaning(word, param.kind.options[word]), indent="1")


def _in_order(options: Dict[str, str], default: str) -> List[str]:
    """The editor starts on the first, so the default comes first."""
    return sorted(options, key=lambda word: word != default)


def _meaning(word: str, shown: str) -> str:
    """A choice, as commands and recipes have it, and what it means; not both if that is the same."""
    lead, _, rest = shown.partition(": ")
    if lead.lower() == word:
        return "{}: {}".format(word, rest) if rest else word
    return "{}: {}".format(word, shown)


def _fill_effect(effect: etree._Element, operation: Operation) -> None:
    effect.set("needs-live-preview", "true" if operation.preview else "false")
    _add(effect, "object-type", "all")
    menu = _add(_add(effect, "effects-menu"), "submenu", name=MENU)
    if operation.menu:
        _add(menu, "submenu", name=operation.menu)
    _add(effect, "menu-tip", operation.summary)


_SCRIPT = '''\
#!/usr/bin/env python3
"""Extensions > {path}.

Written by sewkit.editor.inx from the declaration of the operation; do not edit.
"""

import _where  # noqa: F401  finds sewkit and the editor's own modules

import {module}  # noqa: F401  declares the operation
from sewkit.editor.{host} import {base}


class {name}({base}):
    runs = "{operation}"


if __name__ == "__main__":
    {name}().run()
'''


def script_text(operation: Operation) -> bytes:
    """The script that the editor starts for one operation."""
    path = " > ".join(part for part in (MENU, operation.menu, operation.title) if part)
    host, base = ("pages_host", "PagesExtension") if operation.takes_pages else ("host", "OperationExtension")
    words = dict(path=path, module=operation.function.__module__, host=host, base=base)
    return _SCRIPT.format(name=class_name(operation), operation=operation.name, **words).encode("utf-8")


def generated(operations: Sequence[Operation]) -> Dict[str, bytes]:
    """Every generated file of the folder ``extensions``, by name."""
    files = {"_where.py": (pathlib.Path(__file__).parent / "where.py").read_bytes()}
    for operation in operations:
        files[stem(operation) + ".inx"] = inx_text(operation)
        files[stem(operation) + ".py"] = script_text(operation)
    return files


def out_of_step(folder: pathlib.Path, operations: Sequence[Operation]) -> Tuple[str, ...]:
    """What the folder has different from the declarations, a sentence a file; empty if nothing."""
    wanted = generated(operations)
    there = {path.name: path.read_bytes() for path in _generated_before(folder)}
    told = []  # type: List[str]
    for name in sorted(set(wanted) | set(there)):
        if name not in wanted:
            told.append("{} belongs to no operation.".format(name))
        elif name not in there:
            told.append("{} is missing.".format(name))
        elif wanted[name] != there[name]:
            told.append("{} is not what its declaration says.".format(name))
    return tuple(told)


def write(folder: pathlib.Path, operations: Sequence[Operation]) -> None:
    """Write every generated file and remove those of operations that are gone."""
    wanted = generated(operations)
    folder.mkdir(parents=True, exist_ok=True)
    for path in _generated_before(folder):
        if path.name not in wanted:
            path.unlink()
    for name, content in wanted.items():
        path = folder / name
        if not path.exists() or path.read_bytes() != content:
            path.write_bytes(content)


def _generated_before(folder: pathlib.Path) -> List[pathlib.Path]:
    found = [path for pattern in ("sew_*.inx", "sew_*.py", "_where.py") for path in folder.glob(pattern)]
    return sorted(found)


def main(arguments: Optional[Sequence[str]] = None) -> int:
    """Write or check the generated files; 0 if they are in step."""
    from sewkit.operations import load

    parser = argparse.ArgumentParser(prog="python -m sewkit.editor.inx", description=__doc__.split("\n")[0])
    parser.add_argument("folder", nargs="?", type=pathlib.Path, default=EXTENSIONS)
    parser.add_argument("--check", action="store_true", help="write nothing, only say what is out of step")
    options = parser.parse_args(arguments)
    if not options.check:
        write(options.folder, load())
    told = out_of_step(options.folder, load())
    for sentence in told:
        print(sentence, file=sys.stderr)
    return 1 if told else 0


if __name__ == "__main__":
    sys.exit(main())
