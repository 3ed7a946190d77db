"""A denomination followed across a change of money: by its name, and by its amount in law."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.db.models import Q

from series.issuers.models import Denomination, Issuer
from series.money.legal_kin import kinship, read_rate
from series.types.models import CoinType
from series.types.queries import (
    OldMoney,
    Step,
    in_order,
    standing_types,
    step,
    with_design,
)


@dataclass(frozen=True)
class OtherMoney:
    """A denomination of the money before or after, and what it is to the one it was asked for."""

    denomination: Denomination
    words: str
    is_later: bool


def in_other_money(denomination: Denomination) -> list[OtherMoney]:
    """Its like in the money before and after its own, by name or legal amount. One query."""
    currency = denomination.currency
    found = []
    for other in _denominations(
        Q(currency=currency.successor_id) | Q(currency__successor=currency)
    ):
        later = other.currency_id == currency.successor_id
        if words := _kinship_after(other, denomination) if later else _kinship(other, denomination):
            found.append(OtherMoney(other, words, later))
    return found


def _denominations(of: Q) -> Iterable[Denomination]:
    return (
        Denomination.objects.filter(of)
        .select_related("currency")
        .order_by("currency__first_year", "sort_value", "pk")
    )


def _kinship(old: Denomination, new: Denomination) -> str:
    rate = read_rate(old.currency.rate)
    return kinship(old.name, new.name, old.value, new.value, rate)


def _kinship_after(new: Denomination, old: Denomination) -> str:
    """What a coin of the money after is to one of the money before."""
    rate = read_rate(old.currency.rate)
    return kinship(new.name, old.name, new.value, old.value, 1 / rate if rate else None)


def with_old_money(steps: list[Step]) -> list[Step]:
    """The steps, each first coin of a new money with those of the old that stand for it.

    Of each denomination of the old money the circulating coin struck last, of the same country or
    of one that it followed. Ten queries, none where every coin follows another.
    """
    firsts = [each.coin_type for each in steps if each.since is None]
    if not firsts:
        return steps
    currencies = {t.denomination.currency_id for t in firsts}
    older: dict[int, list[Denomination]] = defaultdict(list)
    for denomination in _denominations(Q(currency__successor__in=currencies)):
        older[denomination.currency.successor_id or 0].append(denomination)
    wanted: dict[int, list[tuple[Denomination, str]]] = {}
    for first in firsts:
        new = first.denomination
        pairs = [(old, _kinship(old, new)) for old in older[new.currency_id]]
        wanted[first.pk] = [(old, words) for old, words in pairs if words]
    found = _older(firsts, wanted)
    return [replace(each, older=tuple(found.get(each.coin_type.pk, ()))) for each in steps]


def _older(
    firsts: list[CoinType], wanted: dict[int, list[tuple[Denomination, str]]]
) -> dict[int, list[OldMoney]]:
    denominations = {old.pk for pairs in wanted.values() for old, _ in pairs}
    lands = _lands({t.series.issuer_id for t in firsts})
    last: dict[tuple[int, int], int] = {}

    def ended(coin: CoinType) -> int:
        return coin.last_year or coin.first_year or coin.series.last_year or 0

    narrow = standing_types().filter(
        denomination__in=denominations, purpose=CoinType.Purpose.CIRCULATING
    )
    for coin in sorted(in_order(narrow), key=ended):
        last[coin.denomination_id, coin.series.issuer_id] = coin.pk
    types = {t.pk: t for t in with_design(standing_types()).filter(pk__in=last.values())}
    found: dict[int, list[OldMoney]] = {}
    for first in firsts:
        found[first.pk] = []
        for old, words in wanted[first.pk]:
            ours = [last.get((old.pk, land)) for land in lands[first.series.issuer_id]]
            since = next((types[pk] for pk in ours if pk), None)
            if since is not None:
                found[first.pk].append(OldMoney(step(first, since), words))
    return found


def _lands(issuers: set[int]) -> dict[int, list[int]]:
    """Each country, and those it followed."""
    followed = Issuer.predecessors.through.objects.filter(from_issuer__in=issuers)
    found = {pk: [pk] for pk in issuers}
    for new, old in followed.values_list("from_issuer", "to_issuer"):
        found[new].append(old)
    return found
