"""What is computed and said of talks: spans, lines of opening pages, time.

What is computed: English sentences from plain values.

>>> with_years("marl", 1919, 1960), bought("1 marl", "4 loaves", 1925)
('Marl, 1919–1960', '1 marl bought 4 loaves in 1925')
>>> field_words(["faces", "reverse", "motifs"]), field_words(["diameter_mm"])
('motifs of the reverse', 'diameter')
>>> span(1510), span(40), over_or_under(1510, 25)
('25 min 10 s', '40 s', '10 s over 25 minutes')
"""

from __future__ import annotations

from collections.abc import Sequence

from series.text.words import years_text


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def with_years(name: str, first: int | None, last: int | None) -> str:
    span = years_text(first, last, short=False)
    return capital(f"{name}, {span}" if span else name)


def bought(amount: str, what: str, year: int) -> str:
    """What an amount of money bought in a year."""
    return f"{amount} bought {what} in {year}" if amount else capital(f"{what} in {year}")


def span(seconds: int) -> str:
    """A length of time: "25 min 10 s"."""
    minutes, rest = divmod(seconds, 60)
    if not minutes:
        return f"{rest} s"
    return f"{minutes} min {rest} s" if rest else f"{minutes} min"


def clock(seconds: int) -> str:
    """A length of time as a clock shows it: "25:10"."""
    return f"{seconds // 60}:{seconds % 60:02}"


def over_or_under(seconds: int, minutes: int) -> str:
    """How a talk of so many seconds stands to the minutes there are."""
    over = seconds - minutes * 60
    there = f"{minutes} minute" if minutes == 1 else f"{minutes} minutes"
    if over == 0:
        return f"just {there}"
    return f"{span(over)} over {there}" if over > 0 else f"{span(-over)} left of {there}"


_PARTS = {"faces", "body", "facts", "piece", "opening"}
_SIDES = {"obverse", "reverse", "edge"}
_UNITS = ("_mm", "_g")
_WORDS = {
    "run": "dates of the run",
    "shown": "date shown",
    "struck_from": "struck from",
    "value_as": "how the value is shown",
    "on_all": "on every issue",
    "denomination": "denomination",
    "whose": "whose mark it is",
}


def field_words(path: Sequence[str]) -> str:
    """A field of a record as its path names it: "motifs of the reverse"."""
    side = next((part for part in path if part in _SIDES), "")
    names = [part for part in path if part not in _PARTS | _SIDES and not part.isdigit()]
    said = ", ".join(dict.fromkeys(_field(name) for name in names)) or "all that is recorded"
    return f"{said} of the {side}" if side else said


def _field(name: str) -> str:
    for unit in _UNITS:
        name = name.removesuffix(unit)
    return _WORDS.get(name, name.replace("_", " "))
