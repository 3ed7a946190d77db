"""Small parts of a holding written one to a line: provenance and free references.

Computed: lines of text from and into plain tuples; a date before the first semicolon is read as
EDTF (ISO 8601-2:2019) when it is one, else it is part of the text.

>>> read_provenance("1971; bought from Ole Tarn\\nLot 5; a sale")
[('1971', 'bought from Ole Tarn'), ('', 'Lot 5; a sale')]
>>> provenance_lines([("1971", "bought from Ole Tarn")])
'1971; bought from Ole Tarn'
>>> read_references("Hall; 2nd edition; 12a\\nNotes; 7")
[('Hall', '2nd edition', '12a'), ('Notes', '', '7')]
>>> reference_lines([("Notes", "", "7")])
'Notes; 7'
"""

from __future__ import annotations

from collections.abc import Iterable

from series.dates.written import DateError, read_date_input

TEXT_MOST = 300
WORK_MOST = 200
SHORT_MOST = 60


class LineRefused(ValueError):
    """A line cannot be kept; ``args[0]`` is its number from 1, ``args[1]`` how long it may be."""


def read_provenance(text: str) -> list[tuple[str, str]]:
    """Each line as (when, who and how); ``when`` is EDTF or empty. Raises LineRefused."""
    lines = []
    for number, line in _numbered(text):
        before, semicolon, after = (part.strip() for part in line.partition(";"))
        when = ""
        if semicolon and after:
            try:
                when, line = str(read_date_input(before)), after
            except DateError:
                when = ""
        if len(line) > TEXT_MOST or len(when) > SHORT_MOST:
            raise LineRefused(number, TEXT_MOST)
        lines.append((when, line))
    return lines


def provenance_lines(lines: Iterable[tuple[str, str]]) -> str:
    """The lines as they are typed."""
    return "\n".join(f"{when}; {text}" if when else text for when, text in lines)


def read_references(text: str) -> list[tuple[str, str, str]]:
    """Each line as (work, edition, number). Raises LineRefused."""
    lines = []
    for number, line in _numbered(text):
        parts = [part.strip() for part in line.split(";", 2)]
        work = parts[0]
        edition = parts[1] if len(parts) == 3 else ""
        place = parts[-1] if len(parts) > 1 else ""
        if len(work) > WORK_MOST or not work:
            raise LineRefused(number, WORK_MOST)
        if len(edition) > SHORT_MOST or len(place) > SHORT_MOST:
            raise LineRefused(number, SHORT_MOST)
        lines.append((work, edition, place))
    return lines


def reference_lines(lines: Iterable[tuple[str, str, str]]) -> str:
    """The lines as they are typed."""
    return "\n".join(
        "; ".join([work, edition, number] if edition else [work, number] if number else [work])
        for work, edition, number in lines
    )


def _numbered(text: str) -> list[tuple[int, str]]:
    lines = (" ".join(line.split()) for line in text.splitlines())
    return [(number, line) for number, line in enumerate(lines, 1) if line]
