"""Draw sheets: one function a kind, for a page, a task and a command alike.

Each takes the owner, parameters (plain values that can be kept as JSON) and a function that is
told how much is done (so many of so many); it returns a PDF. What cannot be laid out raises
SheetProblem, a machine without Pango PrintingUnavailable.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.held import HeldOnPage, held_of_types
from catalogue.models import Member, WantList
from catalogue.printing import album, ladder
from catalogue.printing.codes import qr_markup
from catalogue.printing.coins import coin_art, widest_mm
from catalogue.printing.contents import label_of
from catalogue.printing.drawing import draw
from catalogue.printing.furniture import Words
from catalogue.printing.geometry import PAPERS, Page, SheetProblem, gettext_noop
from catalogue.printing.labels import lay_labels, trial_page
from catalogue.printing.pdf import render_pdf
from catalogue.printing.pictures import Pictures, names_of_pieces
from catalogue.printing.queries import (
    AlbumOf,
    PartOf,
    PocketOf,
    address_of,
    album_of,
    facts_of,
    for_labels,
    told_apart_by,
)
from catalogue.printing.selection import chosen_holdings
from catalogue.printing.stock import Stock
from catalogue.wants.lists import grouped, lines_of_list
from series.drawing import Drawn, supposed_mark
from series.ladder.queries import Cell, Ladder, types_of
from series.ladder.queries import ladder as ladder_of
from series.models import CoinType, Currency, Issue, Issuer
from series.templatetags.coins import size_and_metal, supposed_note
from series.types.drawn import drawn
from series.words import years_text

Progress = Callable[[int, int], None]
Parameters = Mapping[str, Any]
Draw = Callable[[Member, Parameters, Progress], bytes]


def silent(done: int, total: int) -> None:
    """For a sheet that nobody waits for."""


def words() -> Words:
    """The words a layout writes by itself, in the reader's language."""
    return Words(
        page=_("page %(number)s of %(total)s"),
        rule=_("50 mm: if your ruler reads otherwise, print again at 100 %%") % {},
        continued=_("continued"),
        not_struck=_("not struck"),
        true_size=_("drawn to true size"),
        reduced=_("drawn at %(scale)s"),
        trial=_(
            "Trial sheet: hold it with a sheet of labels against the light; every outline should "
            "lie on the edge of a label."
        ),
    )


def problem_in_words(problem: SheetProblem) -> str:
    """What is wrong with a sheet, in the reader's language."""
    return str(_(problem.message) % problem.values)


def _pdf(
    pages: Sequence[Page],
    title: str,
    art: Mapping[str, str],
    *,
    images: Mapping[str, bytes] | None = None,
    tagged: bool = True,
) -> bytes:
    lang = get_language() or "en-GB"
    context = {"sheet": draw(pages, art), "title": title, "lang": lang}
    html = render_to_string("print/sheet.html", context)
    return render_pdf(html, title=title, lang=lang, images=images, tagged=tagged)


