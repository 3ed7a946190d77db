"""Values and rates in sentences, for pages, sheets and exports alike.

Computed: English sentences from values. Another language is another such module.

>>> day_in_words(date(2026, 3, 1))
'1\\xa0March\\xa02026'
"""

from __future__ import annotations

from datetime import date

from series.dates import words as date_words
from valuation.estimates.worth import Value
from valuation.exchange import EURO, Converted, Leg
from valuation.money import NO_BREAK, short, written


def day_in_words(day: date) -> str:
    """ "1 March 2026", held together."""
    return date_words.day_in_words(day).replace(" ", NO_BREAK)


def amount_in_words(value: Value) -> str:
    """The recorded amount in its own currency: "€ 14.50" or "between € 11 and 18"."""
    if value.low is None or value.high is None or value.low == value.high:
        return written(value.amount, value.currency)
    low = written(value.low, value.currency).removesuffix(".00")
    return f"between {low} and {short(value.high)}"


def basis_in_words(value: Value) -> str:
    """Where it comes from: "Fair list, retail asking, at VF"; an appraisal names its appraiser."""
    parts = [value.source]
    if value.kind == "appraisal":
        appraised = f"appraised by {value.appraiser}"
        parts = [appraised] if value.source == value.appraiser else [appraised, value.source]
    parts.append(value.basis)
    if value.kind in {"issue", "type"}:
        parts.append(f"at {value.grade}" if value.grade else "any grade")
    return ", ".join(parts)


def value_in_words(value: Value) -> str:
    """ "between € 11 and 18, on 1 March 2026; Fair list, retail asking, at VF"."""
    return f"{amount_in_words(value)}, on {day_in_words(value.on)}; {basis_in_words(value)}"


def valued_in_words(value: Value) -> str:
    """ "valued at € 14.50; Own notes, retail asking"."""
    return f"valued at {amount_in_words(value)}; {basis_in_words(value)}"


def rate_in_words(converted: Converted | None) -> str:
    """Every rate a conversion took, with its day and source; empty when it took none."""
    if converted is None or not converted.legs:
        return ""
    return "; ".join(_leg_in_words(leg) for leg in converted.legs)


def _leg_in_words(leg: Leg) -> str:
    by_law = leg.one != EURO or "Regulation" in leg.source
    when = "by law since" if by_law else "on"
    return f"1 {leg.one} = {leg.units} {leg.of} {when} {day_in_words(leg.on)}, {leg.source}"
