"""Date runs as people write them, read into issues and written back short.

What is computed: from ``1931–38, 1947 S, 1952 (1953)`` a list of ``DatedIssue``, one an issue,
and the other way round. Years are civil years. The notation is this project's own; writing
dates, mint letters and bracketed years of striking like this is common practice, no source.

Items are parted by commas, semicolons or new lines. An item is a date, then what is said of it:

* ``1947``; a range ``1931–38`` (hyphen, dash or ``to``; the end may be short: ``1999–04``);
* ``1947 S``: a mark. ``1947 S+D``: one issue with both marks. ``1947 S/D``: two issues, one a
  mint. A mark of more than three letters, or of figures, takes a plus: ``1947 +star``; one
  with spaces or signs in it also quotes: ``1947 +"a star"``;
* ``1952 (1953)``, ``1952 (1953–54)``: shows 1952, struck in the years in brackets; ``(?)``
  where they are not known;
* ``proof``, ``sets``, ``pattern``, ``not released``, ``melted``: the purpose;
* ``not struck 1940–44`` (or ``no``), ``not recorded 1945``: before or after the date, for this
  item alone;
* ``"wide rim"``: a note, quoted, a quote inside it doubled;
* dates not in western figures, or of another calendar, or undated, take their civil years:
  ``١٣٨٩ (1969)``, ``AH 1389 (1969)`` (or ``1389 AH``), ``Showa 13 (1938)``, ``n.d. (1890–95)``;
  any other text that stands on the coin is quoted: ``"MCMLII" (1952)``.

>>> [issue.shown for issue in parse_run("1931–33, 1941")]
['1931', '1932', '1933', '1941']
>>> [(i.shown, i.struck_from, i.marks) for i in parse_run("1947 S/D, 1952 (1953)")]
[('1947', 1947, ('S',)), ('1947', 1947, ('D',)), ('1952', 1953, ())]
>>> write_run(parse_run("1931, 1932, 1933 to 38; 1389 AH (1969)"))
'1931–38, AH 1389 (1969)'
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import TypeVar

from series.dates.edtf import DateError
from series.dates.issues import (
    CALENDARS,
    DASHES,
    FACT_WORDS,
    FACTS,
    PURPOSE_WORDS,
    PURPOSES,
    SPECIAL,
    UNDATED,
    DatedIssue,
    is_bare_mark,
    may_be_calendar,
)
from series.dates.written import complete_year

MOST_YEARS = 200
"""The longest range, in years: a longer one is a slip of the pen."""
MOST_ISSUES = 2000
"""The most issues in one text."""


# Reading.

Token = tuple[str, str]
Meaning = TypeVar("Meaning")

_TOKEN = re.compile(
    r"""(?P<quoted>"(?:[^"]|"")*"|“[^”]*”)|(?P<bracket>\([^()]*\))|(?P<sign>[/+])
    |(?P<end>[,;\n])|(?P<space>[^\S\n]+)|(?P<word>[^\s,;/+()"“”]+)|(?P<stray>.)""",
    re.VERBOSE | re.DOTALL,
)


def parse_run(text: str) -> list[DatedIssue]:
    """The issues that a date run names, in the order written.

    Raises DateError, naming the piece of text at fault, for anything that cannot be read, and
    for an issue that is named twice.
    """
    issues: list[DatedIssue] = []
    seen: set[DatedIssue] = set()
    for item, tokens in _items(text):
        for issue in _Item(item, tokens).read():
            identity = replace(issue, fact="struck")
            if identity in seen:
                raise DateError(
                    f"'{item}' names {_write_item(issue, [issue.marks])} twice: leave one out, or "
                    'tell them apart by a mark or a note, as in 1947 "wide rim".',
                    item,
                )
            seen.add(identity)
            issues.append(issue)
            if len(issues) > MOST_ISSUES:
                raise DateError(
                    f"More than {MOST_ISSUES} issues at once, up to '{item}': write fewer.", item
                )
    return issues


def _items(text: str) -> Iterator[tuple[str, list[Token]]]:
    """Each item as written, with its tokens."""
    written, tokens = "", list[Token]()
    for match in _TOKEN.finditer(f"{text}\n"):
        kind, piece = str(match.lastgroup), match[0]
        if kind == "end":
            if tokens:
                yield written.strip(), tokens
            written, tokens = "", []
            continue
        written += piece
        if kind == "stray":
            raise DateError(
                f"'{piece}' in '{(written + text[match.end() : match.end() + 12]).strip()}' has "
                "no partner: close each bracket and each quote.",
                piece,
            )
        if kind != "space":
            tokens.append((kind, piece))


def _unquoted(token: str) -> str:
    inner = token[1:-1]
    return (inner.replace('""', '"') if token.startswith('"') else inner).strip()


class _Item:
    """Reads the tokens of one item from left to right."""

    def __init__(self, item: str, tokens: list[Token]) -> None:
        self.item = item
        self.tokens = tokens
        self.place = 0

    def read(self) -> list[DatedIssue]:
        fact = self.phrase(FACTS)
        calendar, shown, last_year = self.date()
        years = purpose = note = alternatives = None
        while self.place < len(self.tokens):
            kind, piece = self.tokens[self.place]
            if kind == "bracket" and years is None:
                years, self.place = piece, self.place + 1
            elif kind == "quoted" and note is None:
                note, self.place = _unquoted(piece), self.place + 1
            elif purpose is None and (found_purpose := self.phrase(PURPOSES)):
                purpose = found_purpose
            elif fact is None and (found_fact := self.phrase(FACTS)):
                fact = found_fact
            elif alternatives is None and (piece == "+" or is_bare_mark(self.word())):
                alternatives = self.marks()
            else:
                raise self.unknown(kind, piece)
        return [
            DatedIssue(
                date, first, last, marks, purpose or "circulation", fact or "struck", calendar,
                note or "",
            )
            for date, first, last in self.struck(calendar, shown, last_year, years)
            for marks in alternatives or [()]
        ]  # fmt: skip

    def fail(self, message: str, piece: str = "") -> DateError:
        where = f" in '{self.item}'" if piece and piece != self.item else ""
        return DateError(f"'{piece or self.item}'{where} {message}", piece or self.item)

    def token(self, ahead: int = 0) -> Token:
        """The token at this place or a little ahead; a pair of empty texts past the end."""
        place = self.place + ahead
        return self.tokens[place] if place < len(self.tokens) else ("", "")

    def word(self, ahead: int = 0) -> str:
        """The word at this place or a little ahead; empty if there is none."""
        kind, piece = self.token(ahead)
        return piece if kind == "word" else ""

    def phrase(self, meanings: Mapping[str, Meaning]) -> Meaning | None:
        """The meaning of the next two words, or of the next one; they are then passed."""
        one = self.word().lower()
        for length, words in ((2, f"{one} {self.word(1).lower()}"), (1, one)):
            if words in meanings:
                self.place += length
                return meanings[words]
        return None

    def at_date(self, ahead: int = 0) -> bool:
        word = self.word(ahead)
        return self.token(ahead)[0] == "quoted" or bool(
            re.match(r"\d", word) or UNDATED.fullmatch(word)
        )

    def date(self) -> tuple[str, str, int | None]:
        """The calendar, the date shown, and the last year if it is a range."""
        calendar = "civil"
        if self.word() and not self.at_date() and self.at_date(1):
            calendar = self.word()
            self.place += 1
            if not may_be_calendar(calendar):
                raise self.fail("cannot stand before a date.", calendar)
        if not self.at_date():
            raise self.fail(
                "has no date. Write 1947 S/D for an issue of each mint, 1947 S+D for both marks on "
                "one coin, and repeat the date for each purpose: 1947, 1947 proof."
            )
        kind, piece = self.token()
        self.place += 1
        if kind == "quoted":
            return calendar, _unquoted(piece), None
        if UNDATED.fullmatch(piece):
            return calendar, "", None
        while (word := self.word()) and (
            word[0] in DASHES or word.lower() == "to" or piece[-1] in DASHES
        ):
            piece += "–" if word.lower() == "to" else word
            self.place += 1
        if match := re.fullmatch(r"([1-9][0-9]{2,3})[-–—−]([0-9]{1,4})", piece):
            return calendar, match[1], self.range_end(int(match[1]), match[2])
        if not re.fullmatch(r"\d+", piece):
            raise self.fail(
                "is not a date: write 1947, 1931–38, or the text on the coin in quotes with the "
                'years it was struck, "MCMLII" (1952).',
                piece,
            )
        if calendar == "civil" and self.word() in CALENDARS:
            calendar = self.word()
            self.place += 1
        return calendar, piece, None

    def range_end(self, first: int, end: str) -> int:
        last = complete_year(first, end)
        if last - first >= MOST_YEARS:
            raise self.fail(f"spans more than {MOST_YEARS} years: check the figures.")
        return last

    def struck(
        self, calendar: str, shown: str, last_year: int | None, years: str | None
    ) -> list[tuple[str, int | None, int | None]]:
        """Each date shown with its years of striking."""
        if last_year is not None:
            if calendar != "civil" or years:
                raise self.fail(
                    "gives years in brackets, or a calendar, for a range: write each date by "
                    "itself, 1952 (1953), 1954 (1955)."
                )
            return [(str(y), y, y) for y in range(int(shown), last_year + 1)]
        if years is not None:
            return [(shown, *self.bracket(years))]
        if calendar != "civil" or not re.fullmatch(r"[0-9]{3,4}", shown) or int(shown) == 0:
            raise self.fail(
                "needs the civil years in which it was struck in brackets: ١٣٨٩ (1969), "
                "AH 1389 (1969), n.d. (1890–95), or (?) if they are not known. A mark stands "
                "after the date: 1947 S."
            )
        return [(shown, int(shown), int(shown))]

    def bracket(self, written: str) -> tuple[int | None, int | None]:
        inner = re.sub(r"^struck\s+", "", written[1:-1].strip(), flags=re.IGNORECASE)
        if inner == "?":
            return None, None
        match = re.fullmatch(r"([0-9]{3,4})(?:\s*(?:[-–—−]|\bto\b)\s*([0-9]{1,4}))?", inner)
        if match is None or int(match[1]) == 0:
            raise self.fail(
                "does not give years: write the first and the last year in which the date was "
                "struck, (1953) or (1953–54), or (?) if they are not known.",
                written,
            )
        first = int(match[1])
        return first, complete_year(first, match[2]) if match[2] else first

    def marks(self) -> list[tuple[str, ...]]:
        """``S/D+star`` is two sets of marks: S, and D with star."""
        alternatives: list[tuple[str, ...]] = []
        sign = "/"
        while sign:
            self.place += self.token() == ("sign", "+")
            kind, piece = self.token()
            mark = _unquoted(piece) if kind == "quoted" else self.word()
            if not mark:
                raise self.fail(f"wants a mark after the last '{sign}': write 1947 S{sign}D.")
            self.place += 1
            if sign == "/":
                alternatives.append((mark,))
            else:
                alternatives[-1] += (mark,)
            kind, sign = self.token()
            if kind != "sign":
                break
            self.place += 1
        return alternatives

    def unknown(self, kind: str, piece: str) -> DateError:
        if kind in ("bracket", "quoted"):
            return self.fail("is one too many: one bracket, one note a date.", piece)
        if kind == "sign":
            return self.fail(
                'does not join dates: write 1947, 1948 for two dates, 1947 "7 over 6" for a date '
                "cut over another.",
                piece,
            )
        if re.match(r"\d", piece):
            return self.fail("follows a date without a comma: write 1947, 1948.", piece)
        if piece.lower() in (*PURPOSES, *FACTS, "not"):
            return self.fail("is one too many: write each purpose as an item of its own.", piece)
        if is_bare_mark(piece):
            return self.fail(
                "is a second mark: write S/D for an issue of each mint, S+D for both marks on one "
                "coin.",
                piece,
            )
        return self.fail(
            f'is not known here. Write +{piece} if it is a mark, "{piece}" if it is a note; the '
            f"purposes are {', '.join(filter(None, PURPOSE_WORDS.values()))}.",
            piece,
        )


# Writing.


def write_run(issues: Iterable[DatedIssue]) -> str:
    """The date run in its shortest form; ``parse_run`` gives the same issues back, in order.

    The issues must differ from one another in more than whether they were struck.
    """
    cells: list[tuple[DatedIssue, list[tuple[str, ...]]]] = []
    for issue in issues:
        bare = replace(issue, marks=())
        if issue.marks and cells and cells[-1][0] == bare and cells[-1][1] != [()]:
            cells[-1][1].append(issue.marks)
        else:
            cells.append((bare, [issue.marks]))
    items: list[str] = []
    place = 0
    while place < len(cells):
        length = 1
        while place + length < len(cells) and length < MOST_YEARS:
            if not _follows(cells[place + length - 1], cells[place + length]):
                break
            length += 1
        bare, marks = cells[place]
        items.append(_write_item(bare, marks, length))
        place += length
    return ", ".join(items)


def _follows(
    one: tuple[DatedIssue, list[tuple[str, ...]]], other: tuple[DatedIssue, list[tuple[str, ...]]]
) -> bool:
    """Whether ``other`` is the next year of ``one`` and otherwise alike."""
    issue, marks = one
    if not issue.is_plain or issue.shown.startswith("0") or other[1] != marks:
        return False
    year = int(issue.shown) + 1
    return other[0] == replace(issue, shown=str(year), struck_from=year, struck_to=year)


def _write_item(issue: DatedIssue, marks: list[tuple[str, ...]], length: int = 1) -> str:
    parts = [FACT_WORDS[issue.fact], issue.calendar if issue.calendar != "civil" else ""]
    if length > 1:
        parts.append(_short_range(int(issue.shown), int(issue.shown) + length - 1))
    elif re.fullmatch(r"\d+", issue.shown):
        parts.append(issue.shown)
    else:
        parts.append(_quoted(issue.shown) if issue.shown else "n.d.")
    sets = "/".join("+".join(map(_write_mark, one)) for one in marks)
    parts.append(sets if not sets or is_bare_mark(marks[0][0]) else f"+{sets}")
    if not issue.is_plain:
        if issue.struck_from is None or issue.struck_to is None:
            parts.append("(?)")
        else:
            parts.append(f"({_short_range(issue.struck_from, issue.struck_to)})")
    parts += [PURPOSE_WORDS[issue.purpose], _quoted(issue.note) if issue.note else ""]
    return " ".join(filter(None, parts))


def _write_mark(mark: str) -> str:
    return _quoted(mark) if SPECIAL.search(mark) else mark


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"'


def _short_range(first: int, last: int) -> str:
    if first == last:
        return f"{first:03d}"
    same_century = first >= 1000 and first // 100 == last // 100
    return f"{first:03d}–{last % 100:02d}" if same_century else f"{first:03d}–{last:03d}"
