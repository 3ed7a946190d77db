"""Eras of East Asia that count years from the accession of a ruler or the birth of a state.

What is computed: which civil years a year of an era touches, and its first and last day where
the era counts solar years. From 1873 in Japan (and in the republics from their start) a year of
an era is the civil year, cut off at the era's first and last day. Before, a year is lunar: it
begins between 21 January and 20 February, so that year n touches two civil years.

The dates of the modern Japanese eras are common practice, no source: Meiji counts from
25 January 1868 by a decree of October that year, Taisho from 30 July 1912, Showa from
25 December 1926, Heisei from 8 January 1989, Reiwa from 1 May 2019. All others are from memory.

>>> ERAS["showa"].touches(64), ERAS["meiji"].touches(3), ERAS["meiji"].touches(45)
((1989, 1989), (1870, 1871), (1912, 1912))
>>> [day.isoformat() for day in ERAS["taisho"].days(1)]
['1912-07-30', '1912-12-31']
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Era:
    """``year_one`` is the civil year that the year 1 is named after; ``end`` is its last day.

    ``lunar_until`` is the last civil year whose lunar year was counted; 0 if none was.
    """

    said: str
    land: str
    signs: tuple[str, ...]
    year_one: int
    last_year: int | None
    start: date
    end: date | None = None
    lunar_until: int = 0
    first_on_coins: int = 1

    def touches(self, number: int) -> tuple[int, int]:
        """The civil years that year ``number`` touches, the first and the last."""
        year = self.year_one + number - 1
        last = year + 1 if year <= self.lunar_until and not self._turned_solar(year) else year
        if self.end:
            last = min(last, self.end.year)
        return max(year, self.start.year), last

    def days(self, number: int) -> tuple[date, date] | None:
        """The first and last day; None for a lunar year."""
        year = self.year_one + number - 1
        if year <= self.lunar_until:
            return None
        return max(date(year, 1, 1), self.start), min(date(year, 12, 31), self.end or date.max)

    def _turned_solar(self, year: int) -> bool:
        """The last lunar year of Japan was cut short at the end of 1872; of Korea, of 1895."""
        return (self.land, year) in (("Japan", 1872), ("Korea", 1895))


def _japan(said: str, signs: str, one: int, last: int | None, start: date, end: date | None) -> Era:
    return Era(said, "Japan", tuple(signs.split()), one, last, start, end, 1872)


ERAS: dict[str, Era] = {
    "showa": _japan("Showa", "昭和", 1926, 64, date(1926, 12, 25), date(1989, 1, 7)),
    "heisei": _japan("Heisei", "平成", 1989, 31, date(1989, 1, 8), date(2019, 4, 30)),
    "meiji": _japan("Meiji", "明治", 1868, 45, date(1868, 1, 25), date(1912, 7, 29)),
    "taisho": _japan("Taisho", "大正", 1912, 15, date(1912, 7, 30), date(1926, 12, 24)),
    "reiwa": _japan("Reiwa", "令和", 2019, None, date(2019, 5, 1), None),
    "keio": _japan("Keio", "慶応 慶應", 1865, 4, date(1865, 5, 1), date(1868, 10, 22)),
    "genji": _japan("Genji", "元治", 1864, 2, date(1864, 3, 27), date(1865, 4, 30)),
    "bunkyu": _japan("Bunkyu", "文久", 1861, 4, date(1861, 3, 29), date(1864, 3, 26)),
    "manen": _japan("Man'en", "万延 萬延", 1860, 2, date(1860, 4, 8), date(1861, 3, 28)),
    "ansei": _japan("Ansei", "安政", 1854, 7, date(1855, 1, 15), date(1860, 4, 7)),
    "kaei": _japan("Kaei", "嘉永", 1848, 7, date(1848, 4, 1), date(1855, 1, 14)),
    "koka": _japan("Koka", "弘化", 1844, 5, date(1845, 1, 9), date(1848, 3, 31)),
    "tenpo": _japan("Tenpo", "天保", 1830, 15, date(1831, 1, 23), date(1845, 1, 8)),
    "guangxu": Era("Guangxu", "China", ("光緒", "光绪"), 1875, 34, date(1875, 2, 6),
                   date(1909, 1, 21), 1908),
    "xuantong": Era("Xuantong", "China", ("宣統", "宣统"), 1909, 3, date(1909, 1, 22),
                    date(1912, 2, 12), 1911),
    "datong": Era("Datong", "Manchuria", ("大同",), 1932, 3, date(1932, 3, 1), date(1934, 2, 28)),
    "kangde": Era("Kangde", "Manchuria", ("康德",), 1934, 12, date(1934, 3, 1), date(1945, 8, 17)),
    "gaeguk": Era("Gaeguk", "Korea", ("開國", "開国"), 1392, 504, date(1392, 8, 5),
                  date(1895, 12, 31), 1895, 497),
    "geonyang": Era("Geonyang", "Korea", ("建陽", "建阳"), 1896, 2, date(1896, 1, 1),
                    date(1897, 8, 13)),
    "gwangmu": Era("Gwangmu", "Korea", ("光武",), 1897, 11, date(1897, 8, 14), date(1907, 8, 1)),
    "yunghui": Era("Yunghui", "Korea", ("隆熙",), 1907, 4, date(1907, 8, 2), date(1910, 8, 29)),
}  # fmt: skip

JAPANESE = tuple(name for name, era in ERAS.items() if era.land == "Japan")
