"""The ladder of a country: read from records, laid out and drawn."""

from __future__ import annotations

from typing import Any

from django.shortcuts import get_object_or_404

from catalogue.holdings.held import HeldOnPage, held_of_types
from catalogue.models import Member
from catalogue.printing import ladder, words
from catalogue.printing.coins import coin_art, widest_mm
from catalogue.printing.geometry import PAPERS, Page, SheetProblem
from catalogue.printing.pictures import Pictures
from catalogue.printing.queries import told_apart_by
from catalogue.printing.responses import Order, SheetPage
from catalogue.printing.sheets import Parameters, Progress, in_parts, pdf_of, silent
from series.ladder.queries import Cell, Ladder, types_of
from series.ladder.queries import ladder as ladder_of
from series.models import CoinType, Currency, Issue, Issuer
from series.picture.drawing import supposed_mark
from series.text.words import years_text
from series.types.drawn import drawn
from series.types.in_words import size_and_metal, supposed_note
from series.types.queries import standing_types

TYPES_AT_ONCE = 120


def draw_ladder(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """The ladder of the country with the key ``country`` on ``paper``, one part a currency.

    ``currency``, a key, leaves out all others.
    """
    issuer = Issuer.objects.get(key=parameters["country"])
    money = Currency.objects.filter(key=parameters.get("currency", "")).first()
    parts = [part for part in ladder_of(issuer, currency=money) if part.series and part.rows]
    if not parts:
        raise SheetProblem(words.no_ladder(issuer.name))
    types = {f"type-{t.pk}": t for p in parts for row in p.rows for c in row.cells for t in c.types}
    held = held_of_types(owner, types.values())
    paper = PAPERS[parameters.get("paper", "A4")].turned()

    def lay(part: Ladder, before: int, total: int) -> tuple[Page, ...]:
        return _lay_ladder(issuer, part, held, paper=paper, before=before, total=total)

    pages = in_parts(parts, lay)
    pictures = Pictures()
    art = {}
    for circle in (circle for page in pages for circle in page.circles):
        coin_type = types[circle.key]
        shape = drawn(coin_type)
        scale = 2 * circle.r / widest_mm(shape)
        markup = coin_art(shape, scale, pictures.of_type(coin_type), circle.key)
        lacking = held.types and coin_type.pk not in held.types
        faint = f'<g opacity="0.45">{markup}</g>' if lacking else markup
        art[circle.key] = faint + supposed_mark(shape, scale)
        progress(len(art), len(types))
    return pdf_of(pages, _title(issuer, money), art, images=pictures.files)


def _title(issuer: Issuer, money: Currency | None) -> str:
    title = words.ladder_of(issuer.name)
    return f"{title}, {money.name}" if money is not None else title


def _lay_ladder(issuer: Issuer, part: Ladder, held: HeldOnPage, **how: Any) -> tuple[Page, ...]:
    bought = part.bought or part.worth
    said = bought.cells if bought is not None else [[] for _series in part.series]
    columns = [
        ladder.Column(
            series.name,
            years_text(series.first_year, series.last_year, short=False),
            "; ".join(texts),
        )
        for series, texts in zip(part.series, said, strict=True)
    ]
    rungs = [
        ladder.Rung(
            row.denomination.name,
            tuple(tuple(_piece(t, held) for t in cell.types) for cell in row.cells),
            tuple(_absent(cell) for cell in row.cells),
        )
        for row in part.rows
    ]
    span = years_text(part.currency.first_year, part.currency.last_year, short=False)
    money = part.currency.name[:1].upper() + part.currency.name[1:]
    note = words.HELD_AND_FAINT if held.types else ""
    size_note = supposed_note(types_of([part]))
    return ladder.lay_ladder(
        issuer.name, columns, rungs,
        subtitle=" · ".join(text for text in (money, span, note, size_note) if text),
        bought_heading=_bought_heading(part),
        **how,
    )  # fmt: skip


def _bought_heading(part: Ladder) -> str:
    if part.bought is not None:
        return words.bought(part.bought.amount)
    if part.worth is not None:
        return words.in_money_of(part.currency.name, part.worth.amount)
    return ""


def _piece(coin_type: CoinType, held: HeldOnPage) -> ladder.Piece:
    dates = tuple(
        issue.pk in held.issues
        for issue in coin_type.issues.all()
        if issue.fact == Issue.Fact.STRUCK and issue.purpose == Issue.Purpose.CIRCULATION
    )
    return ladder.Piece(
        f"type-{coin_type.pk}",
        widest_mm(drawn(coin_type)),
        "\n".join(filter(None, (size_and_metal(coin_type), told_apart_by(coin_type)))),
        dates,
        held=coin_type.pk in held.types,
    )


def _absent(cell: Cell) -> str:
    said = words.NOT_STRUCK if cell.fact == "not_struck" else words.NOT_RECORDED
    note = cell.rung.note if cell.rung is not None else ""
    return f"{said}: {note}" if note else said


class LadderPage(SheetPage):
    """The ladder of the country whose key the address names, or of one ``?currency=`` of it."""

    kind = "ladder"
    name = "ladder-sheet"
    route = "sheets/ladder/<slug:key>/"
    draw = staticmethod(draw_ladder)

    def order(self, form: None) -> Order:
        issuer = get_object_or_404(Issuer, key=self.kwargs["key"])
        types = standing_types().filter(series__issuer=issuer)
        parameters = {"country": issuer.key, "paper": self.owner.paper}
        asked = self.request.GET.get("currency")
        money = get_object_or_404(Currency, key=asked) if asked else None
        if money is not None:
            types = types.filter(series__currency=money)
            parameters["currency"] = money.key
        return Order(_title(issuer, money), parameters, types.count(), TYPES_AT_ONCE)
