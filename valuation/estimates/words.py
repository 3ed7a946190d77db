"""Values and rates in sentences, for pages, sheets and exports alike."""

from __future__ import annotations

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from valuation.estimates.worth import Value, Worth
from valuation.exchange import EURO, Converted, Leg
from valuation.money import NO_BREAK, short, written


def day_in_words(day: date) -> str:
    """ "1 March 2026", held together."""
    return date_format(day, "j F Y").replace(" ", NO_BREAK)


def amount_in_words(value: Value) -> str:
    """The recorded amount in its own currency: "€ 14.50" or "between € 11 and 18"."""
    if value.low is None or value.high is None or value.low == value.high:
        return written(value.amount, value.currency)
    return _("between %(low)s and %(high)s") % {
        "low": written(value.low, value.currency).removesuffix(".00"),
        "high": short(value.high),
    }


def basis_in_words(value: Value) -> str:
    """Where it comes from: "Fair list, retail asking, at VF"; an appraisal names its appraiser."""
    parts = [value.source]
    if value.kind == "appraisal":
        appraised = _("appraised by %(name)s") % {"name": value.appraiser}
        parts = [appraised] if value.source == value.appraiser else [appraised, value.source]
    parts.append(value.basis)
    if value.kind in {"issue", "type"}:
        parts.append(_("at %(grade)s") % {"grade": value.grade} if value.grade else _("any grade"))
    return ", ".join(parts)


def value_in_words(value: Value) -> str:
    """ "between € 11 and 18, on 1 March 2026; Fair list, retail asking, at VF"."""
    return _("%(amount)s, on %(day)s; %(basis)s") % {
        "amount": amount_in_words(value),
        "day": day_in_words(value.on),
        "basis": basis_in_words(value),
    }


def rate_in_words(converted: Converted | None) -> str:
    """Every rate a conversion took, with its day and source; empty when it took none."""
    if converted is None or not converted.legs:
        return ""
    return "; ".join(_leg_in_words(leg) for leg in converted.legs)


def _leg_in_words(leg: Leg) -> str:
    text = _("1 %(one)s = %(units)s %(of)s on %(day)s, %(source)s")
    if leg.one != EURO or "Regulation" in leg.source:
        text = _("1 %(one)s = %(units)s %(of)s by law since %(day)s, %(source)s")
    return text % {
        "one": leg.one,
        "units": leg.units,
        "of": leg.of,
        "day": day_in_words(leg.on),
        "source": leg.source,
    }


def no_rate_in_words(worth: Worth) -> str:
    """Why an amount could not be converted; empty when it could."""
    return str(worth.no_rate or "")
