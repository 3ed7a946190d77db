"""What a type is made of, as its page says it: words, density, fine metal.

What is computed: texts from the composition of a record (``series.metal.compositions``) and its
mass in grams, through ``series.metal.metals``, which names the sources. A composition that cannot
be read gives empty texts: a record may hold words. Density is in g/cm³ at 20 °C.

>>> composition = "ring: Cu75Ni25; centre: CuZn20Ni5"
>>> described(composition), looks(composition)
('copper-nickel ring, nickel brass centre', ('copper-nickel', 'pale gold'))
>>> density_text("Ag90Cu10"), density_text("bronze"), density_text("some alloy")
('10.32', '8.56 to 8.92', '')
>>> fine_text("silver 900", Decimal("25"))
'22.5 g silver, 0.7234 troy ounces'
>>> metal_words("ring and centre: copper-nickel, nickel brass")
'copper-nickel and nickel brass'
"""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from series.metal.compositions import build_of
from series.metal.metals import density, describe, fine_metal, tints
from series.text.english import listed
from series.text.words import plain

_PRECIOUS = {"Au": "gold", "Ag": "silver", "Pt": "platinum"}
_RING = "ring and centre: "


@lru_cache(maxsize=4096)
def looks(composition: str) -> tuple[str, ...]:
    """Which metal each visible part looks like, from the outside in; () if not known."""
    build = build_of(composition)
    return tints(build) if build else ()


@lru_cache(maxsize=4096)
def described(composition: str) -> str:
    """The build in plain words, or ""."""
    build = build_of(composition)
    return describe(build) if build else ""


@lru_cache(maxsize=4096)
def density_text(composition: str) -> str:
    """The density that follows from the composition, to two places, or ""."""
    build = build_of(composition)
    found = density(build) if build else None
    if found is None:
        return ""
    low, high = (f"{value:.2f}" for value in found)
    return low if low == high else f"{low} to {high}"


@lru_cache(maxsize=4096)
def fine_text(composition: str, mass_g: Decimal | None) -> str:
    """The precious metal in a piece of this mass, where its share is known; else ""."""
    build = build_of(composition)
    if build is None or not mass_g:
        return ""
    said = []
    for symbol, name in _PRECIOUS.items():
        found = fine_metal(build, symbol, mass_g)
        if found and found.least_g == found.most_g and found.least_g > 0:
            grams = plain(found.least_g.quantize(Decimal("0.001")))
            ounces = plain(found.least_ozt.quantize(Decimal("0.0001")))
            said.append(f"{grams} g {name}, {ounces} troy ounces")
    return "; ".join(said)


@lru_cache(maxsize=4096)
def metal_words(metal: str) -> str:
    """The short name of a metal as it stands beside a coin."""
    return listed(metal.removeprefix(_RING).split(", ")) if metal.startswith(_RING) else metal
