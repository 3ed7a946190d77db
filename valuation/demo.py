"""Values for the demo: ten years of prices from three invented sources, and a schedule."""

from __future__ import annotations

import datetime
import random
from collections.abc import Callable
from decimal import Decimal

from django.utils import timezone

from catalogue import access
from catalogue.holdings.grades import rank
from catalogue.models import Holding, Member
from series.models import CoinType, Issue
from valuation.estimates.models import PriceSource, Valuation
from valuation.schedules.drawing import draw_schedule
from valuation.schedules.making import Terms, make_schedule
from valuation.schedules.models import Schedule

SEED = 1931
GRADES = (("F", Decimal("0.45")), ("VF", Decimal(1)), ("EF", Decimal("2.4")), ("UNC", Decimal(6)))
SCARCE = 25_000


def build(passwords: dict[str, str], say: Callable[[str], None]) -> None:
    """Price lists every second year, sale records of scarce dates, and three appraisals."""
    lot = random.Random(SEED)
    curator = Member.objects.get(username="jonas")
    owner = Member.objects.get(username="marit")
    prices = PriceSource.objects.create(name="Marrow price list", kind="list")
    sales = PriceSource.objects.create(name="Saltmouth coin evening, sale records", kind="sale")
    expert = PriceSource.objects.create(name="K. Holm, Carrow", kind="person", owner=owner)
    today = timezone.localdate()
    days = [datetime.date(year, 3, 1) for year in range(2015, today.year + 1, 2)]
    values = []
    for coin_type in CoinType.objects.filter(pack__key="halvern").select_related("denomination"):
        base = _base(lot, coin_type)
        for number, day in enumerate(days):
            rise = Decimal(100 + number * lot.randint(3, 9)) / 100
            for code, factor in GRADES:
                values.append(
                    _value(base * factor * rise, day, prices, curator, code, coin_type=coin_type)
                )
    for issue in Issue.objects.filter(mintage__lt=SCARCE, mintage__gt=0).select_related(
        "coin_type"
    ):
        base = _base(lot, issue.coin_type) * Decimal(SCARCE) / Decimal(max(issue.mintage or 1, 900))
        for day in days[-3:]:
            for code, factor in GRADES:
                values.append(
                    _value(base * factor, day, sales, curator, code, issue=issue, hammer=True)
                )
    dear = Holding.objects.filter(owner=owner, coin_type__metal__startswith="silver")
    for holding in dear.order_by("-coin_type__mass_g", "pk")[:3]:
        values.append(
            Valuation(
                holding=holding,
                single=Decimal(lot.randint(12, 46) * 5),
                currency="EUR",
                on=datetime.date(today.year - 1, 10, 4),
                basis=Valuation.Basis.RETAIL,
                source=expert,
                appraiser="K. Holm, Carrow",
                entered_by=owner,
            )
        )
    Valuation.objects.bulk_create(values)
    say(f"{len(values)} values from {PriceSource.objects.count()} sources entered.")


def _base(lot: random.Random, coin_type: CoinType) -> Decimal:
    """What the type is worth in VF, in euro: silver by its mass, the rest little."""
    low = Decimal(lot.randint(4, 30)) / 10
    if coin_type.metal.startswith("silver") and coin_type.mass_g:
        return low + coin_type.mass_g * Decimal("1.6")
    if coin_type.purpose != CoinType.Purpose.CIRCULATING:
        return low + 9
    return low if (coin_type.first_year or 0) < 1960 else low / 3


def _value(
    amount: Decimal,
    day: datetime.date,
    source: PriceSource,
    by: Member,
    code: str,
    *,
    coin_type: CoinType | None = None,
    issue: Issue | None = None,
    hammer: bool = False,
) -> Valuation:
    step = Decimal("0.05") if amount < 10 else Decimal("0.5")
    middle = (amount / step).to_integral_value() * step
    low, high = middle * Decimal("0.8"), middle * Decimal("1.3")
    cent = Decimal("0.01")
    return Valuation(
        coin_type=coin_type,
        issue=issue,
        grade=code,
        grade_rank=rank("british", code),
        low=max(low.quantize(cent), cent),
        high=max(high.quantize(cent), cent),
        currency="EUR",
        on=day,
        basis=Valuation.Basis.HAMMER if hammer else Valuation.Basis.RETAIL,
        source=source,
        entered_by=by,
    )


def schedule() -> bytes:
    """The schedule of the demo's first member, made once, as a PDF."""
    owner = Member.objects.get(username="marit")
    made = Schedule.objects.filter(owner=owner).first()
    if made is None:
        terms = Terms(
            insured="Marit Sund, 4 Mole Street, Saltmouth",
            insurer="Islands Mutual",
            policy="HM-2231",
            as_of=timezone.localdate(),
            currency="EUR",
            threshold=Decimal(15),
            bulk_rate=Decimal("0.50"),
        )
        held = access.own_in_hand(owner)
        made = make_schedule(owner, terms, held)
    return draw_schedule(made)
