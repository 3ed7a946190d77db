"""The elements that coins are made of: symbol, English name, density.

Densities in g/cm³ at 20 °C, handbook values (from memory; compared with the package
periodictable in tests/outside/test_metals.py). Carbon is graphite, tin is white tin.

>>> DENSITY["Cu"], NAME["Ni"]
(8.96, 'nickel')
"""

from __future__ import annotations

_ELEMENTS: tuple[tuple[str, str, float], ...] = (
    ("Ag", "silver", 10.50),
    ("Al", "aluminium", 2.70),
    ("As", "arsenic", 5.73),
    ("Au", "gold", 19.3),
    ("Be", "beryllium", 1.85),
    ("Bi", "bismuth", 9.79),
    ("C", "carbon", 2.2),
    ("Cd", "cadmium", 8.65),
    ("Co", "cobalt", 8.90),
    ("Cr", "chromium", 7.19),
    ("Cu", "copper", 8.96),
    ("Fe", "iron", 7.87),
    ("Hf", "hafnium", 13.3),
    ("In", "indium", 7.31),
    ("Ir", "iridium", 22.5),
    ("Mg", "magnesium", 1.74),
    ("Mn", "manganese", 7.43),
    ("Mo", "molybdenum", 10.2),
    ("Nb", "niobium", 8.57),
    ("Ni", "nickel", 8.90),
    ("Os", "osmium", 22.6),
    ("P", "phosphorus", 1.82),
    ("Pb", "lead", 11.35),
    ("Pd", "palladium", 12.0),
    ("Pt", "platinum", 21.45),
    ("Re", "rhenium", 21.0),
    ("Rh", "rhodium", 12.4),
    ("Ru", "ruthenium", 12.4),
    ("S", "sulphur", 2.07),
    ("Sb", "antimony", 6.69),
    ("Si", "silicon", 2.33),
    ("Sn", "tin", 7.31),
    ("Ta", "tantalum", 16.6),
    ("Te", "tellurium", 6.24),
    ("Ti", "titanium", 4.51),
    ("V", "vanadium", 6.11),
    ("W", "tungsten", 19.3),
    ("Zn", "zinc", 7.13),
    ("Zr", "zirconium", 6.51),
)

NAME: dict[str, str] = {symbol: name for symbol, name, _ in _ELEMENTS}
DENSITY: dict[str, float] = {symbol: density for symbol, _, density in _ELEMENTS}
SYMBOL: dict[str, str] = {name: symbol for symbol, name, _ in _ELEMENTS}
