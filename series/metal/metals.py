"""What a composition implies: the metal's name, its colour, its density, its fine metal.

What is computed, from the one-line notation of ``series.metal.compositions``:

* names by rules over the shares by mass (common practice, no source; stated at ``_RULES``);
* colours of the surface as new (common practice, no source);
* density in g/cm³ at 20 °C, ρ = 1 ÷ Σ(wᵢ/ρᵢ), which assumes that volumes add; handbook
  densities of the elements are in ``series.metal.elements``; a range where proportions are unknown;
* fine metal in grams and troy ounces of 31.1034768 g (international yard and pound agreement,
  1959), a range likewise. It says what metal is in a piece, not what the piece is worth.

>>> from series.metal.compositions import parse_composition
>>> euro = parse_composition("ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5")
>>> describe(euro)
'copper-nickel ring, nickel-brass-clad nickel centre'
>>> metal_name(euro), colour(euro), tints(euro)
('ring and centre: copper-nickel, nickel brass', 'two-colour', ('copper-nickel', 'pale gold'))
>>> low, high = density(parse_composition("Ag90Cu10"))
>>> f"{low:.2f} {high:.2f}"
'10.32 10.32'
>>> fine_metal(parse_composition("gold 22 carat"), "Au", Decimal("33.931")).least_ozt
Decimal('0.999998')
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from series.metal.alloys import Alloy
from series.metal.compositions import Build, Share
from series.metal.elements import DENSITY, NAME

GRAMS_IN_TROY_OUNCE = Decimal("31.1034768")

Shares = Callable[[str], float]
"""The share of an element in percent."""

# Names of alloys whose shares are known, the first that applies; copper alloys only where
# copper is at least half. Common practice, no source.
_RULES: tuple[tuple[str, Callable[[Shares], bool]], ...] = (
    ("billon", lambda p: 5 <= p("Ag") < 25),
    ("copper", lambda p: p("Cu") >= 98.5),
    ("nickel silver", lambda p: _copper(p) and p("Ni") >= 10 and p("Zn") >= 5),
    ("copper-nickel", lambda p: _copper(p) and p("Ni") >= 5 > p("Zn") and p("Ni") > p("Al")),
    ("aluminium-bronze", lambda p: _copper(p) and p("Al") >= 3 and p("Al") >= p("Zn")),
    ("manganese brass", lambda p: _copper(p) and p("Zn") >= 5 and p("Mn") >= 1),
    ("nickel brass", lambda p: _copper(p) and p("Zn") >= 5 and p("Ni") >= 0.5),
    ("bronze", lambda p: _copper(p) and p("Sn") >= 0.5 and p("Zn") <= 5 and p("Pb") < 5),
    ("potin", lambda p: _copper(p) and p("Sn") >= 5 and p("Pb") >= 5),
    ("gilding metal", lambda p: _copper(p) and 3 <= p("Zn") <= 10),
    ("brass", lambda p: _copper(p) and p("Zn") > 5),
    ("nickel", lambda p: p("Ni") >= 95),
    ("aluminium", lambda p: p("Al") >= 90),
    ("zinc", lambda p: p("Zn") >= 93),
    # EN 10088: stainless steel has at least 10.5 % chromium.
    ("stainless steel", lambda p: p("Fe") >= 50 and p("Cr") >= 10.5),
    ("iron", lambda p: p("Fe") == 100),
    ("steel", lambda p: p("Fe") >= 90),
    ("tin", lambda p: p("Sn") >= 85),
    ("pewter", lambda p: p("Sn") >= 50),
    ("lead", lambda p: p("Pb") >= 85),
)

# The metal whose look a named metal has; what is not here looks like its main element.
_TINTS = {
    "copper": "copper", "bronze": "bronze", "gilding metal": "bronze", "potin": "bronze",
    "brass": "brass", "manganese brass": "brass", "nickel brass": "pale gold",
    "aluminium-bronze": "pale gold", "electrum": "pale gold", "copper-nickel": "copper-nickel",
    "nickel silver": "copper-nickel", "stainless steel": "steel", "pewter": "tin",
    "palladium": "platinum",
}  # fmt: skip
_COLOURS = {
    "copper": "copper-red", "bronze": "copper-red", "brass": "yellow", "pale gold": "yellow",
    "gold": "gold", "copper-nickel": "white", "nickel": "white", "silver": "white",
    "billon": "white", "aluminium": "white", "platinum": "white", "steel": "grey", "zinc": "grey",
    "iron": "grey", "tin": "grey", "lead": "grey",
}  # fmt: skip
_PLATING = Share(Fraction(1, 200), Fraction(1, 10))
"""What a plating of unstated share may weigh, of the whole; common practice, no source."""


def _copper(percent: Shares) -> bool:
    return percent("Cu") >= 50


# Names and looks.


def alloy_name(alloy: Alloy) -> str:
    """The short name of one metal: copper-nickel, silver 500, bronze; see ``_RULES``.

    Gold of at least 8 carat (333), silver of at least a quarter, platinum and palladium of at least
    half go by their fineness in whole thousandths; a mixture without a name by its two main
    elements.

    >>> from series.metal.alloys import parse_alloy
    >>> [alloy_name(parse_alloy(t)) for t in ("CuZn20Ni5", "gold 22 carat", "Ag50Cu50", "Zn60Cu40")]
    ['nickel brass', 'gold 917', 'silver 500', 'zinc-copper']
    """
    if alloy.name:
        return alloy.name
    least = {symbol: low for symbol, low, _ in alloy.shares}
    for symbol, limit in (("Au", "0.333"), ("Pt", "1/2"), ("Pd", "1/2"), ("Ag", "1/4")):
        part = least.get(symbol, Fraction(0))
        if part == 1:
            return NAME[symbol]
        if part >= Fraction(limit):
            return f"{NAME[symbol]} {int(part * 1000 + Fraction(1, 2))}"

    def percent(symbol: str) -> float:
        return float(least.get(symbol, 0) * 100)

    for name, applies in _RULES:
        if applies(percent):
            return name
    main = sorted(alloy.shares, key=lambda share: -share[1])[:2]
    return "-".join(NAME[symbol] for symbol, _, _ in main)


def _surface(material: Alloy | Build) -> Alloy:
    """The metal that is seen."""
    if isinstance(material, Alloy):
        return material
    outermost = material.parts[0 if material.kind in ("layered", "solid") else -1]
    return _surface(outermost.material)


def _joined(name: str) -> str:
    return name.replace(" ", "-")


def metal_name(material: Alloy | Build) -> str:
    """The short name by which pieces are sorted together; of ring and centre what is seen.

    >>> from series.metal.compositions import parse_composition
    >>> metal_name(parse_composition("core: steel; plating: Cu"))
    'copper-plated steel'
    """
    if isinstance(material, Alloy):
        return alloy_name(material)
    names = [metal_name(part.material) for part in material.parts]
    if material.kind == "layered":
        if len(names) == 3 and names[0] == names[2]:
            return f"{_joined(names[0])}-clad {names[1]}"
        return f"layers of {', '.join(names[:-1])} and {names[-1]}"
    if material.kind == "ring and centre":
        seen = (alloy_name(_surface(part.material)) for part in material.parts)
        return f"ring and centre: {', '.join(seen)}"
    if material.kind == "solid":
        return names[0]
    how = "clad" if material.kind == "clad" else "plated"
    return f"{_joined(names[-1])}-{how} {names[0]}"


def describe(build: Build) -> str:
    """The build in plain words.

    >>> from series.metal.compositions import parse_composition
    >>> describe(parse_composition("core: steel; plating: Ni; plating: Cu"))
    'steel plated with nickel, then copper'
    """
    if build.kind == "ring and centre":
        return ", ".join(f"{metal_name(part.material)} {part.role}" for part in build.parts)
    if build.kind == "plated" and len(build.parts) > 2:
        core, *platings = (metal_name(part.material) for part in build.parts)
        return f"{core} plated with {', then '.join(platings)}"
    return metal_name(build)


def _tint(alloy: Alloy) -> str:
    name = alloy_name(alloy)
    if name in _TINTS:
        return _TINTS[name]
    first = name.split(" ")[0]
    if first == "gold" and alloy.share("Au")[0] < Fraction(1, 2) and not alloy.name:
        return "pale gold"
    if first in _COLOURS or first in _TINTS:
        return _TINTS.get(first, first)
    main = max(alloy.shares, key=lambda share: share[1], default=("", 0, 0))[0]
    look = NAME.get(main, "")
    return look if look in _COLOURS else ""


def tints(build: Build) -> tuple[str, ...]:
    """Which metal each visible part looks like, from the outside in; "" if not known.

    One of copper, bronze, brass, gold, pale gold, copper-nickel, nickel, silver, billon, steel,
    aluminium, zinc, iron, tin, lead, platinum. One for a coin of one surface, else one a part.

    >>> from series.metal.compositions import parse_composition
    >>> tints(parse_composition("core: steel; plating: Cu70Zn30"))
    ('brass',)
    """
    if build.kind == "ring and centre":
        return tuple(_tint(_surface(part.material)) for part in build.parts)
    return (_tint(_surface(build)),)


def colour(build: Build) -> str:
    """copper-red, yellow, white, grey or gold as new; two-colour; "" if not known.

    >>> from series.metal.compositions import parse_composition
    >>> colour(parse_composition("Cu89Al5Zn5Sn1")), colour(parse_composition("zinc"))
    ('yellow', 'grey')
    """
    found = {_COLOURS.get(tint, "") for tint in tints(build)}
    if "" in found:
        return ""
    return found.pop() if len(found) == 1 else "two-colour"


# Density and fine metal: sums over shares that are known from a least to a most.

Weighted = tuple[Fraction, Fraction, Fraction]
"""Least share, most share, and what one of it brings to the sum."""


def _least(weighted: Iterable[Weighted]) -> Fraction:
    """The least Σ shareᵢ·valueᵢ over shares within their bounds that make one."""
    ordered = sorted(weighted, key=lambda each: each[2])
    total = sum((low * value for low, _, value in ordered), Fraction(0))
    free = 1 - sum((low for low, _, _ in ordered), Fraction(0))
    for low, high, value in ordered:
        taken = min(free, high - low)
        total, free = total + taken * value, free - taken
    return total


def _most(weighted: Iterable[Weighted]) -> Fraction:
    return -_least((low, high, -value) for low, high, value in weighted)


def sum_over(
    material: Alloy | Build, of_element: Callable[[Alloy, str], Fraction]
) -> tuple[Fraction, Fraction] | None:
    """Least and most Σ share·of_element(alloy, element) over a material's elements by mass.

    None if a material is not known. A plating of unstated share is taken to weigh 0.5 to 10
    percent of the whole.
    """
    if isinstance(material, Alloy):
        weighted = [
            (low, high, of_element(material, symbol)) for symbol, low, high in material.shares
        ]
        return (_least(weighted), _most(weighted)) if weighted else None
    lows: list[Weighted] = []
    highs: list[Weighted] = []
    core_is_stated = material.parts[0].share is not None
    for part in material.parts:
        inner = sum_over(part.material, of_element)
        if inner is None:
            return None
        thin = part.role == "plating" and not core_is_stated
        share = part.share or (_PLATING if thin else Share(Fraction(0), Fraction(1)))
        lows.append((share.least, share.most, inner[0]))
        highs.append((share.least, share.most, inner[1]))
    return _least(lows), _most(highs)


def density(build: Build) -> tuple[float, float] | None:
    """Least and most density in g/cm³; None where a material is not known.

    A plating of unstated share is taken to weigh 0.5 to 10 percent of the whole.

    >>> from series.metal.compositions import parse_composition
    >>> low, high = density(parse_composition("bronze"))
    >>> f"{low:.1f} to {high:.1f}"
    '8.6 to 8.9'
    """
    volumes = sum_over(build, lambda _, symbol: 1 / Fraction(str(DENSITY[symbol])))
    return (float(1 / volumes[1]), float(1 / volumes[0])) if volumes else None


@dataclass(frozen=True)
class FineMetal:
    """Least and most mass of one element, to a millionth of a gram and of a troy ounce."""

    least_g: Decimal
    most_g: Decimal
    least_ozt: Decimal
    most_ozt: Decimal


def fine_metal(build: Build, element: str, mass_g: Decimal) -> FineMetal | None:
    """How much of an element (by symbol) a piece of this mass holds; None if not known.

    Raises ValueError for a symbol that is not known or a mass that is not positive.

    >>> from series.metal.compositions import parse_composition
    >>> fine_metal(parse_composition("silver 900"), "Ag", Decimal("10")).least_g
    Decimal('9.000000')
    """
    if element not in NAME:
        raise ValueError(f"'{element}' is not the symbol of an element known here: write Ag or Au")
    if not mass_g > 0:
        raise ValueError("the mass is in grams, more than nothing")
    shares = sum_over(build, lambda _, symbol: Fraction(int(symbol == element)))
    if shares is None:
        return None
    grams = [share * Fraction(mass_g) for share in shares]
    ounces = [each / Fraction(GRAMS_IN_TROY_OUNCE) for each in grams]
    return FineMetal(*(_millionths(each) for each in (*grams, *ounces)))


def _millionths(number: Fraction) -> Decimal:
    """To six places, half up; the number is not negative."""
    return Decimal(int(number * 1_000_000 + Fraction(1, 2))).scaleb(-6)
