"""Names of letters and widths of the fonts that a PDF may use without carrying them.

Names follow Adobe's glyph naming; the standard encoding is that of ISO 32000-1, Annex D.
Widths are those of the fonts' published metrics (Adobe Font Metrics, 1/1000 of the size).
"""

import re
import unicodedata
from typing import Dict, List

_PLAIN = (
    "space exclam quotedbl numbersign dollar percent ampersand quotesingle parenleft parenright asterisk "
    "plus comma hyphen period slash zero one two three four five six seven eight nine colon semicolon "
    "less equal greater question at A B C D E F G H I J K L M N O P Q R S T U V W X Y Z bracketleft "
    "backslash bracketright asciicircum underscore grave a b c d e f g h i j k l m n o p q r s t u v w x "
    "y z braceleft bar braceright asciitilde"
).split()
_MORE = {
    "exclamdown": "¡",
    "cent": "¢",
    "sterling": "£",
    "fraction": "⁄",
    "yen": "¥",
    "florin": "ƒ",
    "section": "§",
    "currency": "¤",
    "quotedblleft": "“",
    "guillemotleft": "«",
    "guilsinglleft": "‹",
    "guilsinglright": "›",
    "fi": "fi",
    "fl": "fl",
    "ff": "ff",
    "ffi": "ffi",
    "ffl": "ffl",
    "endash": "–",
    "dagger": "†",
    "daggerdbl": "‡",
    "periodcentered": "·",
    "paragraph": "¶",
    "bullet": "•",
    "quotesinglbase": "‚",
    "quotedblbase": "„",
    "quotedblright": "”",
    "guillemotright": "»",
    "ellipsis": "…",
    "perthousand": "‰",
    "questiondown": "¿",
    "acute": "´",
    "circumflex": "ˆ",
    "tilde": "˜",
    "macron": "¯",
    "breve": "˘",
    "dotaccent": "˙",
    "dieresis": "¨",
    "ring": "˚",
    "cedilla": "¸",
    "hungarumlaut": "˝",
    "ogonek": "˛",
    "caron": "ˇ",
    "emdash": "—",
    "AE": "Æ",
    "ordfeminine": "ª",
    "Lslash": "Ł",
    "Oslash": "Ø",
    "OE": "Œ",
    "ordmasculine": "º",
    "ae": "æ",
    "dotlessi": "ı",
    "lslash": "ł",
    "oslash": "ø",
    "oe": "œ",
    "germandbls": "ß",
    "quoteleft": "‘",
    "quoteright": "’",
    "Euro": "€",
    "degree": "°",
    "plusminus": "±",
    "multiply": "×",
    "divide": "÷",
    "onehalf": "½",
    "onequarter": "¼",
    "threequarters": "¾",
    "onesuperior": "¹",
    "twosuperior": "²",
    "threesuperior": "³",
    "mu": "µ",
    "minus": "−",
    "copyright": "©",
    "registered": "®",
    "trademark": "™",
    "logicalnot": "¬",
    "brokenbar": "¦",
    "Eth": "Ð",
    "eth": "ð",
    "Thorn": "Þ",
    "thorn": "þ",
    "arrowup": "↑",
    "arrowdown": "↓",
    "arrowleft": "←",
    "arrowright": "→",
    "nbspace": " ",
    "softhyphen": "-",
    "sfthyphen": "-",
}
_ACCENTS = {
    "grave": "\u0300",
    "acute": "\u0301",
    "circumflex": "\u0302",
    "tilde": "\u0303",
    "macron": "\u0304",
    "breve": "\u0306",
    "dotaccent": "\u0307",
    "dieresis": "\u0308",
    "ring": "\u030a",
    "hungarumlaut": "\u030b",
    "caron": "\u030c",
    "cedilla": "\u0327",
    "ogonek": "\u0328",
    "commaaccent": "\u0326",
}
_NAMES: Dict[str, str] = {name: chr(32 + place) for place, name in enumerate(_PLAIN)}
_NAMES.update(_MORE)
_ACCENTED = re.compile(r"([A-Za-z])({})$".format("|".join(_ACCENTS)))
_HEXADECIMAL = re.compile(r"(?:uni((?:[0-9A-F]{4})+)|u([0-9A-F]{4,6}))$")

