"""Make a club of 50,000 types and 100,000 holdings, for measuring.

Run ``EXERGUE_VAR=/some/folder python tests/bench/club.py``: it makes the database there (or the
one that DATABASE_URL names) and fills it, unless it holds types already. ``--share 0.1`` makes a
tenth of it. Countries, words and pieces are invented and drawn by lot from one seed, so that two
clubs are alike; a few countries, types, motifs and members have much more than the others.
"""

from __future__ import annotations

import argparse
import datetime
import os
import time
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import django
from lot import GRADE_SHARES, GRADES, METAL_SHARES, METALS, Lot, save
from tables import lay_tables

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
django.setup()

from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.db import connection, transaction  # noqa: E402
from django.db.models import Count  # noqa: E402

from catalogue.holdings.actions import search_text  # noqa: E402
from catalogue.holdings.changes import note_everything  # noqa: E402
from catalogue.holdings.grades import rank  # noqa: E402
from catalogue.models import Aim, Holding, HoldingProblem, Member, Photo, Place  # noqa: E402
from series.models import (  # noqa: E402
    CoinType,
    Currency,
    CurrencyUnit,
    Denomination,
    Face,
    FaceMotif,
    Issue,
    Issuer,
    Legend,
    Mark,
    Mint,
    Motif,
    Series,
)
from series.text.folding import fold  # noqa: E402
from series.tracked import unannounced  # noqa: E402
from series.types.derived import derive_types  # noqa: E402
from valuation.models import PriceSource, Valuation  # noqa: E402

TYPES, HOLDINGS, MEMBERS = 50_000, 100_000, 100
COUNTRIES, MINTS, MOTIFS = 60, 150, 600
FACE_VALUES = (1, 2, 5, 10, 20, 25, 50, 100)
DAY = datetime.date(2024, 1, 1)


def make(share: float = 1.0) -> None:
    """Fill the database; one transaction."""
    lot = Lot(1919)
    types = _catalogue(lot, int(TYPES * share))
    issues = _issues(lot, types)
    members = _members(lot)
    _holdings(lot, members, types, issues, int(HOLDINGS * share))
    _values(lot, types, members[0])
    _aims(members[0])
    note_everything()


