"""Which calendars a number may be in that does not name its calendar.

What is computed: the names of calendars to consider, the likelier first. The rule, from what
coins show (common practice, no source):

* the script of the numeral says which calendars are considered, and in which order;
* a calendar counts only if coins were dated in it in such a year (``on_coins`` in
  ``series.years.calendars``): a western 1953 is the civil year and nothing else, an
  Arabic-Indic 1389 is a Hijri or a solar Hijri year, no civil one;
* a civil year in western figures is not before 1400, in Roman numerals not before 1200, in
  other scripts not before 1750;
* if none of these fits, every calendar is considered; if still none, each in all its years.

Umm al-Qura is considered only where it is named: its years begin within a day or two of the
arithmetical Hijri years. So is the Julian year, but for western and Roman dates up to 1582.

>>> likely_calendars("persian")[:2], civil_from("thai")
(('solar-hijri', 'hijri'), 1750)
"""

from __future__ import annotations

from series.years.calendars import TABLE
from series.years.eras import ERAS

_EAST_ASIAN = ("civil", "dangi", "minguo", *ERAS)
_INDIAN = ("vikram", "saka", "civil")
_BY_SCRIPT: dict[str, tuple[str, ...]] = {
    "western": (
        "civil", "hijri", "solar-hijri", "shahanshahi", "buddhist", "dangi", "hebrew",
        "rattanakosin", "republican", "minguo", "showa", "heisei", "meiji", "taisho", "reiwa",
        "julian",
    ),
    "roman": ("civil", "julian", "republican"),
    "arabic": ("hijri", "solar-hijri", "civil"),
    "persian": ("solar-hijri", "hijri", "shahanshahi", "civil"),
    "bengali": ("civil", "saka", "vikram"),
    "thai": ("buddhist", "rattanakosin", "chula", "civil"),
    "lao": ("buddhist", "civil"),
    "khmer": ("buddhist", "civil", "chula"),
    "burmese": ("chula", "buddhist", "civil"),
    "hebrew": ("hebrew",),
    "ethiopic": ("ethiopian",),
    "chinese": _EAST_ASIAN,
}  # fmt: skip
_CIVIL_FROM = {"western": 1400, "roman": 1200}


def likely_calendars(script: str) -> tuple[str, ...]:
    """The calendars considered for a script, the likelier first; for others, the Indian ones."""
    return _BY_SCRIPT.get(script, _INDIAN)


def every_calendar(script: str) -> tuple[str, ...]:
    """The calendars considered if no likely one fits, all but those that must be named."""
    every = (*likely_calendars(script), *TABLE)
    return tuple(name for name in dict.fromkeys(every) if name not in ("umm-al-qura", "julian"))


def civil_from(script: str) -> int:
    """The first civil year that coins show in figures of a script."""
    return _CIVIL_FROM.get(script, 1750)
