"""Optional content: the layers of a PDF, and which of them are switched off in the file.

Words of ISO 32000-1, 8.11: a *group* is one layer; a *membership* names several layers and
says when what belongs to them is seen.  A layer is told by its object, never by the name
that a page happens to use for it.
"""

from typing import Dict, List, NamedTuple, Optional, Tuple

from sewkit.files.pdf_file import Pdf, key_of
from sewkit.files.pdf_pages import words_of
from sewkit.files.pdf_tokens import Reference
from sewkit.sheet.drawn import Layer

_DEEPEST = 16  # of a visibility expression


class Member(NamedTuple):
    """What a stretch of content belongs to: names of layers, and whether it is off."""

    names: Tuple[str, ...] = ()
    hidden: bool = False


NOWHERE = Member()


class Layers:
    """The layers of one file."""

    def __init__(self, pdf: Pdf) -> None:
        self.pdf = pdf
        self._known: Dict[object, Member] = {}
        root = pdf.table(pdf.reader.trailer, "/Root")  # type: ignore[attr-defined]
        properties = pdf.table(root, "/OCProperties")
        setting = pdf.table(properties, "/D")
        self._base_off = pdf.get(setting, "/BaseState") == "/OFF"
        self._on = {key_of(item) for item in pdf.array(setting, "/ON")}
        self._off = {key_of(item) for item in pdf.array(setting, "/OFF")}
        self._groups = pdf.array(properties, "/OCGs")

    def listed(self) -> Tuple[Layer, ...]:
        """All layers in the file's order."""
        found = []
        for group in self._groups:
            member = self._group(group)
            if member.names:
                found.append(Layer(member.names[0], member.hidden))
        return tuple(found)

    def member(self, thing: object, properties: object = None) -> Member:
        """What an ``/OC`` entry, or the operand of ``BDC``, makes content belong to.

        ``thing``: an object of the file, a dictionary written in the stream, or a name that
        ``properties`` resolves.
        """
        if isinstance(thing, str) and isinstance(properties, dict):
            thing = properties.get("/" + thing.lstrip("/"))
        if isinstance(thing, Reference):
            thing = self._followed(thing)
        key = key_of(thing)
        if isinstance(thing, dict) and isinstance(key, tuple):
            return self._read(thing)  # written in the stream: it has no number to know it by
        if key not in self._known:
            self._known[key] = NOWHERE  # a membership that contains itself ends here
            self._known[key] = self._read(thing)
        return self._known[key]

    def _followed(self, reference: Reference) -> object:
        from pypdf.generic import IndirectObject

        return IndirectObject(reference.number, reference.generation, self.pdf.reader)

    def _read(self, thing: object) -> Member:
        what = self.pdf.value(thing)
        if not isinstance(what, dict):
            return NOWHERE
        entries = {str(key).lstrip("/"): entry for key, entry in what.items()}
        kind = str(self.pdf.value(entries.get("Type")) or "").lstrip("/")
        if kind == "OCMD" or "OCGs" in entries or "VE" in entries:
            return self._membership(entries)
        return self._group(thing)

    def _group(self, thing: object) -> Member:
        if isinstance(thing, Reference):
            thing = self._followed(thing)
        what = self.pdf.value(thing)
        if not isinstance(what, dict):
            return NOWHERE
        name = words_of(self.pdf.value(what.get("/Name", what.get("Name"))))
        key = key_of(thing)
        hidden = key in self._off or (self._base_off and key not in self._on)
        return Member((name or "layer",), hidden)

    def _membership(self, entries: Dict[str, object]) -> Member:
        several = self.pdf.value(entries.get("OCGs"))
        if not isinstance(several, list):
            several = [entries.get("OCGs")] if several is not None else []
        members = [member for member in map(self._group, several) if member.names]
        shown = [not member.hidden for member in members]
        policy = str(self.pdf.value(entries.get("P")) or "AnyOn").lstrip("/")
        seen = {
            "AllOn": all(shown),
            "AnyOff": not all(shown),
            "AllOff": not any(shown),
        }.get(policy, any(shown))
        names = [name for member in members for name in member.names]
        expression = entries.get("VE")
        if expression is not None:
            value = self._expression(expression, names, 0)
            seen = seen if value is None else value
        elif not members:
            seen = True
        return Member(tuple(dict.fromkeys(names)), not seen)

    def _expression(self, thing: object, names: List[str], depth: int) -> Optional[bool]:
        """A visibility expression: [/And ...], [/Or ...], [/Not one]; None where it makes no sense."""
        if isinstance(thing, Reference):
            thing = self._followed(thing)
        what = self.pdf.value(thing)
        if isinstance(what, dict):
            member = self._group(thing)
            names.extend(member.names)
            return not member.hidden
        if not isinstance(what, list) or not what or depth > _DEEPEST:
            return None
        word = str(self.pdf.value(what[0])).lstrip("/")
        values = [self._expression(item, names, depth + 1) for item in what[1:]]
        known = [value for value in values if value is not None]
        if word == "Not":
            return not known[0] if known else None
        return {"And": all(known), "Or": any(known)}.get(word)
