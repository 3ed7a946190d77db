"""Join names that may say the same, so that nothing is said twice.

What is computed: one text from the names of a coin's country, money, series and the like. Of two
names of which one holds the whole of the other, word by word, the longer one stays, in its own
place; a part between commas that was said before is left out. Names are compared as
:func:`series.text.folding.fold` folds them; a name without a letter, such as a year, is only left
out where the very same was said. Rules of this project.

>>> joined("Halvern, Harbour Board", "Harbour Board")
'Halvern, Harbour Board'
>>> joined("Halvern", "Halvern, Harbour Board", "1894–1918")
'Halvern, Harbour Board, 1894–1918'
>>> joined("Halvern, Harbour Board", "Harbour Board, second coinage", by=" · ")
'Halvern, Harbour Board · second coinage'
>>> joined("Halvern", "First series"), joined("Halvern", "Halverness")
('Halvern, First series', 'Halvern, Halverness')
"""

from __future__ import annotations

from collections.abc import Sequence

from series.text.folding import fold


def joined(*names: str, by: str = ", ") -> str:
    """The names one after another, each said once; empty ones are left out."""
    return by.join(name for name in said_once(names) if name)


def said_once(names: Sequence[str]) -> list[str]:
    """The names in their places, "" where another one says the same already."""
    kept = list(names)
    for place, name in enumerate(names):
        if any(_says(other, name, later=k > place) for k, other in enumerate(names) if k != place):
            kept[place] = ""
    said: set[str] = set()
    for place, name in enumerate(kept):
        parts = [part for part in name.split(", ") if fold(part) not in said or not fold(part)]
        kept[place] = ", ".join(parts)
        said |= {fold(part) for part in parts}
    return kept


def _says(longer: str, name: str, later: bool) -> bool:
    """Whether ``longer`` holds the whole of a name; of two that are alike the first one stays."""
    words, within = fold(name), fold(longer)
    if words == within:
        return not later
    return any(map(str.isalpha, words)) and f" {words} " in f" {within} "
