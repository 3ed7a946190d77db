"""What was understood of the texts of a type, in words, for the person who typed them.

What is computed: a sentence from what ``series.types.lines`` and ``series.dates.runs`` read; ""
for nothing. English.

>>> from series.dates.runs import parse_run
>>> dates_words(parse_run("1931–33, 1947 S/D, 1952 (1953), not struck 1943, 1953 proof"))
'7 dates: 1931–33, 1947 S and D, 1952 (struck 1953), 1953 proof; not struck: 1943'
>>> from series.types.lines import read_legends, read_marks, read_motifs, read_references
>>> legends_words(read_legends("25 TINNE\\n١٣٥٠ | 1350 | the year"))
'2 legends: “25 TINNE”; “١٣٥٠”, read 1350, meaning “the year”'
>>> marks_words(read_marks("S mint Saltmouth reverse 6 below the net"))
"S, the mint mark of Saltmouth, on the reverse at 6 o'clock, below the net"
>>> motifs_words(read_motifs("net: on poles\\ngull"))
'2 motifs: net (on poles) and gull'
>>> references_words(read_references("Moy, Coins | 2 | 14"))
'number 14 in Moy, Coins, edition 2'
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from series.dates.issues import PURPOSE_WORDS, DatedIssue
from series.entries.tables import LegendText, MarkText, ReferenceText
from series.text.english import beside, listed
from series.text.words import clock_text, years_text
from series.types.lines import OF_A_PERSON

MOST_SAID = 6
_KINDS = {
    "mint": "mint mark",
    "privy": "privy mark",
    "mint_master": "mint master’s mark",
    "assayer": "assayer’s mark",
    "signature": "signature",
}


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _shortened(said: Sequence[str]) -> list[str]:
    """The first few, and how many more there are."""
    if len(said) <= MOST_SAID:
        return list(said)
    return [*said[: MOST_SAID - 1], f"{len(said) - MOST_SAID + 1} more"]


def dates_words(issues: Sequence[DatedIssue]) -> str:
    """How many dates were struck and which, then those that were not or are not recorded."""
    struck = [issue for issue in issues if issue.fact == "struck"]
    parts = []
    if struck:
        said = ", ".join(_shortened(_runs(struck)))
        parts.append(f"{_counted(len(struck), 'date', 'dates')}: {said}")
    for fact, words in (("not_struck", "not struck"), ("not_recorded", "not recorded")):
        others = [replace(issue, fact="struck") for issue in issues if issue.fact == fact]
        if others:
            parts.append(f"{words}: {', '.join(_shortened(_runs(others)))}")
    return "; ".join(parts)


def _runs(issues: Sequence[DatedIssue]) -> list[str]:
    """Plain years in a row as one, all else one by one; marks of one date together."""
    said: list[str] = []
    place = 0
    while place < len(issues):
        first = issues[place]
        length = 1
        while place + length < len(issues) and _next_year(issues[place + length - 1 :][:2]):
            length += 1
        if length > 1:
            last = issues[place + length - 1]
            run = years_text(first.struck_from, last.struck_to)
            said.append(" ".join([run, *_rest(first)]))
            place += length
            continue
        marks = [first.marks]
        while place + len(marks) < len(issues) and first.marks:
            other = issues[place + len(marks)]
            if not other.marks or replace(other, marks=first.marks) != first:
                break
            marks.append(other.marks)
        said.append(_one(first, marks))
        place += len(marks)
    return said


def _next_year(pair: Sequence[DatedIssue]) -> bool:
    one, other = pair
    if not one.is_plain or one.struck_from is None:
        return False
    year = one.struck_from + 1
    return other == replace(one, shown=str(year), struck_from=year, struck_to=year)


def _one(issue: DatedIssue, marks: Sequence[tuple[str, ...]]) -> str:
    shown = issue.shown or "undated"
    if issue.calendar != "civil":
        shown = f"{issue.calendar} {shown}"
    parts = [shown]
    if any(marks):
        parts.append(listed([" with ".join(one) for one in marks]))
    parts += _rest(replace(issue, marks=()))
    if not issue.is_plain:
        years = years_text(issue.struck_from, issue.struck_to)
        parts.append(f"(struck {years})" if years else "(years of striking not known)")
    return " ".join(parts)


def _rest(issue: DatedIssue) -> list[str]:
    """Marks, purpose and note, as far as there are any."""
    note = f"“{issue.note}”" if issue.note else ""
    return [
        part for part in (" with ".join(issue.marks), PURPOSE_WORDS[issue.purpose], note) if part
    ]


def legends_words(legends: Sequence[LegendText]) -> str:
    said = []
    for legend in legends:
        parts = [f"“{legend.text}”"]
        if legend.transliteration:
            parts.append(f"read {legend.transliteration}")
        if legend.translation:
            parts.append(f"meaning “{legend.translation}”")
        said.append(", ".join(parts))
    if not said:
        return ""
    return f"{_counted(len(said), 'legend', 'legends')}: {'; '.join(_shortened(said))}"


def motifs_words(motifs: Sequence[tuple[str, str]]) -> str:
    said = [f"{name} ({note})" if note else name for name, note in motifs]
    return f"{_counted(len(said), 'motif', 'motifs')}: {listed(said)}" if said else ""


def names_words(names: Sequence[str]) -> str:
    return f"{_counted(len(names), 'person', 'people')}: {listed(names)}" if names else ""


def marks_words(marks: Iterable[MarkText]) -> str:
    return "; ".join(_mark(mark) for mark in marks)


def _mark(mark: MarkText) -> str:
    whose = mark.person if mark.kind in OF_A_PERSON else mark.mint
    kind = _KINDS[mark.kind]
    place = "on the edge" if mark.side == "edge" else f"on the {mark.side}"
    if mark.clock is not None:
        place += f" at {clock_text(mark.clock)}"
    parts = [mark.text, f"the {kind} of {whose}" if whose else f"a {kind}", place]
    if mark.near:
        parts.append(beside(mark.near))
    if mark.on_all:
        parts.append("on every issue")
    return ", ".join(parts)


def references_words(references: Iterable[ReferenceText]) -> str:
    return "; ".join(
        f"number {each.number} in {each.work}"
        + (f", edition {each.edition}" if each.edition else "")
        for each in references
    )


def citations_words(citations: Iterable[tuple[str, str]]) -> str:
    return "; ".join(f"{source}, at {where}" if where else source for source, where in citations)
