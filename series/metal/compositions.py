"""What a coin is made of and how it is built, in one line.

What is computed: from a line, a ``Build`` of parts, each an alloy (see ``series.metal.alloys``)
with its share of the mass as exact fractions of one; and the line's canonical form. Alloys are
those of ISO 1190-1 and EU law; the words for parts are this project's own.

* ``Cu75Ni25``, ``silver 900``, ``bronze``: solid;
* ``Cu75Ni25 | Cu | Cu75Ni25``: layers, each with its share of the mass if known, ``Ni 12%``;
* ``core: steel; plating: Cu 2.5%`` (or ``copper-plated steel``): plated, inner plating first;
* ``core: Cu; cladding: Cu75Ni25 >=30%`` (or ``copper-nickel-clad copper``): clad;
* ``ring: Cu75Ni25; centre: CuZn20Ni5``: ring and centre, with ``inner ring`` if there are
  three; a part may be layered, or in brackets plated or clad: ``centre: (core: steel;
  plating: Ni)``.

A share is ``12%``, ``>=30%``, ``<=5%`` or ``2-3%``, after the metal, of the mass of the part it
belongs to.

>>> euro = parse_composition("ring: Cu75Ni25; centre: CuZn20Ni5|Ni 12 %|CuZn20Ni5")
>>> euro.kind, [part.role for part in euro.parts]
('ring and centre', ['ring', 'centre'])
>>> str(euro)
'ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5'
>>> str(parse_composition("Copper-plated steel"))
'core: steel; plating: copper'
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from series.metal.alloys import Alloy, CompositionError, number_text, parse_alloy

Kind = Literal["solid", "layered", "plated", "clad", "ring and centre"]
Role = Literal["whole", "layer", "core", "plating", "cladding", "ring", "inner ring", "centre"]

_ROLES: dict[str, Role] = {
    "core": "core",
    "plating": "plating",
    "cladding": "cladding",
    "ring": "ring",
    "outer ring": "ring",
    "inner ring": "inner ring",
    "middle ring": "inner ring",
    "centre": "centre",
    "center": "centre",
}
_KINDS: dict[tuple[Role, ...], Kind] = {
    ("core", "plating"): "plated",
    ("core", "cladding"): "clad",
    ("ring", "centre"): "ring and centre",
    ("ring", "inner ring", "centre"): "ring and centre",
}
LONGEST = 300
"""The most characters of a composition."""

_BUILDS = (
    "core: steel; plating: Cu, or core: Cu; cladding: Cu75Ni25, or ring: Cu75Ni25; centre: "
    "CuZn20Ni5"
)
_SHARE = re.compile(
    r"(?:^|\s*)(?P<bound>>=|<=|≥|≤|at least\s|at most\s)?\s*(?P<low>\d{1,3}(?:[.,]\d{1,4})?)"
    r"(?:\s*[-–—]\s*(?P<high>\d{1,3}(?:[.,]\d{1,4})?))?\s*%$",
    re.IGNORECASE,
)
_WORDED = re.compile(r"(?P<outer>.+?)[- ](?P<how>plated|clad|covered|coated)[- ](?P<core>.+)", re.I)


@dataclass(frozen=True)
class Share:
    """A share by mass, from least to most, of one."""

    least: Fraction
    most: Fraction

    def __str__(self) -> str:
        low, high = number_text(self.least * 100), number_text(self.most * 100)
        if self.least == self.most:
            return f"{low}%"
        if self.most == 1:
            return f">={low}%"
        return f"<={high}%" if self.least == 0 else f"{low}-{high}%"


@dataclass(frozen=True)
class Part:
    """One part of a build, with its share of the build's mass if known."""

    role: Role
    material: Alloy | Build
    share: Share | None = None

    def __str__(self) -> str:
        text = str(self.material)
        if isinstance(self.material, Build) and (self.material.kind != "layered" or self.share):
            text = f"({text})"
        return f"{text} {self.share}" if self.share else text


@dataclass(frozen=True)
class Build:
    """What a coin is made of. ``str()`` is the canonical line, which reads back the same.

    Parts stand in order: core, then plating or cladding from the inside out; or ring, inner
    ring, centre; or the layers as written.
    """

    kind: Kind
    parts: tuple[Part, ...]

    def __str__(self) -> str:
        if self.kind == "solid":
            return str(self.parts[0])
        if self.kind == "layered":
            return " | ".join(map(str, self.parts))
        return "; ".join(f"{part.role}: {part}" for part in self.parts)


def parse_composition(text: str) -> Build:
    """Read a composition; raise CompositionError saying what to write instead."""
    text = " ".join(text.split()).rstrip("; ")
    if not text:
        raise CompositionError("A composition is missing: write Cu75Ni25, silver 900 or bronze.")
    if len(text) > LONGEST:
        raise CompositionError(f"A composition has at most {LONGEST} characters: write it shorter.")
    pieces = _split(text, ";")
    if len(pieces) == 1 and _split(text, ":") == [text]:
        return _without_roles(text)
    return _with_roles(text, pieces)


