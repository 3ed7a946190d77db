"""A measured figure against the standard of the record: what is seen, in words.

What is computed: by how much a mass (g), a diameter or a thickness (mm) differs from its
standard, in the unit and in hundredths of the standard, with how finely it was read; and, for
the mass of a new coin alone, whether it is within the remedy (the legal tolerance, such as
31 U.S.C. § 5113(a)). Nothing follows from it about grade: corrosion and dirt add mass, cleaning
and clipping take it. Decimal in and out.

>>> quarter = Compared("mass", Decimal("5.53"), Decimal("0.05"), Decimal("5.67"))
>>> difference_words(quarter)
'2.5 hundredths light (5.53 g, standard 5.67 g; read to ± 0.05 g)'
>>> difference_words(Compared("diameter", Decimal("23.8"), Decimal("0.1"), Decimal("24.2")))
'0.4 mm too small (23.8 mm, standard 24.2 mm; read to ± 0.1 mm)'
>>> within_remedy(quarter, Decimal("0.2"), new=False)
''
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from series.text.words import plain

NOT_A_GRADE = (
    "Mass says nothing certain about grade: corrosion and dirt can add to it, cleaning, "
    "clipping and wear take from it."
)

Quantity = Literal["mass", "diameter", "thickness"]
_UNITS = {"mass": "g", "diameter": "mm", "thickness": "mm"}
LESS_AND_MORE = {
    "mass": ("light", "heavy"),
    "diameter": ("small", "large"),
    "thickness": ("thin", "thick"),
}


@dataclass(frozen=True)
class Compared:
    """A measure, how far the reading may be off either way, and the standard, in g or mm.

    Raises ValueError where the measure or the standard is not above nothing, or ``within`` is
    below it.
    """

    quantity: Quantity
    measured: Decimal
    within: Decimal
    standard: Decimal

    def __post_init__(self) -> None:
        if not (self.measured > 0 and self.standard > 0 and self.within >= 0):
            unit = _UNITS[self.quantity]
            raise ValueError(
                f"The {self.quantity} and its standard are in {unit}, more than nothing, and how "
                f"finely it was read is not below nothing."
            )

    @property
    def difference(self) -> Decimal:
        """Measured less standard."""
        return self.measured - self.standard

    @property
    def hundredths(self) -> Decimal:
        """The difference in hundredths of the standard, below nothing where light or small."""
        return self.difference * 100 / self.standard

    @property
    def hundredths_within(self) -> Decimal:
        """How far ``hundredths`` may be off either way."""
        return self.within * 100 / self.standard

    @property
    def is_seen(self) -> bool:
        """Whether the difference is more than the reading may be off."""
        return abs(self.difference) > self.within


def difference_words(compared: Compared) -> str:
    """The difference in words: hundredths for a mass, millimetres for a length.

    >>> difference_words(Compared("mass", Decimal("5.7"), Decimal("0.05"), Decimal("5.67")))
    'mass agrees (5.7 g, standard 5.67 g; read to ± 0.05 g)'
    >>> difference_words(Compared("thickness", Decimal("1.9"), Decimal("0"), Decimal("1.75")))
    '0.15 mm too thick (1.9 mm, standard 1.75 mm)'
    """
    unit = _UNITS[compared.quantity]
    figures = f"{plain(compared.measured)} {unit}, standard {plain(compared.standard)} {unit}"
    if compared.within:
        figures += f"; read to ± {plain(compared.within)} {unit}"
    if not compared.is_seen:
        said = f"{compared.quantity} agrees"
    else:
        how = LESS_AND_MORE[compared.quantity][compared.difference > 0]
        if compared.quantity == "mass":
            said = f"{hundredths_text(compared)} {how}"
        else:
            said = f"{plain(abs(compared.difference))} {unit} too {how}"
    return f"{said} ({figures})"


def hundredths_text(compared: Compared) -> str:
    """So many hundredths, no finer than the reading allows: tenths at least.

    >>> hundredths_text(Compared("mass", Decimal("5.6695"), Decimal("0.0001"), Decimal("5.67")))
    '0.01 hundredths'
    """
    finer = compared.hundredths_within < Decimal("0.1")
    step = Decimal("0.01") if finer else Decimal("0.1")
    size = abs(compared.hundredths)
    return (
        f"{plain(size.quantize(step, ROUND_HALF_UP)) if size >= step else plain(step)} hundredths"
    )


Remedy = Literal["", "within", "outside", "cannot tell"]


def within_remedy(compared: Compared, remedy: Decimal | None, *, new: bool) -> Remedy:
    """Whether a new coin's mass is within the remedy (g, either way); "" where it is not asked.

    A remedy binds the mint, not a coin that has been about: for a piece that is not new, or
    where no remedy is recorded, nothing is said. "cannot tell" where the reading may be off far
    enough to fall on either side.

    >>> cent = Compared("mass", Decimal("3.2"), Decimal("0.05"), Decimal("3.11"))
    >>> within_remedy(cent, Decimal("0.13"), new=True)
    'cannot tell'
    """
    if not new or remedy is None or compared.quantity != "mass":
        return ""
    if remedy < 0:
        raise ValueError("A remedy is in grams, not below nothing.")
    off = abs(compared.difference)
    if off + compared.within <= remedy:
        return "within"
    return "outside" if off - compared.within > remedy else "cannot tell"


def remedy_words(compared: Compared, remedy: Decimal | None, *, new: bool) -> str:
    """The same in words, or "".

    >>> nickel = Compared("mass", Decimal("5.1"), Decimal("0.01"), Decimal("5"))
    >>> remedy_words(nickel, Decimal("0.194"), new=True)
    'within the remedy of 0.194 g'
    """
    found = within_remedy(compared, remedy, new=new)
    if not found:
        return ""
    said = {"within": "within", "outside": "outside"}.get(found, "too near to tell from")
    return f"{said} the remedy of {plain(remedy)} g"
