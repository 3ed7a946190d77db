"""What stands on a coin, as people type it in a box: legends, motifs, marks, references.

What is computed: plain records from lines of text, and the lines from records again, so that a
page can show what is stored in the same words it is edited in. Clock places are hours, 1 to
12.75 in quarters. The notation is this project's own; script codes are those of ISO 15924.

* legends, one a line: ``HALVERN 1931``, or ``١٣٥٠ | 1350 | the year`` with transliteration and
  translation;
* motifs: ``net, herring gull``, or a line of its own with words about it, ``net: on three poles``;
* marks, one a line: ``S mint Saltmouth reverse 6 below the net``: what it is (in quotes if it has
  spaces), its kind, the mint or person, the face, the place by the clock, what it is near, and
  ``on every issue`` at the end if so;
* references, one a line: ``Moy, Coins of the Islands | 14`` or ``work | edition | number``;
* citations, one a line: ``Coinage Act, 1931: section 4``.

>>> read_legends("HALVERN\\n١٣٥٠ | 1350")
(LegendText(text='HALVERN', script='Latn', transliteration='', translation=''), \
LegendText(text='١٣٥٠', script='Arab', transliteration='1350', translation=''))
>>> line = "S mint Saltmouth reverse 6.25 below the net"
>>> mark = read_marks(line)[0]
>>> mark.mint, mark.side, str(mark.clock), mark.near
('Saltmouth', 'reverse', '6.25', 'below the net')
>>> write_mark(mark) == line
True
>>> read_motifs("net, herring gull\\nanchor: fouled, to the left")
(('net', ''), ('herring gull', ''), ('anchor', 'fouled, to the left'))
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from series.entries.choices import MarkKind
from series.entries.tables import LegendText, MarkText, ReferenceText
from series.money.units import AmountError, read_number
from series.text.english import beside
from series.text.scripts import script_of
from series.text.words import plain

KINDS = {kind.replace("_", " "): kind.value for kind in sorted(MarkKind, key=len, reverse=True)}
"""The kinds of mark as one writes them, the longest first."""
OF_A_PERSON = ("mint_master", "assayer", "signature")
"""The kinds of mark that name a person; the others name a mint."""

_KIND_WORDS = {kind: words for words, kind in KINDS.items()}
_EVERYWHERE = "on every issue"


class LineError(ValueError):
    """A line that cannot be read; the message names it and says what to write."""


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _fitting(what: str, text: str, longest: int) -> str:
    if len(text) > longest:
        raise LineError(f"The {what} '{text[:40]}…' has more than {longest} characters.")
    return text


# ---- legends ----
def read_legends(text: str, known: Iterable[LegendText] = ()) -> tuple[LegendText, ...]:
    """The legends, one a line; the script of a text among ``known`` stays what it was."""
    scripts = {legend.text: legend.script for legend in known}
    found = []
    for line in _lines(text):
        parts = [part.strip() for part in re.split(r"\s\|(?=\s|$)", line)]
        if len(parts) > 3 or not parts[0]:
            raise LineError(
                f"'{line}' is not a legend: write the text as struck, then its transliteration "
                "and its translation after a bar each, TEXT | transliteration | translation."
            )
        for part in parts:
            _fitting("legend", part, 300)
        struck, written, meaning = [*parts, "", ""][:3]
        script = scripts.get(struck) or script_of(struck) or "Latn"
        found.append(LegendText(struck, script, written, meaning))
    return tuple(found)


def write_legends(legends: Iterable[LegendText]) -> str:
    lines = []
    for legend in legends:
        parts = [legend.text, legend.transliteration, legend.translation]
        while not parts[-1] and len(parts) > 1:
            parts.pop()
        lines.append(" | ".join(parts))
    return "\n".join(lines)


# ---- names: motifs and people ----
def read_names(text: str) -> tuple[str, ...]:
    """Names parted by commas, semicolons or new lines, each once."""
    names = [name.strip() for name in re.split(r"[,;\n]", text)]
    return tuple(dict.fromkeys(_fitting("name", name, 120) for name in names if name))


def read_motifs(text: str) -> tuple[tuple[str, str], ...]:
    """Each motif with the words about it; a line with a colon is one motif."""
    found: dict[str, str] = {}
    for line in _lines(text):
        name, colon, note = (part.strip() for part in line.partition(":"))
        if colon and name:
            found[_fitting("motif", name, 120)] = _fitting("note", note, 300)
        else:
            found |= {each: found.get(each, "") for each in read_names(line)}
    return tuple(found.items())


def write_motifs(motifs: Iterable[tuple[str, str]]) -> str:
    lines: list[str] = []
    open_line = False
    for name, note in motifs:
        if note:
            lines.append(f"{name}: {note}")
        elif open_line:
            lines[-1] += f", {name}"
        else:
            lines.append(name)
        open_line = not note
    return "\n".join(lines)


# ---- marks ----
_MARK = re.compile(
    r'(?:"(?P<quoted>[^"]+)"|(?P<bare>\S+))\s++(?P<name>.*?)'
    r"\b(?P<side>obverse|reverse|edge)\b[\s,]*(?P<rest>.*)",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"(?P<hours>[0-9]{1,2}(?:\.[0-9]+|\s*[¼½¾])?)(?:\s*o[’']clock)?(?=$|[\s,])")


def read_marks(text: str) -> tuple[MarkText, ...]:
    """The marks, one a line; ``mint`` and ``person`` of each are names, not keys."""
    found: dict[str, MarkText] = {}
    for line in _lines(text):
        mark = _read_mark(line)
        if mark.identity in found:
            raise LineError(f"'{line}' names the mark {mark.text} on the {mark.side} twice.")
        found[mark.identity] = mark
    return tuple(found.values())


def _read_mark(line: str) -> MarkText:
    match = _MARK.fullmatch(line)
    if match is None:
        raise LineError(
            f"'{line}' is not a mark: write what it is, its kind, whose it is, the face and the "
            "place by the clock, S mint Saltmouth reverse 6 below the net. The face is obverse, "
            "reverse or edge."
        )
    name, kind = match["name"].strip(" ,"), "mint"
    for words, meaning in KINDS.items():
        if re.match(rf"{words}\b", name, re.IGNORECASE):
            name, kind = name[len(words) :].strip(" ,"), meaning
            break
    rest, on_all = match["rest"].strip(), False
    if rest.lower().endswith(_EVERYWHERE):
        rest, on_all = rest[: -len(_EVERYWHERE)].strip(" ,"), True
    clock = None
    if hours := _CLOCK.match(rest):
        clock, rest = _clock(hours["hours"], line), rest[hours.end() :].strip(" ,")
    near = rest[5:] if rest.lower().startswith("near ") else rest
    of_person = kind in OF_A_PERSON
    return MarkText(
        text=_fitting("mark", match["quoted"] or match["bare"], 60),
        side=match["side"].lower(),
        kind=kind,
        clock=clock,
        near=_fitting("place", near, 120),
        mint="" if of_person else _fitting("name of the mint", name, 120),
        person=_fitting("name", name, 160) if of_person else "",
        on_all=on_all,
    )


def _clock(written: str, line: str) -> Decimal:
    try:
        hours = read_number(written)
    except AmountError:
        hours = Fraction(0)
    if not 1 <= hours < 13 or hours % Fraction(1, 4):
        raise LineError(
            f"'{written}' in '{line}' is no place by the clock: write hours from 1 to 12, or "
            "quarters of them, 6 or 6.25."
        )
    return Decimal(hours.numerator) / Decimal(hours.denominator)


def write_mark(mark: MarkText) -> str:
    text = f'"{mark.text}"' if re.search(r"\s", mark.text) else mark.text
    name = mark.person if mark.kind in OF_A_PERSON else mark.mint
    clock = plain(mark.clock) if mark.clock is not None else ""
    parts = [text, _KIND_WORDS[mark.kind], name, mark.side, clock, beside(mark.near)]
    return " ".join(filter(None, parts)) + (f", {_EVERYWHERE}" if mark.on_all else "")


def write_marks(marks: Iterable[MarkText]) -> str:
    return "\n".join(map(write_mark, marks))


# ---- references and citations ----
def read_references(text: str) -> tuple[ReferenceText, ...]:
    found: dict[ReferenceText, None] = {}
    for line in _lines(text):
        parts = [part.strip() for part in line.split("|")]
        if len(parts) not in (2, 3) or not parts[0] or not parts[-1]:
            raise LineError(
                f"'{line}' is not a reference: write the work and the number, work | 14, or "
                "work | edition | 14."
            )
        edition = parts[1] if len(parts) == 3 else ""
        reference = ReferenceText(
            _fitting("work", parts[0], 200),
            _fitting("number", parts[-1], 60),
            _fitting("edition", edition, 60),
        )
        found[reference] = None
    return tuple(found)


def write_references(references: Iterable[ReferenceText]) -> str:
    return "\n".join(
        " | ".join(filter(None, (each.work, each.edition, each.number))) for each in references
    )


def read_citations(text: str, sources: Sequence[str] = ()) -> tuple[tuple[str, str], ...]:
    """Source and place of each line; a line may begin with one of ``sources``, colons and all."""
    found = []
    for line in _lines(text):
        known = [name for name in sources if line == name or line.startswith(f"{name}:")]
        if known:
            name = max(known, key=len)
            found.append((name, line[len(name) :].lstrip(": ")))
        else:
            name, _colon, where = (part.strip() for part in line.partition(": "))
            found.append((_fitting("source", name.rstrip(":"), 300), where))
    return tuple(dict.fromkeys(found))


def write_citations(citations: Iterable[tuple[str, str]]) -> str:
    return "\n".join(f"{source}: {where}" if where else source for source, where in citations)
