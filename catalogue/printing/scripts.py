"""Which scripts of a text no font on this machine can print.

The sheets' own fonts have Latin, Greek and Cyrillic letters. For others the PDF library takes
whatever font fontconfig knows; where there is none, empty boxes are printed. fontconfig is asked
by its command ``fc-list``; without it every script that the sheets' fonts lack counts as missing.

>>> unprintable(["HALVERN 1947", "ΛΕΠΤΑ"])
[]
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterable
from functools import lru_cache

from catalogue.printing.lettering import lacking
from series.text.scripts import script_name, script_of

ASKED = 4  # characters of one script, at most


def unprintable(texts: Iterable[str]) -> list[str]:
    """The names of scripts of which a letter would be printed as a box, in alphabetical order."""
    chars: dict[str, list[str]] = {}
    for char in sorted(lacking("".join(texts))):
        chars.setdefault(script_name(script_of(char)) or "symbols", []).append(char)
    return sorted(
        script
        for script, letters in chars.items()
        if not all(_has_font(letter) for letter in letters[:ASKED])
    )


@lru_cache(maxsize=4096)
def _has_font(char: str) -> bool:
    try:
        known = subprocess.run(  # noqa: S603
            ["fc-list", f":charset={ord(char):x}", "family"],  # noqa: S607
            capture_output=True,
            timeout=10,
            check=True,
        )
    except (OSError, subprocess.SubprocessError):
        return False
    return bool(known.stdout.strip())