# Codes above 160 of the standard encoding, by name.
_STANDARD_HIGH = {
    161: "exclamdown cent sterling fraction yen florin section currency quotesingle quotedblleft",
    171: "guillemotleft guilsinglleft guilsinglright fi fl",
    177: "endash dagger daggerdbl periodcentered",
    182: "paragraph bullet quotesinglbase quotedblbase quotedblright guillemotright ellipsis perthousand",
    191: "questiondown",
    193: "grave acute circumflex tilde macron breve dotaccent dieresis",
    202: "ring cedilla",
    205: "hungarumlaut ogonek caron emdash",
    225: "AE",
    227: "ordfeminine",
    232: "Lslash Oslash OE ordmasculine",
    241: "ae",
    245: "dotlessi",
    248: "lslash oslash oe germandbls",
}

_HELVETICA = (
    "278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 "
    "556 278 278 584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 667 778 "
    "722 667 611 722 667 944 667 667 611 278 278 278 469 556 333 556 556 500 556 556 278 556 556 222 222 "
    "500 222 833 556 556 556 556 333 500 278 556 500 722 500 500 500 334 260 334 584"
)
_HELVETICA_BOLD = (
    "278 333 474 556 556 889 722 238 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 "
    "556 333 333 584 584 584 611 975 722 722 722 722 667 611 778 722 278 556 722 611 833 722 778 667 778 "
    "722 667 611 722 667 944 667 667 611 333 278 333 584 556 333 556 611 556 611 556 333 611 611 278 278 "
    "556 278 889 611 611 611 611 389 556 333 611 556 778 556 556 500 389 280 389 584"
)
_TIMES = (
    "250 333 408 500 500 833 778 180 333 333 500 564 250 333 250 278 500 500 500 500 500 500 500 500 500 "
    "500 278 278 564 564 564 444 921 722 667 667 722 611 556 722 722 333 389 722 611 889 722 722 556 722 "
    "667 556 611 722 722 944 722 722 611 333 278 333 469 500 333 444 500 444 500 444 333 500 500 278 278 "
    "500 278 778 500 500 500 500 333 389 278 500 500 722 500 500 444 480 200 480 541"
)


def letter_of(name: str) -> str:
    """What a glyph name stands for; empty where that cannot be told."""
    if name in _NAMES:
        return _NAMES[name]
    stem = name.split(".")[0]
    if stem in _NAMES:
        return _NAMES[stem]
    accented = _ACCENTED.match(stem)
    if accented:
        return unicodedata.normalize("NFC", accented.group(1) + _ACCENTS[accented.group(2)])
    digits = _HEXADECIMAL.match(stem)
    if digits and digits.group(1):
        return bytes.fromhex(digits.group(1)).decode("utf-16-be", "ignore")
    if digits and int(digits.group(2), 16) < 0x110000 and not 0xD800 <= int(digits.group(2), 16) < 0xE000:
        return chr(int(digits.group(2), 16))
    if "_" in stem and stem.strip("_"):
        return "".join(letter_of(part) for part in stem.split("_") if part)
    return ""


def encoding(name: str) -> List[str]:
    """The letters of the 256 codes of an encoding, empty where a code has none."""
    if name == "WinAnsiEncoding":
        letters = [bytes([code]).decode("cp1252", "replace").replace("\ufffd", "•") for code in range(256)]
    elif name == "MacRomanEncoding":
        letters = [bytes([code]).decode("mac_roman") for code in range(256)]
    else:
        letters = [chr(code) if 32 <= code < 127 else "" for code in range(256)]
        letters[39], letters[96] = "’", "‘"
        for start, names in _STANDARD_HIGH.items():
            for place, glyph in enumerate(names.split()):
                letters[start + place] = _NAMES[glyph]
    return ["" if code < 32 or code == 127 else letter for code, letter in enumerate(letters)]


def standard_widths(font: str) -> Dict[str, float]:
    """Widths by letter of a font that every reader has, or of the one nearest to it."""
    plain = font.lower()
    if "courier" in plain or "mono" in plain:
        return {chr(code): 600.0 for code in range(32, 127)}
    table = _HELVETICA_BOLD if "bold" in plain else _HELVETICA
    if "times" in plain or ("serif" in plain and "sans" not in plain):
        table = _TIMES
    return {chr(32 + place): float(width) for place, width in enumerate(table.split())}
