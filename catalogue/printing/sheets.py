"""Draw sheets: one function a kind, for a page, a task and a command alike.

Each takes the owner, parameters (plain values that can be kept as JSON) and a function that is
told how much is done (so many of so many); it returns a PDF. What cannot be laid out raises
SheetProblem, a machine without Pango PrintingUnavailable.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.template.loader import render_to_string

from catalogue.holdings.held import HeldOnPage, held_of_types
from catalogue.models import Member
from catalogue.printing import ladder, words
from catalogue.printing.coins import coin_art, widest_mm
from catalogue.printing.drawing import draw
from catalogue.printing.geometry import PAPERS, Page, SheetProblem
from catalogue.printing.pdf import render_pdf
from catalogue.printing.pictures import Pictures
from catalogue.printing.queries import told_apart_by
from series.ladder.queries import Cell, Ladder, types_of
from series.ladder.queries import ladder as ladder_of
from series.models import CoinType, Currency, Issue, Issuer
from series.picture.drawing import supposed_mark
from series.text.words import years_text
from series.types.drawn import drawn
from series.types.in_words import size_and_metal, supposed_note

Progress = Callable[[int, int], None]
Parameters = Mapping[str, Any]
Draw = Callable[[Member, Parameters, Progress], bytes]


def silent(done: int, total: int) -> None:
    """For a sheet that nobody waits for."""


def pdf_of(
    pages: Sequence[Page],
    title: str,
    art: Mapping[str, str],
    *,
    images: Mapping[str, bytes] | None = None,
    tagged: bool = True,
) -> bytes:
    context = {"sheet": draw(pages, art), "title": title, "lang": words.LANGUAGE}
    html = render_to_string("print/sheet.html", context)
    return render_pdf(html, title=title, lang=words.LANGUAGE, images=images, tagged=tagged)


# ---- the ladder of a country ----
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
    laid: list[tuple[Page, ...]] = [()] * len(parts)
    for _pass in ("count", "number"):
        total, before = sum(map(len, laid)), 0
        for place, part in enumerate(parts):
            laid[place] = _lay_ladder(issuer, part, held, paper=paper, before=before, total=total)
            before += len(laid[place])
    pages = [page for some in laid for page in some]
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
    title = words.ladder_of(issuer.name)
    if money is not None:
        title = f"{title}, {money.name}"
    return pdf_of(pages, title, art, images=pictures.files)


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
