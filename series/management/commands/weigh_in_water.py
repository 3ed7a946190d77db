"""``manage.py weigh_in_water --air G --water G --temperature C --within G [--json]``."""

from __future__ import annotations

import json
import math
from decimal import Decimal, InvalidOperation
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from series.measuring.agreement import (
    Agreement,
    TooCoarse,
    agreement,
    agreement_words,
    too_coarse,
    too_coarse_words,
)
from series.measuring.weighing import (
    CAUTIONS,
    Conditions,
    Weighed,
    weigh_hanging,
    weigh_in_beaker,
    weighed_words,
)
from series.types.queries import compositions_in_records


class Command(BaseCommand):
    help = "Work out a piece's density from its mass in air and in water, and what agrees with it."

    def add_arguments(self, parser: CommandParser) -> None:
        add = parser.add_argument
        add("--air", required=True, metavar="G", help="reading in air, grams")
        way = parser.add_mutually_exclusive_group(required=True)
        way.add_argument("--water", metavar="G", help="reading as it hangs in water, grams")
        way.add_argument("--rise", metavar="G", help="rise as it hangs in a beaker on the scale")
        add("--temperature", required=True, metavar="C", help="of the water, °C")
        add("--within", required=True, metavar="G", help="how far a reading may be off, grams")
        add("--temperature-within", default="1", metavar="C", help="of the thermometer, °C (1)")
        add("--drift", default="0", metavar="G", help="how far the zero may have moved, grams (0)")
        add("--holder", metavar="G", help="what thread and holder alone make in water, grams")
        add("--json", action="store_true", help="print the result as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            weighed = _weigh(options)
        except ValueError as error:
            raise CommandError(str(error)) from error
        told = agreement(weighed.least, weighed.most, compositions_in_records())
        coarse = too_coarse(weighed, told)
        if options["json"]:
            self.stdout.write(json.dumps(_as_json(weighed, told, coarse), ensure_ascii=False))
            return
        self.stdout.write(weighed_words(weighed))
        self.stdout.write(agreement_words(told))
        for pair in coarse[:5]:
            self.stdout.write(too_coarse_words(pair))
        if len(coarse) > 5:
            self.stdout.write(f"So it is with {len(coarse) - 5} other pairs.")
        self.stdout.write(f"\n{CAUTIONS[0]}\n{CAUTIONS[1]}")


def _weigh(options: dict[str, Any]) -> Weighed:
    conditions = Conditions(
        within_g=_number(options, "within"),
        temperature=_number(options, "temperature"),
        temperature_within=_number(options, "temperature_within"),
        drift_g=_number(options, "drift"),
    )
    air = _number(options, "air")
    holder = None if options["holder"] is None else _number(options, "holder")
    if options["water"] is not None:
        return weigh_hanging(air, _number(options, "water"), conditions, holder_g=holder)
    return weigh_in_beaker(air, _number(options, "rise"), conditions, holder_g=holder)


def _number(options: dict[str, Any], name: str) -> Decimal:
    try:
        number = Decimal(str(options[name]).replace(",", "."))
    except InvalidOperation:
        number = Decimal("nan")
    if not number.is_finite():
        raise CommandError(
            f"--{name.replace('_', '-')} {options[name]} is not a number: write figures, 7.78."
        )
    return number


def _as_json(weighed: Weighed, told: Agreement, coarse: tuple[TooCoarse, ...]) -> dict[str, Any]:
    return {
        "density": weighed.density,
        "uncertainty": weighed.uncertainty,
        "least": weighed.least,
        "most": None if math.isinf(weighed.most) else weighed.most,
        "water_density": weighed.water_density,
        "agree": [each.composition for each in told.agree],
        "disagree": [each.composition for each in told.disagree],
        "unknown": list(told.unknown),
        "too_coarse": [
            {"lighter": pair.lighter, "denser": pair.denser, "needs_within": pair.within_g}
            for pair in coarse
        ],
        "caution": CAUTIONS[0],
    }
