"""Album pages: what they show is read from records, laid out and drawn."""

from __future__ import annotations

from catalogue.holdings.dates.shown import shown_date
from catalogue.models import Member
from catalogue.printing import album, words
from catalogue.printing.album_aims import album_of_aim, album_of_list
from catalogue.printing.album_pieces import AlbumOf, PartOf, PocketOf, album_of
from catalogue.printing.coins import coin_art, widest_mm
from catalogue.printing.furniture import shown_in_words
from catalogue.printing.geometry import PAPERS, Page, SheetProblem
from catalogue.printing.pictures import Pictures, names_of_pieces
from catalogue.printing.sheets import Parameters, Progress, pdf_of, silent
from series.picture.drawing import Drawn, supposed_mark
from series.types.drawn import drawn


def album_asked_for(owner: Member, parameters: Parameters) -> AlbumOf:
    """The album of an ``aim`` or a want ``list`` (an id), else what ``album_of`` finds."""
    if parameters.get("aim"):
        return album_of_aim(owner, parameters)
    if parameters.get("list"):
        return album_of_list(owner, parameters)
    return album_of(owner, parameters)


def draw_album(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """Album pages true to scale; see ``album_asked_for`` for what is asked for.

    Further ``paper``, ``clearance`` (mm) and ``coins``: "pictures", "drawn" or "empty" pockets.
    """
    found = album_asked_for(owner, parameters)
    pages = lay_parts(found, parameters)
    if not pages:
        raise SheetProblem(words.NOTHING_DRAWN)
    pictures = Pictures()
    art = _album_art(found, str(parameters.get("coins", "pictures")), pictures, progress)
    return pdf_of(pages, found.title, art, images=pictures.files)


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
    story = series.story.split("\n\n") if series is not None and series.story else []
    if found.left_out and part is found.parts[0]:
        story = [*story, words.left_out("; ".join(found.left_out))]
    rows = [
        album.AlbumRow(
            row.heading,
            row.note,
            tuple(
                album.Pocket(p.key, widest_mm(_drawn(p)), p.label, bool(p.holdings), p.year)
                for p in row.pockets
            ),
        )
        for row in part.rows
    ]
    shown = [
        ("" if row.group else row.heading, pocket.year)
        for row in part.rows
        for pocket in row.pockets
    ]
    made_for = "" if found.made_for == part.name else found.made_for
    subtitle = [made_for, part.countries, shown_in_words(shown)]
    return album.lay_album(
        part.name, rows,
        subtitle=" · ".join(filter(None, subtitle)),
        story=story,
        paper=PAPERS[parameters.get("paper", "A4")],
        measures=album.Measures(clearance=float(parameters.get("clearance", 1))),
        before=before,
        total=total,
    )  # fmt: skip


def _drawn(pocket: PocketOf) -> Drawn:
    if pocket.coin_type is not None:
        best, issue = pocket.best, pocket.issue
        shown = issue.shown if issue is not None else ""
        return drawn(pocket.coin_type, date=shown_date(shown, best.date_reading if best else ""))
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
