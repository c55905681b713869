"""Commands that a sentence names, as the editor's menu calls them.

A cure names the step that mends it as one would type it.  Who works in the editor looks for
it in the menu: ``sewkit smooth --at front/side`` is Seams > Smooth and square (At: front/side).
"""

import re
from typing import Match

from sewkit.errors import SewkitError
from sewkit.operation import Choice, Operation, find

# A value ends with the sentence: at a blank, a bracket, a comma, a full stop with nothing behind it.
_VALUE = r"(?:'[^']*'|(?:[^\s;,.()]|\.(?=\d))+)"
_COMMAND = re.compile(r"\bsewkit ([a-z]+(?:-[a-z]+)*)((?: --[a-z-]+(?: {})?)*)".format(_VALUE))
_OPTION = re.compile(r"--([a-z-]+)(?: ({}))?".format(_VALUE))

# What is typed to say what to work on is selected in the editor.
_SELECTED = {"piece": "select {}", "size": "select size {}", "id": "select {}"}


def in_the_menu(text: str) -> str:
    """The text with every command in it as an item of the menu and its values."""
    return _COMMAND.sub(_item, text)


def _item(command: Match) -> str:  # type: ignore[type-arg]
    try:
        operation = find(command.group(1))
    except SewkitError:
        return command.group(0)  # the sentence is about the program itself
    values = [_value(operation, *option) for option in _OPTION.findall(command.group(2))]
    item = "{} > {}".format(operation.menu, operation.title)
    return "{} [{}]".format(item, "; ".join(values)) if values else item


def _value(operation: Operation, name: str, value: str) -> str:
    value = value.strip("'")
    if name in _SELECTED:
        return _SELECTED[name].format(value)
    for param in operation.params:
        if param.option == "--" + name:
            # A list is known by what stands before its explanation.
            shown = param.kind.options.get(value, value) if isinstance(param.kind, Choice) else value
            return ": ".join(filter(None, (param.kind.label, shown.partition(": ")[0])))
    return "{}: {}".format(name, value)