@lru_cache(maxsize=4096)
def build_of(composition: str) -> Build | None:
    """The composition as parts; None when it is not in the notation: a record may hold words."""
    try:
        return parse_composition(composition) if composition else None
    except CompositionError:
        return None


def _split(text: str, sign: str) -> list[str]:
    """The pieces between signs that stand outside quotes and brackets, stripped."""
    pieces, depth, quoted = [""], 0, False
    for char in text:
        if char in '"“”':
            quoted = not quoted
        depth += 0 if quoted else {"(": 1, ")": -1}.get(char, 0)
        if depth < 0:
            break
        if char == sign and not depth and not quoted:
            pieces.append("")
        else:
            pieces[-1] += char
    if depth or quoted:
        raise CompositionError(f"'{text}' has a bracket or a quote without its partner: close it.")
    return [piece.strip() for piece in pieces]


def _without_roles(text: str) -> Build:
    layers = _split(text, "|")
    if len(layers) > 1:
        parts = tuple(_part("layer", layer) for layer in layers)
        _check_shares(parts, text)
        return Build("layered", parts)
    if text.startswith("(") and text.endswith(")"):
        return parse_composition(text[1:-1])
    if '"' not in text and "“" not in text and (match := _WORDED.fullmatch(text)):
        role: Role = "cladding" if match["how"].lower() == "clad" else "plating"
        parts = (_part("core", match["core"]), _part(role, match["outer"]))
        _check_shares(parts, text)
        return Build(_KINDS["core", role], parts)
    part = _part("whole", text)
    if part.share:
        raise CompositionError(
            f"'{text}' gives a share of the whole coin: leave it out, or name the other parts, "
            f"{_BUILDS}. A fineness is written in thousandths: silver 925."
        )
    return Build("solid", (part,))


def _with_roles(text: str, pieces: list[str]) -> Build:
    parts: list[Part] = []
    for piece in pieces:
        word, *rest = _split(piece, ":")
        role = _ROLES.get(word.lower())
        if role is None or len(rest) != 1:
            raise CompositionError(f"'{piece}' does not name a part: write {_BUILDS}.")
        parts.append(_part(role, rest[0]))
    order: list[Role] = ["core", "plating", "cladding", "ring", "inner ring", "centre"]
    parts.sort(key=lambda part: order.index(part.role))
    roles = tuple(dict.fromkeys(part.role for part in parts))
    if roles not in _KINDS or (len(parts) > len(roles) and roles != ("core", "plating")):
        raise CompositionError(
            f"'{text}' has {', '.join(part.role for part in parts)}: write {_BUILDS}."
        )
    if [part.role for part in parts].count("core") > 1:
        raise CompositionError(f"'{text}' has two cores: write {_BUILDS}.")
    _check_shares(tuple(parts), text)
    return Build(_KINDS[roles], tuple(parts))


def _part(role: Role, text: str) -> Part:
    share = None
    if match := _SHARE.search(text):
        share, text = _share(match), text[: match.start()].rstrip()
    if not text:
        raise CompositionError(
            "A metal is missing: write it before its share and after each sign, Cu75Ni25 | Ni 12% "
            "| Cu75Ni25."
        )
    if role not in ("ring", "inner ring", "centre"):
        if text.startswith("("):
            raise CompositionError(
                f"'{text}': only a ring or a centre is built of parts itself; write one metal here."
            )
        return Part(role, parse_alloy(text), share)
    layered = share and len(_split(text, "|")) > 1
    inner = parse_composition(f"{text} {match[0]}" if layered and match else text)
    if inner.kind == "ring and centre":
        raise CompositionError(
            f"'{text}' is a ring and a centre in one part: write ring, inner ring and centre side "
            "by side."
        )
    material = inner.parts[0].material if inner.kind == "solid" else inner
    return Part(role, material, None if layered else share)


def _share(match: re.Match[str]) -> Share:
    low = Fraction(match["low"].replace(",", ".")) / 100
    high = Fraction((match["high"] or match["low"]).replace(",", ".")) / 100
    bound = (match["bound"] or "").strip().lower()
    written = match[0].strip()
    if not 0 <= low <= high <= 1 or high == 0 or (bound and match["high"]):
        raise CompositionError(
            f"'{written}' is no share: write 12%, >=30%, <=5% or 2-3%, between 0 and 100."
        )
    if bound in (">=", "≥", "at least"):
        return Share(low, Fraction(1))
    return Share(Fraction(0) if bound else low, high)


def _check_shares(parts: tuple[Part, ...], text: str) -> None:
    shares = [part.share or Share(Fraction(0), Fraction(1)) for part in parts]
    least, most = sum(share.least for share in shares), sum(share.most for share in shares)
    if not least <= 1 <= most:
        raise CompositionError(
            f"The shares in '{text}' do not make 100 percent: each is of the whole part's mass; "
            "leave out the one that is the balance."
        )
