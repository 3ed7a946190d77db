"""Scripts: which one a text is in, what they are called, and which of them a person tells apart.

What is computed: codes of ISO 15924 (four letters) and English names. The script of a letter or
figure is the Unicode Standard's (property Script), by ``fontTools.unicodedata``; signs that many
scripts share, western figures among them, have none. Names are the standard's, shortened; Mymr,
Hani, Jpan and Kore go by their language, as a person names them.

ISO 15924 knows codes for several scripts that are written together (its names for them: Jpan is
"alias for Han + Hiragana + Katakana", Kore "alias for Hangul + Han"). A record may name the whole
or a part, and a person names the whole: ``as_seen`` gives the wholes.

>>> script_of("ΔΡΑΧΜΗ 5"), script_of("١٣٥٠"), script_of("1931")
('Grek', 'Arab', '')
>>> script_code("arabic"), script_code("Latn"), script_code("hangul"), script_code("runes?")
('Arab', 'Latn', 'Hang', '')
>>> sorted(as_seen({"Hang", "Hani"})), sorted(as_seen({"Kana"})), sorted(as_seen({"Hani", "Latn"}))
(['Kore'], ['Jpan'], ['Hani', 'Latn'])
>>> named("Kore", {"Hani"}), named("Hani", {"Jpan"}), named("Kore", {"Jpan"})
(frozenset({'Hani'}), frozenset({'Jpan'}), frozenset())
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from fontTools import unicodedata

NAMES: Mapping[str, str] = {
    "Latn": "Latin", "Arab": "Arabic", "Armn": "Armenian", "Beng": "Bengali", "Mymr": "Burmese",
    "Hani": "Chinese", "Copt": "Coptic", "Cyrl": "Cyrillic", "Deva": "Devanagari",
    "Ethi": "Ethiopic", "Geor": "Georgian", "Grek": "Greek", "Gujr": "Gujarati",
    "Guru": "Gurmukhi", "Hang": "Hangul", "Hebr": "Hebrew", "Hira": "Hiragana",
    "Jpan": "Japanese", "Kana": "Katakana", "Khmr": "Khmer", "Kore": "Korean", "Laoo": "Lao",
    "Mong": "Mongolian", "Runr": "Runic", "Sinh": "Sinhala", "Taml": "Tamil", "Telu": "Telugu",
    "Thai": "Thai", "Tibt": "Tibetan",
}  # fmt: skip
"""What the scripts of coins are called; others go by the name Unicode has for them."""

_WHOLES: Mapping[str, frozenset[str]] = {
    "Jpan": frozenset({"Hira", "Kana", "Hrkt"}),
    "Kore": frozenset({"Hang", "Jamo"}),
    "Hani": frozenset({"Hans", "Hant"}),
}
"""Scripts that a person names as one, with the parts that tell which it is."""
_WITH_HAN = frozenset({"Jpan", "Kore"})
_WHOLE_OF = {part: whole for whole, parts in _WHOLES.items() for part in parts}

SEEN = tuple(code for code in NAMES if code not in _WHOLE_OF)
"""The scripts that a person tells apart, by their codes."""


def script_of(text: str) -> str:
    """The script of the first sign that has one, "" if none has."""
    for char in text:
        code: str = unicodedata.script(char)
        if code not in ("Zyyy", "Zinh", "Zzzz"):
            return code
    return ""


def script_name(code: str) -> str:
    """What a script is called; a code that nobody knows as it stands."""
    name: str = NAMES.get(code) or unicodedata.script_name(code, code)
    return name


def script_code(said: str) -> str:
    """The code of a script named by its code or in English; "" when it is not known here."""
    said = said.strip().casefold()
    for code, name in NAMES.items():
        if said in (code.casefold(), name.casefold()):
            return code
    return ""


def as_seen(codes: Collection[str]) -> frozenset[str]:
    """The scripts of a coin as a person names them: kana and Han together are Japanese."""
    seen = frozenset(_WHOLE_OF.get(code, code) for code in codes)
    return seen - {"Hani"} if seen & _WITH_HAN else seen


def named(said: str, seen: Collection[str]) -> frozenset[str]:
    """Which scripts of a coin (``as_seen``) are meant by the one that was said: itself, or Han
    signs by the name of a script that is written with them, or such a script by its Han signs."""
    said = _WHOLE_OF.get(said, said)
    also = _WITH_HAN if said == "Hani" else {"Hani"} if said in _WITH_HAN else set[str]()
    return frozenset(code for code in seen if code == said or code in also)
