"""Where to look on a coin, its date, its wear, why it was struck, what it is worth.

What is computed: the sentences that end a stop. What wear of a grade leaves to be seen is common
practice, no source (``_WEAR``): it is said of the grade, and names nothing of the coin.

>>> from decimal import Decimal as D
>>> coin = Story("a", "25 tinne", marks=(
...     MarkTold("mint", "D", "reverse", D(3), "right of the numeral", "Dunhead"),),
...     date=DateTold("1970", run=("1969", "1970", "1971")), piece=PieceTold("very fine", 32))
>>> for said in ending(Context(coin), says_worth=False):
...     print(said.text)
Look at three o'clock on the reverse, right of the numeral: a D, the mint mark of Dunhead.
It is dated 1970, the second of three years.
Its grade is very fine: the highest parts are worn, the finer lines can still be told.
"""

from __future__ import annotations

from series.telling import words
from series.telling.context import Context, earlier
from series.telling.sentences import Sentence, Spot
from series.telling.story import DateTold, MarkTold, PieceTold, Story
from series.text.english import beside, listed
from series.years.calendars import TABLE, resolve
from series.years.eras import ERAS

_KINDS = {
    "mint": "mint mark",
    "privy": "privy mark",
    "mint_master": "mint master’s mark",
    "assayer": "assayer’s mark",
    "signature": "signature",
}


def ending(here: Context, says_worth: bool) -> list[Sentence]:
    """Marks, date, wear, reasons, and worth where it is wanted."""
    found = [*look(here), *dated(here), *worn(here), *why(here)]
    return [*found, *worth(here)] if says_worth else found


# ---- where to look ----
def look(here: Context) -> list[Sentence]:
    """Each mark that the coin before had not just there; marks that share a place together."""
    known = set(here.last.marks) if here.last else set()
    places: dict[tuple[object, ...], list[MarkTold]] = {}
    for mark in here.story.marks:
        if mark not in known:
            places.setdefault((mark.kind, mark.side, mark.clock, mark.near), []).append(mark)
    return [_look(here, marks) for marks in places.values()]


def _look(here: Context, marks: list[MarkTold]) -> Sentence:
    one = marks[0]
    spot = None
    if one.clock is not None and one.side != "edge":
        spot = Spot(one.side, one.clock)
    place = f"at {words.by_clock(one.clock)} on" if one.clock is not None else "on"
    text = f"look {place} the {one.side}"
    if one.near:
        text += f", {beside(one.near)}"
    kind = _KINDS.get(one.kind, one.kind)
    if len(marks) == 1:
        text += f": {words.letter(one.text)}, the {kind}" + (f" of {one.whose}" * bool(one.whose))
    else:
        each = [f"{m.text} for {m.whose}" if m.whose else m.text for m in marks]
        text += f": the {kind}, {words.either(each)}"
    key = f"look.{one.kind}.{one.side}.{'-'.join(mark.text for mark in marks)}"
    return Sentence(key, words.sentence(text), here.beside_last("marks"), "", spot)


# ---- its date ----
_DATE = ("date.shown", "date.calendar", "date.struck_from", "date.struck_to", "date.run",
         "date.purpose")  # fmt: skip
_STRUCK_AS = {
    "proof": "a proof",
    "sets": "struck for sets only",
    "pattern": "a pattern",
    "not_released": "struck but not released",
    "melted": "struck but melted again",
}


def dated(here: Context) -> list[Sentence]:
    """The date it bears, in which calendar, and how early or late in the run."""
    date, last = here.story.date, here.last.date if here.last else None
    if date is None or not date.shown:
        return []
    cites = (*here.beside_last(*_DATE), "first_year", "last_year", "purpose")
    said = _STRUCK_AS.get(date.purpose, "") if date.purpose != here.story.purpose else ""
    if len(date.run) == 1 and date.shown == str(here.story.first_year) == str(here.story.last_year):
        text = words.sentence(f"it is {said}")  # its only year was said with its name
        return [Sentence("piece.date", text, (*cites, *earlier(*_DATE)))] if said else []
    too = last is not None and (last.shown, last.calendar) == (date.shown, date.calendar)
    parts = [f"it {'too ' if too else ''}is dated {_shown(date)}", _struck(date), _in_run(date)]
    parts.append(said)
    text = words.sentence(", ".join(filter(None, parts)))
    return [Sentence("piece.date", text, (*cites, *earlier(*_DATE)) if too else cites)]


def _shown(date: DateTold) -> str:
    ours = words.figures(date.shown)
    foreign = f", that is {ours}" if ours and ours != date.shown else ""
    if date.calendar == "civil":
        return date.shown + foreign
    return f"{date.shown}{foreign} {_calendar(date.calendar)}"


_OF_CALENDAR = {
    "hijri": "of the Hijri calendar",
    "umm-al-qura": "of the Hijri calendar",
    "solar-hijri": "of the solar Hijri calendar",
    "julian": "of the Julian calendar",
    "hebrew": "of the Jewish calendar",
    "buddhist": "of the Buddhist era",
    "minguo": "of the Chinese Republic",
    "vikram": "of the Vikram era",
    "saka": "of the Saka era",
    "ethiopian": "of the Ethiopian calendar",
    "coptic": "of the Coptic calendar",
    "republican": "of the French Republic",
}


