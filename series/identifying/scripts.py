"""Scripts by their code and English name, as a person names the one on a coin.

What is computed: a code of ISO 15924 (four letters) from a code or an English name; the names are
the standard's, shortened.

>>> script_code("arabic"), script_code("Latn"), script_code("runes?")
('Arab', 'Latn', '')
"""

from __future__ import annotations

from collections.abc import Mapping

SCRIPTS: Mapping[str, str] = {
    "Latn": "Latin", "Arab": "Arabic", "Armn": "Armenian", "Beng": "Bengali", "Mymr": "Burmese",
    "Hani": "Chinese", "Copt": "Coptic", "Cyrl": "Cyrillic", "Deva": "Devanagari",
    "Ethi": "Ethiopic", "Geor": "Georgian", "Grek": "Greek", "Gujr": "Gujarati", "Hebr": "Hebrew",
    "Jpan": "Japanese", "Khmr": "Khmer", "Kore": "Korean", "Laoo": "Lao", "Mong": "Mongolian",
    "Sinh": "Sinhala", "Taml": "Tamil", "Telu": "Telugu", "Thai": "Thai", "Tibt": "Tibetan",
}  # fmt: skip


def script_code(said: str) -> str:
    """The code of a script named by its code or in English; "" when it is not known here."""
    said = said.strip().casefold()
    for code, name in SCRIPTS.items():
        if said in (code.casefold(), name.casefold()):
            return code
    return ""