# ---- labels ----
def draw_labels(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """Labels or tickets for the owner's pieces.

    ``query`` and ``order`` say which pieces, ``stock`` the measures (the fields of Stock),
    ``first`` the first free label, ``lines`` the content, ``code`` whether with a QR code.
    """
    holdings = list(
        for_labels(chosen_holdings(owner, parameters["query"], parameters.get("order", "coin")))
    )
    if not holdings:
        raise SheetProblem(
            gettext_noop("None of your pieces is chosen, so there is nothing to print."), {}
        )
    coded = bool(parameters.get("code"))
    labels = [
        label_of(facts_of(piece), parameters["lines"], address_of(piece) if coded else "")
        for piece in holdings
    ]
    pages = lay_labels(
        labels, Stock(**parameters["stock"]), int(parameters.get("first", 1)), words()
    )
    codes = {label.key: label.code for label in labels if label.code}
    art = {
        box.key: qr_markup(codes[box.key], box.width)
        for page in pages
        for box in page.boxes
        if box.look == "code"
    }
    progress(len(labels), len(labels))
    return _pdf(pages, _("Labels"), art, tagged=False)


def draw_trial(stock: Stock) -> bytes:
    """The outlines of a stock's labels, to hold against the light."""
    return _pdf([trial_page(stock, words())], _("Trial sheet"), {}, tagged=False)


# ---- album pages ----
def draw_album(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """Album pages true to scale; see ``album_of`` for what is asked for.

    Further ``paper``, ``clearance`` (mm) and ``coins``: "pictures", "drawn" or "empty" pockets.
    """
    found = album_of(owner, parameters)
    pages = lay_parts(found, parameters)
    if not pages:
        raise SheetProblem(
            gettext_noop(
                "None of your pieces is chosen that could be drawn, so there is nothing to print. "
                "With gaps, the dates you lack are drawn too."
            ),
            {},
        )
    pictures = Pictures()
    art = _album_art(found, str(parameters.get("coins", "pictures")), pictures, progress)
    return _pdf(pages, found.title, art, images=pictures.files)


def lay_parts(found: AlbumOf, parameters: Parameters) -> list[Page]:
    """The pages of an album; each series begins on a page of its own."""
    laid: list[tuple[Page, ...]] = [()] * len(found.parts)
    for _pass in ("count", "number") if len(found.parts) > 1 else ("once",):
        total = sum(map(len, laid))
        before = 0
        for place, part in enumerate(found.parts):
            laid[place] = _lay_part(found, part, parameters, before, total)
            before += len(laid[place])
    return [page for pages in laid for page in pages]


def _lay_part(
    found: AlbumOf, part: PartOf, parameters: Parameters, before: int, total: int
) -> tuple[Page, ...]:
    series = part.series
    title, subtitle, story = _("Not identified"), "", []
    if series is not None:
        title = found.title if len(found.parts) == 1 else series.name
        span = years_text(series.first_year, series.last_year, short=False)
        named = [series.issuer.name, series.name, span]
        subtitle = " · ".join(text for text in named if text and text != title)
        story = series.story.split("\n\n") if series.story else []
    if found.left_out and part is found.parts[0]:
        left = _("Left out, since no diameter is on record: %(coins)s.")
        story = [*story, left % {"coins": "; ".join(found.left_out)}]
    rows = [
        album.Row(
            row.coin_type.denomination.name if row.coin_type else "",
            row.note,
            tuple(
                album.Pocket(p.key, widest_mm(_drawn(p)), p.label, held=bool(p.holdings))
                for p in row.pockets
            ),
        )
        for row in part.rows
    ]
    return album.lay_album(
        title, rows,
        subtitle=subtitle,
        story=story,
        paper=PAPERS[parameters.get("paper", "A4")],
        measures=album.Measures(clearance=float(parameters.get("clearance", 1))),
        words=words(),
        before=before,
        total=total,
    )  # fmt: skip


def _drawn(pocket: PocketOf) -> Drawn:
    if pocket.coin_type is not None:
        return drawn(pocket.coin_type)
    measured = pocket.best.diameter_mm if pocket.best is not None else None
    return Drawn(float(measured or 0), text="?")


def _album_art(
    found: AlbumOf, coins: str, pictures: Pictures, progress: Progress
) -> dict[str, str]:
    """What lies in the pockets that are held, by pocket; nothing for empty ones."""
    held = [(pocket, pocket.best) for pocket in found.pockets if pocket.best is not None]
    if coins == "empty":
        return {}
    names: dict[int, str] = {}
    if coins == "pictures":
        names = names_of_pieces(
            [best for _pocket, best in held], pictures, lambda done: progress(done, len(held))
        )
    return {
        pocket.key: coin_art(_drawn(pocket), 1, names.get(best.pk, ""), pocket.key)
        + supposed_mark(_drawn(pocket))
        for pocket, best in held
    }


# ---- the ladder of a country ----
def draw_ladder(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """The ladder of the country with the key ``country`` on ``paper``, one part a currency.

    ``currency``, a key, leaves out all others.
    """
    issuer = Issuer.objects.get(key=parameters["country"])
    money = Currency.objects.filter(key=parameters.get("currency", "")).first()
    parts = [part for part in ladder_of(issuer, currency=money) if part.series and part.rows]
    if not parts:
        raise SheetProblem(
            gettext_noop("“%(country)s” has no series with types yet, so there is no ladder."),
            {"country": issuer.name},
        )
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
    title = _("Ladder of %(country)s") % {"country": issuer.name}
    if money is not None:
        title = f"{title}, {money.name}"
    return _pdf(pages, title, art, images=pictures.files)


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
    note = _("Faint: a type you do not hold. A filled box: a date you hold.") if held.types else ""
    size_note = supposed_note(types_of([part]))
    return ladder.lay_ladder(
        issuer.name, columns, rungs,
        subtitle=" · ".join(text for text in (money, span, note, size_note) if text),
        bought_heading=_bought_heading(part),
        words=words(),
        **how,
    )  # fmt: skip


def _bought_heading(part: Ladder) -> str:
    if part.bought is not None:
        if not part.bought.amount:
            return _("What money bought")
        return _("%(amount)s bought") % {"amount": part.bought.amount}
    if part.worth is not None:
        values = {"unit": part.currency.name, "year": part.worth.amount}
        return _("1 %(unit)s in money of %(year)s") % values
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
    words = _("not struck") if cell.fact == "not_struck" else _("not recorded")
    note = cell.rung.note if cell.rung is not None else ""
    return f"{words}: {note}" if note else words


# ---- a want list ----
def draw_wants(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """The owner's want list with the id ``list`` as a list to tick off, grouped by series."""
    found = access.owned(WantList.objects.all(), owner).get(pk=parameters["list"])
    lines = lines_of_list(found)
    lang = get_language() or "en-GB"
    context = {
        "list": found,
        "groups": grouped(lines),
        "count": len(lines),
        "page_name": f"flow-{parameters.get('paper', 'A4').lower()}",
        "day": timezone.localdate(),
        "lang": lang,
    }
    html = render_to_string("print/wants.html", context)
    return render_pdf(html, title=found.title, lang=lang)
