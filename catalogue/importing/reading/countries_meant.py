"""Which country of the reference a row means.

Computed: from what a row says the country that is taken, and another that it may mean as well. What
the row's own words name outranks what is carried down from above; a name that is one slip away from
that of a country of the reference is taken for it.

>>> from catalogue.importing.reading.facts import IssuerFacts
>>> reference = Reference.of([IssuerFacts("halvern", "Halvern", "")], [], [], [], [])
>>> meant, _rival = countries_meant(Reading(1, values={"country": Country("Halvren")}), reference)
>>> meant.name, meant.misspelt
('Halvern', True)
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from catalogue.importing.reading.countries import named, near_codes
from catalogue.importing.reading.laid_out import Reference
from catalogue.importing.reading.lists import Country, Reading
from series.text.folding import fold


def countries_meant(reading: Reading, reference: Reference) -> tuple[Country, Country]:
    """The country that a row means, and another that it may mean as well."""
    country, rival = _said(reading, reference)
    return _as_spelt(country, reference), rival


def _as_spelt(country: Country, reference: Reference) -> Country:
    """A country that the catalogue alone has, of whose name the text is one slip away."""
    if (country.code and not country.misspelt) or country.currency or not country.text:
        return country
    like = reference.spelt_like(country.text)
    if country.misspelt:  # one that the whole world has: then no other may be near
        return country if like is None or like.code == country.code else Country(country.text)
    if like is None or country.name or near_codes(country.text):
        return country
    if reference.issuers_named(country):
        return country
    return replace(country, code=like.code, name=like.name, misspelt=True)


def _said(reading: Reading, reference: Reference) -> tuple[Country, Country]:
    """The country that a row means, and another that it may mean as well.

    What the row's own words name outranks what is carried down from above.
    """
    values = reading.values
    nobody = Country("")
    country: Country = values.get("country") or nobody
    if not country.text or "country" in reading.carried:
        within = _named_within(values, reference)
        if within.text:
            return within, nobody
    if not country.text and reference.issuers_named(named(str(values.get("series", "")))):
        return named(str(values["series"])), nobody
    return country, named(reading.rival) if reading.rival else nobody


def _named_within(values: Any, reference: Reference) -> Country:
    """The country of the reference that other words of a row name."""
    value = values.get("denomination")
    words = " ".join([*(value.words if value else ()), fold(str(values.get("title", "")))])
    meant = reference.issuer_within(words)
    return Country(meant.name, meant.code) if meant is not None else Country("")