def _calendar(name: str) -> str:
    known = resolve(name)
    if len(known) == 1:
        if known[0] in ERAS:
            return f"of the {ERAS[known[0]].said} era"
        if known[0] in _OF_CALENDAR:
            return _OF_CALENDAR[known[0]]
        if known[0] in TABLE:
            return f"by {TABLE[known[0]].about}"
    return f"by the calendar {name}"


def _struck(date: DateTold) -> str:
    first, last = date.struck_from, date.struck_to
    if first is None or last is None or date.shown == str(first) == str(last):
        return ""
    if last == first + 1:
        return f"struck in {first} or {last}"
    return f"struck {words.of_years(first, last)}"


def _in_run(date: DateTold) -> str:
    place = date.place
    if place is None:
        return ""
    which, many = place
    things = "years" if all(shown.isdigit() for shown in date.run) else "dates"
    if many == 1:
        return f"the only {things[:-1]} of its type"
    told = "last" if which == many else words.ordinal(which)
    return f"the {told} of {words.number(many)} {things}"


# ---- its wear ----
_WEAR = (
    (60, "as it left the press"),
    (45, "hardly worn, only the highest points have lost their lustre"),
    (24, "the highest parts are worn, the finer lines can still be told"),
    (12, "worn, and the finer lines are gone from the raised parts"),
    (8, "much worn, the outlines stand but little within them"),
    (0, "worn so far that what it showed has to be told"),
)
"""From which rank (1 to 70) on wear leaves what; common practice, no source."""


def worn(here: Context) -> list[Sentence]:
    """How worn it is and what that hides; what is wrong with it beside; the variety."""
    piece, last = _piece(here.story), _piece(here.last)
    found = []
    if piece.grade:
        again = (piece.grade, piece.rank) == (last.grade, last.rank)
        paths = ("piece.grade", "piece.rank")
        cites = here.beside_last(*paths)
        text = (
            f"again {piece.grade}" if again else f"its grade is {piece.grade}{_hides(piece.rank)}"
        )
        found.append(Sentence("piece.wear", words.sentence(text), (*cites, *earlier(*paths)) if
                              again else cites))  # fmt: skip
    if piece.problems and piece.problems != last.problems:
        text = f"apart from wear it {_suffered(piece.problems)}"
        cites = here.beside_last("piece.problems")
        found.append(Sentence("piece.problems", words.sentence(text), cites))
    if piece.variety and piece.variety != last.variety:
        text = f"it is the variety “{piece.variety}”"
        note = words.aloud(piece.variety_note)
        text += words.following(note).replace(", ", ": ", 1) if note else ""
        cites = here.beside_last("piece.variety", "piece.variety_note")
        found.append(Sentence("piece.variety", words.sentence(text), cites))
    return found


def _piece(story: Story | None) -> PieceTold:
    return story.piece if story is not None and story.piece is not None else PieceTold()


def _hides(rank: int | None) -> str:
    if rank is None:
        return ""
    return f": {next(said for least, said in _WEAR if rank >= least)}"


def _suffered(problems: tuple[str, ...]) -> str:
    """ "has been cleaned and has an edge knock"."""
    done = [name for name in problems if name.endswith(("ed", "bent"))]
    had = [name for name in problems if name not in done]
    parts = [f"has been {listed(done)}"] if done else []
    return " and ".join([*parts, *([f"has {listed(had, words.some)}"] if had else [])])


# ---- why, and worth ----
def why(here: Context) -> list[Sentence]:
    """What the record says beside, of the type and of the date."""
    last, found = here.last, []
    note = words.aloud(here.story.note)
    if note and note != words.aloud(last.note if last else ""):
        found.append(Sentence("why.note", words.sentence(note), here.beside_last("note")))
    of_date = words.aloud(_date(here.story).note)
    if of_date and of_date not in (note, words.aloud(_date(last).note)):
        cites = (*here.beside_last("date.note"), "note")
        found.append(Sentence("why.date", words.sentence(of_date), cites))
    return found


def _date(story: Story | None) -> DateTold:
    return story.date if story is not None and story.date is not None else DateTold("")


def worth(here: Context) -> list[Sentence]:
    """What it is worth, and how many of its date were struck."""
    piece, last, found = _piece(here.story), _piece(here.last), []
    if piece.worth and piece.worth != last.worth:
        cites = here.beside_last("piece.worth")
        found.append(Sentence("worth.amount", words.sentence(f"it is worth {piece.worth}"), cites))
    struck = _date(here.story).mintage
    if struck and struck != _date(here.last).mintage:
        verb = "was" if struck == 1 else "were"
        text = words.sentence(f"of this date {words.number(struck)} {verb} struck")
        found.append(Sentence("worth.mintage", text, here.beside_last("date.mintage")))
    return found
