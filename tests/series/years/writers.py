"""Numbers written in the scripts of coins, for reading them back.

Written for the tests alone, from the rules of each script, and apart from the code that reads.
"""

from __future__ import annotations

ZEROS = {
    "western": "0", "arabic": "٠", "persian": "۰", "devanagari": "०", "bengali": "০",
    "thai": "๐", "burmese": "၀", "khmer": "០", "lao": "໐", "gujarati": "૦",
}  # fmt: skip


def by_place(number: int, zero: str) -> str:
    return "".join(chr(ord(zero) + int(sign)) for sign in str(number))


def roman(number: int, *, additive: bool = False) -> str:
    steps = [
        (1000, "M"), (900, "CM"), (500, "D"), (400, "CD"), (100, "C"), (90, "XC"), (50, "L"),
        (40, "XL"), (10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"),
    ]  # fmt: skip
    written = ""
    for value, letters in steps:
        if additive and len(letters) == 2:
            continue
        count, number = divmod(number, value)
        written += letters * count
    return written


_HEBREW = {
    400: "ת", 300: "ש", 200: "ר", 100: "ק", 90: "צ", 80: "פ", 70: "ע", 60: "ס", 50: "נ", 40: "מ",
    30: "ל", 20: "כ", 10: "י", 9: "ט", 8: "ח", 7: "ז", 6: "ו", 5: "ה", 4: "ד", 3: "ג", 2: "ב",
    1: "א",
}  # fmt: skip


def hebrew(year: int, *, thousands: bool, marks: bool) -> str:
    rest = year % 1000
    letters = ""
    for value, letter in _HEBREW.items():
        while rest >= value:
            if rest in (15, 16):
                letters, rest = letters + "ט" + _HEBREW[rest - 9], 0
                break
            letters, rest = letters + letter, rest - value
    if marks:
        letters = f"{letters[:-1]}״{letters[-1]}" if len(letters) > 1 else f"{letters}׳"
    if thousands:
        letters = f"{_HEBREW[year // 1000]}{'׳' if marks else ''}{letters}"
    return letters


_EVERYDAY = "〇一二三四五六七八九", "十百千"
_FINANCIAL = "零壹貳參肆伍陸柒捌玖", "拾佰仟"


def chinese_by_place(number: int) -> str:
    return "".join(_EVERYDAY[0][int(sign)] for sign in str(number))


def chinese(number: int, *, financial: bool = False, ones: bool = True) -> str:
    """With place words; ``ones`` writes the one before a hundred or a thousand."""
    figures, places = _FINANCIAL if financial else _EVERYDAY
    written, gap = "", False
    for power in (3, 2, 1, 0):
        figure = number // 10**power % 10
        if not figure:
            gap = gap or bool(written)
            continue
        written += figures[0] if gap and financial else ""
        gap = False
        leading_ten = power == 1 and not written
        if power == 0 or figure > 1 or (ones and not leading_ten):
            written += figures[figure]
        written += places[power - 1] if power else ""
    return written


def ethiopic(number: int) -> str:
    def below_hundred(part: int) -> str:
        tens, units = divmod(part, 10)
        return (chr(0x1371 + tens) if tens else "") + (chr(0x1368 + units) if units else "")

    hundreds, rest = divmod(number, 100)
    sign = "፻" if hundreds else ""
    return (below_hundred(hundreds) if hundreds > 1 else "") + sign + below_hundred(rest)
