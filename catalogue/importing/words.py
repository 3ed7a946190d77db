"""Why a row was matched or was not, in sentences.

>>> no_date("Halvern", "1944"), several(2)
('The catalogue has this value of Halvern, but none dated 1944.', '2 types can be meant.')
"""

from __future__ import annotations

ONE_TYPE = "Country, value and date are those of one type alone."
LIKELIEST = "Of several types of this value and date one alone fits what else the row says."
CONTRADICTED = "The metal or a measure in this row is another than that of the type."
COMMEMORATIVE = "The row speaks of a commemorative coin, and the type is one for circulation."
OTHER_MONEY = "In that year the country had this value in its former money too."
NO_COUNTRY = "The row names no country."
NO_VALUE = "The row names no value that can be read."
NO_DATE = "The row names no date, so that it may be a coin which the catalogue does not have."
NO_CENTURY = "The row does not say of which century the date is."
TWO_COUNTRIES = "The row may belong to the country named above it or to that of its section."
NO_UNIT = "The row does not say of which unit the value is."


def unexplained(name: str) -> str:
    return f"The row says “{name}”, which nothing of the type does."


def taken_for(written: str, name: str) -> str:
    return f"“{written}” is taken for {name}, whose name is nearly that."


def several(count: int) -> str:
    return f"{count} types can be meant."


def no_country(name: str) -> str:
    return f"The catalogue has no coins of {name}."


def no_unit(name: str, unit: str) -> str:
    if not unit:
        return f"The catalogue has no coin of {name} of this value."
    return f"The catalogue has no coins of {name} in the unit {unit}."


def no_value(name: str) -> str:
    return f"The catalogue has no coin of {name} of this value."


def no_date(name: str, shown: str) -> str:
    return f"The catalogue has this value of {name}, but none dated {shown}."
