"""What a body needs beyond sizes, in the words of a measure sheet: "full stomach", "hollow back 12 mm".

A need is kept as it was said, never as an amount of one pattern: on the next size or the
next pattern the steps are worked out anew.
"""

import re
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.length_book import TORSO, LengthBook
from sewkit.body.measures import plain_words
from sewkit.body.sizing import BUSTS, Sizing
from sewkit.errors import InputError
from sewkit.units import parse_length

STOMACH, FRONT_LENGTH = "full stomach", "front length"
HOLLOW_BACK, ROUND_BACK = "hollow back", "round back"
FULL_SEAT, FLAT_SEAT = "full seat", "flat seat"

# What is understood and made, with other words for it.
_MADE: Dict[str, Tuple[str, ...]] = {
    STOMACH: ("stomach", "abdomen", "full abdomen", "full belly", "belly", "prominent stomach"),
    FRONT_LENGTH: ("front longer", "front balance", "longer front"),
    HOLLOW_BACK: ("sway back", "swayback", "swayed back", "hollow at the back"),
    ROUND_BACK: ("rounded back", "round upper back", "stoop", "stooping"),
    FULL_SEAT: ("round seat",),
    FLAT_SEAT: ("flat bottom",),
}

# What is understood, and for which there is no operation yet.
_NOT_YET: Dict[str, Tuple[str, ...]] = {
    "full bust": ("bust", "larger bust"),
    "small bust": ("smaller bust",),
    "lower bust dart": ("low bust", "lower bust", "dart lower"),
    "broad shoulders": ("broad shoulder", "wide shoulders"),
    "narrow shoulders": ("narrow shoulder",),
    "sloping shoulders": ("sloping shoulder", "sloped shoulders"),
    "square shoulders": ("square shoulder",),
    "forward shoulders": ("forward shoulder", "shoulder forward", "shoulders forward"),
    "broad back": (),
    "narrow back": (),
    "upper arm ease": ("upper arm", "strong arms", "upper arm needs"),
    "crotch depth": (),
    "crotch length": (),
}

_AMOUNT = re.compile(r"^(?P<words>[^\d¼½¾⅛⅜⅝⅞]*?)[\s:=]*(?P<amount>[-+−]?\s*[\d¼½¾⅛⅜⅝⅞].*)?$")
_AFTER = re.compile(r"\s+(ease|forward|longer|more)$")


class Need(NamedTuple):
    """A need.

    Args:
        name: as it is called here; empty where nobody knows it.
        amount: in mm; None where none was said.
        words: as they were written.
        made: whether steps can be planned for it.
    """

    name: str
    amount: Optional[float]
    words: str
    made: bool


def read_need(words: str) -> Need:
    """A need from its words; a bare number counts in cm, as on a measure sheet.

    ``InputError`` where its amount is no length.

    >>> read_need("sway back 12 mm")[:2], read_need("Front length +3")[:2]
    (('hollow back', 12.0), ('front length', 30.0))
    """
    match = _AMOUNT.match(words.strip())
    if match is None:
        return Need("", None, words, False)
    said = plain_words(match.group("words")).rstrip(" :=")
    text = (match.group("amount") or "").strip()
    tail = _AFTER.search(text)
    if tail is not None:
        text, said = text[: tail.start()], "{} {}".format(said, tail.group(1))
    said = re.sub(r" needs( ease)?$", " ease", said)
    amount = parse_length(text, "cm") if text else None
    for table, made in ((_MADE, True), (_NOT_YET, False)):
        for name, others in table.items():
            if said == name or said in others:
                return Need(name, amount, words, made)
    return Need("", amount, words, False)


def read_all(fits: Sequence[str]) -> Tuple[Tuple[Need, ...], Tuple[str, ...]]:
    """All needs of a sheet that can be read, and a sentence for each that cannot be served."""
    needs: List[Need] = []
    skipped: List[str] = []
    for words in fits:
        try:
            need = read_need(words)
        except InputError as error:
            skipped.append("'{}' is left out: {}".format(words, error))
            continue
        if need.name:
            needs.append(need)
        if not need.name:
            text = "'{}' is no need that is known here, so nothing was changed for it; known are {}."
            skipped.append(text.format(words, ", ".join(_MADE)))
        elif not need.made:
            text = "'{}': nothing is changed for it yet; do it by hand and write it on the pattern."
            skipped.append(text.format(words))
    return tuple(needs), tuple(skipped)


def amount_of(needs: Sequence[Need], name: str) -> Optional[float]:
    """The amount of a need (mm), or None."""
    return next((need.amount for need in needs if need.name == name), None)


def has(needs: Sequence[Need], name: str) -> bool:
    """Whether a need is among them."""
    return any(need.name == name for need in needs)


def double_counts(sizing: Sizing, book: LengthBook, needs: Sequence[Need]) -> Tuple[str, ...]:
    """One sentence for each pair of changes that serve the same need twice."""
    found: List[str] = []
    waist, torso = sizing.of("waist"), book.amount(TORSO)
    if has(needs, "full bust"):
        if sizing.main in BUSTS and sizing.main != "high bust":
            found.append(
                "The size goes by the full bust already: with a full-bust change as well it is served twice; "
                "measure the high bust and go by that."
            )
        if waist is not None and waist.number > sizing.lead.number:
            found.append(
                "A full-bust change makes the waist wider too, and the side swings out to size {} there: "
                "count it once.".format(waist.size)
            )
        if has(needs, "lower bust dart"):
            found.append(
                "A full-bust change lowers the apex a little by itself: do it first, then look at the dart."
            )
    if has(needs, HOLLOW_BACK) and torso < 0:
        found.append(
            "The back is {:.1f} cm shorter already, and a hollow back takes length out of it again: "
            "measure whether both are meant.".format(-torso / 10)
        )
    if has(needs, FRONT_LENGTH) and torso > 0:
        found.append(
            "The front is {:.1f} cm longer with the back waist length already: the front length has to be "
            "what is missing after that.".format(torso / 10)
        )
    if has(needs, "crotch depth") and has(needs, "crotch length"):
        found.append("The depth of the crotch changes its length by twice as much already: count that first.")
    if has(needs, "broad shoulders") and sizing.lead.number > sizing.lead.exact:
        found.append(
            "The size is the larger one at the {}, so the shoulder is broader already: "
            "measure it first.".format(sizing.main)
        )
    return tuple(found)