def _catalogue(lot: Lot, count: int) -> list[CoinType]:
    countries = min(COUNTRIES, max(3, count // 10))
    issuers = save(Issuer, (Issuer(key=f"c{n}", name=lot.name()) for n in range(countries)))
    currencies = save(
        Currency,
        (Currency(key=f"u{n}", name=lot.name().lower()) for n in range(3 * countries)),
    )
    for at, currency in enumerate(currencies):
        currency.issuers.add(issuers[at % countries])
    save(CurrencyUnit, (CurrencyUnit(currency=c, name="unit", per_main="100") for c in currencies))
    denominations = save(
        Denomination,
        (
            Denomination(
                key=f"{currency.key}-{value}",
                currency=currency,
                name=f"{value} {currency.name}",
                value_numerator=value,
                value_denominator=100,
                sort_value=value / 100,
            )
            for currency in currencies
            for value in FACE_VALUES
        ),
    )
    starts = [lot.chance.randint(1850, 2010) for _ in range(10 * countries)]
    series = save(
        Series,
        (
            Series(
                key=f"s{n}",
                issuer=issuers[n % countries],
                currency=currencies[n % len(currencies)],
                name=lot.name(),
                first_year=start,
                last_year=start + 15,
            )
            for n, start in enumerate(starts)
        ),
    )
    by_currency: dict[int, list[Denomination]] = {}
    for denomination in denominations:
        by_currency.setdefault(denomination.currency_id, []).append(denomination)
    of_country = [series[n::countries] for n in range(countries)]
    types = save(CoinType, _types(lot, count, of_country, by_currency))
    _faces(lot, types)
    _marks(lot, types, issuers)
    return types


def _types(
    lot: Lot, count: int, of_country: list[list[Series]], by_currency: dict[int, Any]
) -> Iterator[CoinType]:
    for number in range(count):
        plan = lot.chance.choice(lot.early(of_country, 2))
        denomination = lot.chance.choice(by_currency[plan.currency_id])
        width = 16 + 3 * FACE_VALUES.index(denomination.value_numerator)
        yield CoinType(
            key=f"t{number}",
            series=plan,
            denomination=denomination,
            name=lot.words(1, 3),
            composition=lot.chance.choices(METALS, METAL_SHARES)[0],
            diameter_mm=Decimal(width * 10 + lot.chance.randint(-20, 20)) / 10,
            thickness_mm=Decimal("1.6"),
            mass_g=Decimal(lot.chance.randint(100, 2500)) / 100,
            note=lot.words(0, 12),
        )


def _faces(lot: Lot, types: list[CoinType]) -> None:
    shown = min(MOTIFS, len(types))
    motifs = save(Motif, (Motif(key=f"m{n}", name=lot.name().lower()) for n in range(shown)))
    through = Motif.broader.through
    save(
        through,
        (
            through(from_motif_id=motif.pk, to_motif_id=lot.chance.choice(motifs[: at // 3]).pk)
            for at, motif in enumerate(motifs)
            if at > 60
        ),
    )
    faces = save(
        Face,
        (
            Face(coin_type=each, side=side, description=lot.words(4, 12))
            for each in types
            for side in ("obverse", "reverse")
        ),
    )
    save(Legend, (Legend(face=face, text=lot.words(2, 5).upper()) for face in faces[::2]))
    save(
        FaceMotif,
        (
            FaceMotif(face=face, motif=motif)
            for face in faces
            for motif in {lot.early(motifs) for _ in range(lot.chance.choice((0, 1, 1, 2, 3)))}
        ),
    )


def _marks(lot: Lot, types: list[CoinType], issuers: list[Issuer]) -> None:
    mints = save(
        Mint,
        (
            Mint(key=f"mint{n}", name=lot.name(), issuer=issuers[n % len(issuers)])
            for n in range(MINTS)
        ),
    )
    save(
        Mark,
        (
            Mark(coin_type=each, kind="mint", text=mint.name[:2], side="reverse", mint=mint)
            for each in types
            if lot.chance.random() < 0.4
            for mint in {m.name[:2]: m for m in lot.chance.sample(mints, k=2)}.values()
        ),
    )


def _issues(lot: Lot, types: list[CoinType]) -> dict[int, list[Issue]]:
    """A run of dates for each type, each with one of its mint marks or none; by type."""
    issues = save(Issue, _runs(lot, types))
    by_type: dict[int, list[Issue]] = {}
    for issue in issues:
        by_type.setdefault(issue.coin_type_id, []).append(issue)
    through = Mark.issues.through
    links, carry = [], []
    for mark in Mark.objects.order_by("pk"):
        for issue in by_type[mark.coin_type_id]:
            if lot.chance.random() < 0.45:
                links.append(through(mark_id=mark.pk, issue_id=issue.pk))
                issue.mark_text = f"{issue.mark_text} {mark.text}".strip()
                carry.append(issue)
    save(through, links)
    _set_mark_texts(carry)
    derive_types()
    return by_type


def _runs(lot: Lot, types: list[CoinType]) -> Iterator[Issue]:
    for each in types:
        year = (each.series.first_year or 1900) + lot.chance.randint(0, 4)
        for position in range(min(14, 1 + int(lot.chance.expovariate(0.2)))):
            yield Issue(
                coin_type=each,
                key=str(year),
                shown=str(year),
                struck_from=year,
                struck_to=year,
                position=position,
                fact="struck" if lot.chance.random() < 0.93 else "not_struck",
                mintage=lot.chance.randint(10_000, 90_000_000),
            )
            year += lot.chance.choice((1, 1, 1, 2, 3))


def _set_mark_texts(issues: list[Issue]) -> None:
    with connection.cursor() as cursor:
        table = Issue._meta.db_table
        cursor.executemany(
            f"UPDATE {table} SET mark_text = %s WHERE id = %s",
            [(issue.mark_text, issue.pk) for issue in {i.pk: i for i in issues}.values()],
        )


def _members(lot: Lot) -> list[Member]:
    return save(
        Member,
        (
            Member(username=f"m{n}", name=lot.name(), role="curator" if n == 0 else "member")
            for n in range(MEMBERS)
        ),
    )


def _places(lot: Lot, members: list[Member]) -> dict[int, list[Place]]:
    """For each member three cabinets, and in each four drawers."""
    cabinets = save(
        Place,
        (
            Place(owner=member, name=f"Cabinet {n}", path=f"Cabinet {n}", kind="cabinet")
            for member in members
            for n in range(1, 4)
        ),
    )
    drawers = save(
        Place,
        (
            Place(
                owner=cabinet.owner,
                within=cabinet,
                name=f"Drawer {n}",
                path=f"{cabinet.path} › Drawer {n}",
                kind="drawer",
            )
            for cabinet in cabinets
            for n in range(1, 5)
        ),
    )
    places: dict[int, list[Place]] = {}
    for place in [*cabinets, *drawers]:
        places.setdefault(place.owner_id, []).append(place)
    return places


def _holdings(
    lot: Lot,
    members: list[Member],
    types: list[CoinType],
    issues: dict[int, list[Issue]],
    count: int,
) -> None:
    places = _places(lot, members)
    pieces = (_holding(lot, n, lot.early(members), places, types, issues) for n in range(count))
    held = save(Holding, pieces)
    kinds = HoldingProblem.Kind.values
    save(
        HoldingProblem,
        (
            HoldingProblem(holding=piece, kind=kind)
            for piece in held
            if lot.chance.random() < 0.18
            for kind in lot.chance.sample(kinds, k=lot.chance.choice((1, 1, 1, 2)))
        ),
    )
    save(
        Photo,
        (
            Photo(holding=piece, side=side, digest=f"{piece.pk:064x}", width=900, height=900)
            for piece in held
            if lot.chance.random() < 0.6
            for side in ("obverse", "reverse")
        ),
    )


def _holding(
    lot: Lot,
    number: int,
    owner: Member,
    places: dict[int, list[Place]],
    types: list[CoinType],
    issues: dict[int, list[Issue]],
) -> Holding:
    known = lot.chance.random() < 0.97
    coin_type = lot.early(types) if known else None
    dated = coin_type is not None and lot.chance.random() < 0.95
    grade = lot.chance.choices(GRADES, GRADE_SHARES)[0]
    piece = Holding(
        owner=owner,
        accession=f"{lot.chance.randint(1985, 2024)}.{number}",
        coin_type=coin_type,
        issue=lot.chance.choice(issues[coin_type.pk]) if coin_type and dated else None,
        title="" if known else lot.words(1, 3),
        quantity=lot.chance.choice((1, 1, 1, 1, 1, 1, 2, 12)),
        grade=grade,
        grade_rank=rank("british", grade) if grade else None,
        place=lot.chance.choice(places[owner.pk]) if lot.chance.random() < 0.8 else None,
        spare=lot.chance.random() < 0.15,
        status=lot.chance.choices(Holding.Status.values, (86, 3, 5, 3, 2, 1))[0],
        visibility=lot.chance.choices(Holding.Visibility.values, (15, 75, 10))[0],
        note=lot.words(3, 12) if lot.chance.random() < 0.4 else "",
        price=Decimal(lot.chance.randint(50, 20_000)) / 100,
        price_currency="EUR",
        acquired_on=DAY - datetime.timedelta(days=lot.chance.randint(0, 14_000)),
    )
    piece.search_text = search_text(piece)
    piece.own_text = fold(piece.place.path) if piece.place else ""
    return piece


def _values(lot: Lot, types: list[CoinType], by: Member) -> None:
    source = PriceSource.objects.create(name=lot.name(), kind="list")
    save(
        Valuation,
        (
            Valuation(
                coin_type=each,
                grade=grade,
                grade_rank=rank("british", grade),
                single=Decimal(lot.chance.randint(100, 30_000)) / 100,
                on=DAY,
                source=source,
                entered_by=by,
            )
            for each in types[::4]
            for grade in ("F", "EF")
        ),
    )


def _aims(member: Member) -> None:
    """An aim for each date of the country with the most of them."""
    most = (
        Issue.objects.order_by()
        .values("coin_type__series__issuer")
        .annotate(n=Count("pk"))
        .order_by("-n")[0]["coin_type__series__issuer"]
    )
    Aim.objects.create(owner=member, name="Every date", issuer_id=most, unit="date")


def ready(share: float = 1.0) -> float | None:
    """Make the database and the club in it; seconds taken, None when it was there already."""
    lay_tables(settings.VAR_DIR)
    call_command("migrate", verbosity=0)
    if CoinType.everything.exists():
        return None
    start = time.perf_counter()
    with transaction.atomic(), unannounced():
        make(share)
    if connection.vendor == "postgresql":  # which does it by itself after a while; SQLite never
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
    return time.perf_counter() - start


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--share", type=float, default=1.0, help="how much of the club to make")
    seconds = ready(parser.parse_args().share)
    if seconds is None:
        print("The database holds types already; it is left as it is.")
        return
    print(f"made in {seconds:.0f} s")
    for model in (CoinType, Issue, FaceMotif, Holding, HoldingProblem, Photo, Valuation):
        print(f"{model._default_manager.count():9,d} {model._meta.verbose_name_plural}")


if __name__ == "__main__":
    main()
