"""The calendars and eras that coins are dated in, by one name each.

What is computed: for each calendar which years it has, in which of them coins may be met that
do not name their calendar, which civil years a year touches, and its first and last day.

Names are lower-case words. The abbreviations that records use (AH, SH, BE, AM, VS, SE, EE;
common practice, no source) and a few others are accepted as names too, and "japanese" stands for
all Japanese eras. Days come from ``series.years.new_years``. Where the new year moved with place
and time, no days are given, only the two civil years touched: Vikram Samvat (new year in March,
April, October or November: civil year = year - 57 or - 56), Chula Sakarat and the Burmese era
(in April: year + 638 or + 639), and eras with a lunar year. A Julian year is given from its
1 January; years that began on 1 March or 25 March touch the same two civil years.

The years "on coins" are this project's, from memory: they only decide what is considered for
a number that does not name its calendar.

>>> TABLE["hijri"].touches(1389), TABLE["buddhist"].touches(2483), TABLE["julian"].touches(1700)
((1969, 1970), (1940, 1940), (1700, 1701))
>>> resolve("AH"), resolve("Showa"), resolve("moon")
(('hijri',), ('showa',), ())
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from series.years import new_years
from series.years.eras import ERAS, JAPANESE, Era

Days = tuple[date, date]


@dataclass(frozen=True)
class Calendar:
    """A calendar or an era; ``short`` stands before or after its years, {} for the year.

    ``years``: the first and last year it has (None: it goes on). ``on_coins``: the years that
    are considered for a number that does not name its calendar.
    """

    name: str
    short: str
    about: str
    years: tuple[int, int | None]
    on_coins: tuple[int, int | None]
    touches: Callable[[int], tuple[int, int]]
    days: Callable[[int], Days | None]


def _of_days(days: Callable[[int], Days]) -> Callable[[int], tuple[int, int]]:
    def touches(year: int) -> tuple[int, int]:
        first, last = days(year)
        return first.year, last.year

    return touches


def _straddles(shift: int) -> Callable[[int], tuple[int, int]]:
    """A year that begins in civil year ``year + shift`` and ends in the next."""
    return lambda year: (year + shift, year + shift + 1)


def _is_civil(shift: int) -> tuple[Callable[[int], tuple[int, int]], Callable[[int], Days]]:
    """A year that is the civil year under another number."""
    return (
        lambda year: (year + shift, year + shift),
        lambda year: (date(year + shift, 1, 1), date(year + shift, 12, 31)),
    )


def _no_days(year: int) -> None:
    return None


def _republican(year: int) -> tuple[int, int]:
    return (1805, 1805) if year == 14 else (year + 1791, year + 1792)


_BY_DAYS = [
    Calendar("julian", "{} old style", "years of the Julian calendar", (300, None), (1000, 1582),
             _of_days(new_years.julian_days), new_years.julian_days),
    Calendar("hijri", "{} AH", "the Islamic lunar year, arithmetical", (1, None), (600, None),
             _of_days(new_years.hijri_days), new_years.hijri_days),
    Calendar("umm-al-qura", "{} AH", "the Islamic lunar year by the tables of Umm al-Qura",
             new_years.UMM_AL_QURA, new_years.UMM_AL_QURA,
             _of_days(new_years.umm_al_qura_days), new_years.umm_al_qura_days),
    Calendar("solar-hijri", "{} SH", "the solar year of Iran and Afghanistan", (1, None),
             (1298, None), _straddles(621), new_years.solar_hijri_days),
    Calendar("shahanshahi", "{} imperial", "the imperial year of Iran, 1976 to 1978",
             (2535, 2537), (2535, 2537), _straddles(-559),
             lambda year: new_years.solar_hijri_days(year - 1180)),
    Calendar("hebrew", "{} AM", "the Jewish year of the world", (3762, None), (5300, None),
             _of_days(new_years.hebrew_days), new_years.hebrew_days),
    Calendar("buddhist", "{} BE", "the Buddhist era as counted in Thailand", (544, None),
             (2300, None), _of_days(new_years.thai_days), new_years.thai_days),
    Calendar("rattanakosin", "{} RS", "the Rattanakosin era of Siam", (1, 131), (90, 131),
             _of_days(new_years.rattanakosin_days), new_years.rattanakosin_days),
    Calendar("chula", "{} CS", "Chula Sakarat, the Burmese era", (1, None), (1100, 1350),
             _straddles(638), _no_days),
    Calendar("vikram", "{} VS", "Vikram Samvat", (58, None), (1700, None), _straddles(-57),
             _no_days),
    Calendar("saka", "{} SE", "the Saka era of India and Nepal", (1, None), (1500, None),
             _straddles(78), new_years.saka_days),
    Calendar("ethiopian", "{} EE", "the Ethiopian year", (1, None), (1880, None),
             _of_days(new_years.ethiopian_days), new_years.ethiopian_days),
    Calendar("coptic", "{} of the Martyrs", "the Coptic year, era of the Martyrs", (1, None),
             (1, None), _of_days(new_years.coptic_days), new_years.coptic_days),
    Calendar("republican", "An {}", "the French Republican year", (1, 14), (2, 14), _republican,
             new_years.republican_days),
]  # fmt: skip
_BY_NUMBER = [
    Calendar("civil", "{}", "the civil (Gregorian) year", (1, None), (1400, None), *_is_civil(0)),
    Calendar("minguo", "Minguo {}", "the year of the Chinese Republic", (1, None), (1, None),
             *_is_civil(1911)),
    Calendar("dangi", "Dangi {}", "the Korean year from Dangun, official 1948 to 1961",
             (2334, None), (4281, 4294), *_is_civil(-2333)),
]  # fmt: skip


def _of_era(name: str, era: Era) -> Calendar:
    ended = f" to {era.end.year}" if era.end else " on"
    about = f"the {era.said} era of {era.land}, from {era.start.year}{ended}"
    years, on_coins = (1, era.last_year), (era.first_on_coins, era.last_year)
    return Calendar(name, f"{era.said} {{}}", about, years, on_coins, era.touches, era.days)


TABLE: dict[str, Calendar] = {
    calendar.name: calendar
    for calendar in (
        *_BY_NUMBER[:1],
        *_BY_DAYS,
        *_BY_NUMBER[1:],
        *(_of_era(name, era) for name, era in ERAS.items()),
    )
}

REGNAL = "regnal"
CALENDARS: Mapping[str, str] = MappingProxyType(
    {name: calendar.about for name, calendar in TABLE.items()}
    | {REGNAL: "the year of a reign, counted from an accession"}
)
"""The names of the calendars, each with a short description."""

_ALIASES: dict[str, tuple[str, ...]] = {
    "ah": ("hijri",), "h": ("hijri",), "islamic": ("hijri",), "muslim": ("hijri",),
    "ummalqura": ("umm-al-qura",), "umm al-qura": ("umm-al-qura",),
    "sh": ("solar-hijri",), "persian": ("solar-hijri",), "ms": ("shahanshahi",),
    "be": ("buddhist",), "thai": ("buddhist",), "rs": ("rattanakosin",),
    "cs": ("chula",), "burmese": ("chula",),
    "am": ("hebrew", "coptic"), "jewish": ("hebrew",),
    "vs": ("vikram",), "samvat": ("vikram",), "se": ("saka",), "indian": ("saka",),
    "ee": ("ethiopian",), "french": ("republican",),
    "ad": ("civil",), "ce": ("civil",), "gregorian": ("civil",), "western": ("civil",),
    "roc": ("minguo",), "korean": ("dangi",), "japanese": JAPANESE,
}  # fmt: skip


def resolve(name: str) -> tuple[str, ...]:
    """The calendars that a name or an abbreviation stands for; none if it is not known."""
    word = " ".join(name.lower().replace("_", "-").split())
    dashed = word.replace(" ", "-")
    if dashed in CALENDARS:
        return (dashed,)
    return _ALIASES.get(word.replace(".", ""), ())
