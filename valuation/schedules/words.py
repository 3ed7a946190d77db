"""What a schedule says, in English: its headings, its terms, and pieces by Object ID.

Computed: sentences from texts and figures. Another language is another such module.

>>> measured("mass", "g", "6.11", "0.01"), measured("mass", "g", "6.1", "")
('mass 6.11 g as measured, to ± 0.01 g', 'mass 6.1 g as measured')
>>> running("3", "1 March 2026")
'Schedule 3, values as of 1 March 2026'
"""

from __future__ import annotations

from collections.abc import Sequence

BROUGHT, CARRIED, TOTAL = "brought forward", "carried forward", "Total"
COLUMNS = ("No.", "Piece", "Pieces", "Each")
NO_PICTURE = "no photograph"
NO_PICTURE_OF_IT = "No photograph of this piece."
CLOSING_HEAD = "What this list says, and what it does not"
DESCRIBED_HEAD = "Descriptions of the pieces listed one by one"
DESCRIBED_LEAD = "By the fields of Object ID (International Council of Museums)."
FACTS = (
    "Number",
    "Owner",
    "Insurer",
    "Policy",
    "Values as of",
    "Currency",
    "Pieces",
    "Total",
)
MASS, DIAMETER, THICKNESS = "mass", "diameter", "thickness"
GRADE, VALUE = "Grade", "Value of one piece"
NOT_RECORDED = "not recorded"
UNIDENTIFIED = "unidentified"
_ESTIMATES = (
    "The values are estimates, or appraisals where an appraiser is named; each is what its source "
    "stated on its day. None is an offer, and what a piece would bring or cost may differ."
)
_POLICY = (
    "The words of the policy decide what is insured and at what value. If the sum insured is less "
    "than the value, many policies pay only that share of a loss (this is called average). Ask "
    "the insurer."
)
_SUMS = (
    "Each piece is converted and rounded to the cent, half up, then multiplied by the number of "
    "pieces; the total is the sum of the amounts shown."
)


def title(number: str) -> str:
    return f"Schedule {number}"


def lead(day: str) -> str:
    return f"A list of coins and their values, frozen on the day it was made ({day})."


def running(number: str, day: str) -> str:
    return f"{title(number)}, values as of {day}"


def closing(threshold: str, rate: str, rates: Sequence[str], digest: str) -> tuple[str, ...]:
    """The paragraphs that say what the list means; ``rates`` a line each."""
    return (
        _ESTIMATES,
        f"A piece worth {threshold} or more is listed by itself. Smaller ones are counted "
        f"together by country and series: at their known values, and at {rate} each where no "
        "value is known.",
        _POLICY,
        f"{_SUMS} Rates used:" if rates else _SUMS,
        *rates,
        f"SHA-256 of what this schedule says: {digest}",
    )


def signing(owner: str) -> tuple[str, str, str]:
    return "Place and date", f"Owner: {owner}", "For the insurer"


def smaller(threshold: str) -> str:
    return f"Pieces below {threshold} each, by country and series"


def valued(pieces: int, amount: str) -> str:
    return f"{pieces} with a known value, together {amount}"


def unvalued(pieces: int, rate: str, amount: str) -> str:
    return f"{pieces} without one, at the stated rate of {rate} each, together {amount}"


def grade(words: str) -> str:
    return f"grade {words}" if words else ""


def value(words: str) -> str:
    return f"value {words}"


def graded(grade: str, name: str, day: str) -> str:
    """A grade with who gave it, and on which day where that is known."""
    said = f"{grade}, graded by {name}"
    return f"{said}, {day}" if day else said


# ---- a piece by Object ID ----
def kind(purpose: str) -> str:
    """What a piece is: a coin, unless it was made for something else than to circulate."""
    return f"coin, {purpose}" if purpose else "coin"


def edge(words: str) -> str:
    return f"edge: {words}" if words else ""


def measured(name: str, unit: str, figure: str, within: str) -> str:
    """A measure of the piece itself; ``within`` is "" where it is not known how fine."""
    said = f"{name} {figure} {unit} as measured"
    return f"{said}, to ± {within} {unit}" if within else said


def specified(name: str, unit: str, figure: str) -> str:
    return f"{name} {figure} {unit} as specified for the type"


def alignment(hours: str) -> str:
    return f"alignment {hours} hours"


def near(what: str) -> str:
    return f"near {what}"


def variety(name: str) -> str:
    return f"variety: {name}"


def dated(shown: str, struck: str) -> str:
    return f"{shown} (struck {struck})"


def issued_by(name: str) -> str:
    return f"issued by {name}"


def struck_at(mint: str) -> str:
    return f"struck at {mint}"


def paper_kept(name: str) -> str:
    return f"paper kept: {name}"


def provenance(words: str) -> str:
    return f"provenance: {words}"


def of_the_same_type(numbers: str) -> str:
    return f"of the same type: {numbers}"
