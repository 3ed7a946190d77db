"""What a magnet, the eye and the ear find on a piece, given what the record says it is made of.

What is computed: for a build (``series.metal.compositions``), the chance of each thing that a
person may report: a magnet's pull, a colour, a sound. Each set of chances sums to one and none is
zero, because people err and pieces are plated, toned, dirty or not what they seem; None where the
material is not known. Chances have no unit.

Physics: iron, cobalt and nickel are ferromagnetic at room temperature; Curie temperatures are
1043, 1388 and 627 K and saturation about 2.15, 1.8 and 0.6 tesla (CRC Handbook of Chemistry and
Physics, from memory), so nickel pulls about a quarter as hard as iron. Copper takes nickel's
Curie temperature to room temperature at about two thirds of nickel: copper-nickel coins do not
pull (from memory). Chromium steels pull unless 8 % nickel or much manganese keeps them
austenitic, and struck austenitic steel pulls a little. How a pull, a colour or a sound is called
by a person, and how often, is common practice, no source: the shares stand below as they are.

>>> from series.metal.compositions import parse_composition
>>> def likeliest(chances):
...     return max(chances, key=chances.get)
>>> likeliest(magnet_chances(parse_composition("Cu75Ni25")))
'none'
>>> two_euro = parse_composition("ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5")
>>> likeliest(magnet_chances(two_euro)), likeliest(colour_chances(two_euro))
('centre only', 'two-colour')
>>> likeliest(sound_chances(parse_composition("silver 900")))
'long ring'
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType

from series.metal.alloys import Alloy
from series.metal.compositions import Build, Part
from series.metal.metals import colour, tints

MAGNET = ("none", "weak", "strong", "centre only")
COLOURS = ("copper-red", "yellow", "gold", "white", "grey", "brown", "black", "two-colour")
"""The colours of ``series.metal.metals.colour`` and the two that a worn or toned piece shows."""
SOUNDS = ("long ring", "short ring", "dull")

HOW_TO_USE_THE_MAGNET = (
    "Hang a small magnet on a thread, or lay it on a table, and bring the piece near without "
    "rubbing: “weak” is a pull that can be felt, “strong” lifts the piece or the magnet. On a "
    "piece with a ring, try the ring and the centre apart."
)
HOW_TO_LISTEN = (
    "Balance the piece on a fingertip and tap its edge lightly with a wooden pencil. Never drop "
    "it, and leave it be if the surface is fragile or the piece is worth much. A crack or a "
    "mount makes any metal sound dull."
)

ERRING = 0.03
"""Share of reports that say anything, whatever the piece is; common practice, no source."""

Chances = Mapping[str, float]


def with_errors(chances: Mapping[str, float], classes: Sequence[str]) -> Chances:
    """Chances that sum to one, none of them zero, in the order of the classes."""
    total = sum(chances.values())
    floor = ERRING / len(classes)
    return MappingProxyType(
        {name: (1 - ERRING) * chances.get(name, 0.0) / total + floor for name in classes}
    )


# The magnet. A pull is counted in irons: the pull of the same mass of iron is 1.

FELT, LIFTS = 0.001, 0.05
"""Pulls, in irons, that half of people call weak and strong; common practice, no source."""
STEEPNESS = 4.0
"""How sharply people agree: log-odds per tenfold pull; common practice, no source."""
NICKEL, COBALT = 0.25, 0.8
"""What nickel and cobalt pull, in irons."""
NICKEL_BEGINS, NICKEL_FULL = 0.65, 0.9
"""Share of nickel in copper where the pull begins at room temperature, and where it is full;
between them it grows as the square, which is a rough guess: common practice, no source."""
STRUCK_AUSTENITE = 0.005
"""The most that austenitic steel pulls once struck, in irons; common practice, no source."""
UNSTATED_PLATING = (0.005, 0.1)
"""What a plating of unstated share weighs, of the whole, as ``series.metal.metals`` takes it."""
UNSTATED_LEAST = 0.05
"""The least that another part of unstated share weighs; common practice, no source."""
CENTRE_NOTICED = 0.8
"""Share of people who try ring and centre apart; the others name the centre's pull."""

Pull = tuple[float, float]
"""The least and the most pull, in irons."""


@lru_cache(maxsize=8192)
def magnet_chances(build: Build) -> Chances | None:
    """The chance that a magnet finds each of MAGNET; None if a material is not known.

    >>> from series.metal.compositions import parse_composition
    >>> steel = parse_composition("steel")
    >>> {name: round(p, 2) for name, p in magnet_chances(steel).items()}
    {'none': 0.01, 'weak': 0.01, 'strong': 0.97, 'centre only': 0.01}
    """
    if build.kind != "ring and centre":
        pull = _pull(build)
        return None if pull is None else with_errors(_felt(pull), MAGNET)
    pulls = [_pull(part.material) for part in build.parts]
    known = [pull for pull in pulls if pull is not None]
    if len(known) < len(pulls):
        return None
    *rings, centre = [_felt(pull) for pull in known]
    ring = max(rings, key=lambda felt: 1 - felt["none"])
    chances = dict.fromkeys(MAGNET, 0.0)
    for at_ring, p_ring in ring.items():
        for at_centre, p_centre in centre.items():
            both = p_ring * p_centre
            if at_ring == "none" != at_centre:
                chances["centre only"] += CENTRE_NOTICED * both
                chances[at_centre] += (1 - CENTRE_NOTICED) * both
            else:
                stronger = max(at_ring, at_centre, key=MAGNET.index)
                chances[stronger] += both
    return with_errors(chances, MAGNET)


def _felt(pull: Pull) -> dict[str, float]:
    """Chances of none, weak and strong for a pull known from a least to a most.

    Between the two every tenfold step counts alike; where there may be no pull at all, that
    has half the weight.
    """
    least, most = pull
    if most <= 0:
        return {"none": 1.0, "weak": 0.0, "strong": 0.0}
    start = math.log10(least or most / 10)
    points = [start + (math.log10(most) - start) * k / 4 for k in range(5)]
    weight = (1.0 if least else 0.5) / len(points)
    felt = weight * sum(_odds(point - math.log10(FELT)) for point in points)
    strong = weight * sum(_odds(point - math.log10(LIFTS)) for point in points)
    return {"none": 1 - felt, "weak": felt - strong, "strong": strong}


def _odds(tenfolds: float) -> float:
    return 1 / (1 + math.exp(-STEEPNESS * tenfolds))


def _pull(material: Alloy | Build) -> Pull | None:
    """The pull of a metal, or of layers and platings by their share of the mass."""
    if isinstance(material, Alloy):
        return _pull_of_alloy(material)
    least = most = 0.0
    for part, (low, high) in zip(material.parts, _shares(material.parts), strict=True):
        pull = _pull(part.material)
        if pull is None:
            return None
        least, most = least + low * pull[0], most + high * pull[1]
    return least, min(1.0, most)


def _shares(parts: Sequence[Part]) -> list[tuple[float, float]]:
    """Each part's least and most share of the mass, where unstated from what the others leave."""
    stated: list[tuple[float, float] | None] = []
    for part in parts:
        if part.share:
            high = float(part.share.most)
            stated.append((float(part.share.least) or high / 10, high))
        elif part.role == "plating" and parts[0].share is None:
            stated.append(UNSTATED_PLATING)
        else:
            stated.append(None)
    lone = stated.count(None) == 1
    room = 1 - sum(share[0] for share in stated if share)
    sure = 1 - sum(share[1] for share in stated if share) if lone else 0.0
    unstated = max(sure, min(UNSTATED_LEAST, room)), room
    return [share or unstated for share in stated]


def _pull_of_alloy(alloy: Alloy) -> Pull | None:
    if not alloy.shares:
        return None

    def middle(symbol: str) -> float:
        return float(sum(alloy.share(symbol)) / 2)

    low_nickel, high_nickel = (float(share) for share in alloy.share("Ni"))
    iron, cobalt, chromium = middle("Fe"), middle("Co"), middle("Cr")
    if iron >= 0.5:
        if chromium < 0.105 and middle("Mn") < 0.11:
            return iron, iron
        austenite_is_sure = low_nickel >= 0.08 or middle("Mn") >= 0.05
        if austenite_is_sure:
            return 0.0, STRUCK_AUSTENITE
        return (0.0 if high_nickel >= 0.08 else iron), iron
    if cobalt >= 0.5:
        return COBALT * cobalt, COBALT * cobalt
    if chromium >= 0.08:  # chromium takes nickel's Curie temperature below the room's
        return 0.0, 0.0

    def pull(nickel: float) -> float:
        full = (nickel + cobalt + iron - NICKEL_BEGINS) / (NICKEL_FULL - NICKEL_BEGINS)
        return NICKEL * nickel * min(1.0, max(0.0, full)) ** 2

    return pull(low_nickel), pull(high_nickel)


# Colours: what people call each look of ``series.metal.metals.tints`` on pieces as they turn up,
# new, worn and toned, in percent. Common practice, no source.

_SEEN: Mapping[str, Mapping[str, float]] = {
    "copper": {"copper-red": 44, "brown": 46, "black": 6, "yellow": 2, "grey": 2},
    "bronze": {"copper-red": 31, "brown": 52, "yellow": 10, "black": 6, "grey": 1},
    "brass": {"yellow": 54, "gold": 28, "brown": 13, "copper-red": 3, "black": 2},
    "pale gold": {"yellow": 53, "gold": 36, "brown": 8, "copper-red": 2, "white": 1},
    "gold": {"gold": 80, "yellow": 17, "copper-red": 3},
    "copper-nickel": {"white": 66, "grey": 31, "yellow": 1, "brown": 1, "black": 1},
    "nickel": {"white": 62, "grey": 37, "black": 1},
    "silver": {"white": 62, "grey": 25, "black": 9, "brown": 2, "yellow": 2},
    "billon": {"white": 42, "grey": 31, "brown": 12, "black": 8, "copper-red": 6, "yellow": 1},
    "steel": {"grey": 55, "white": 33, "brown": 10, "black": 2},
    "aluminium": {"white": 55, "grey": 44, "black": 1},
    "zinc": {"grey": 79, "white": 11, "black": 8, "brown": 2},
    "iron": {"grey": 36, "brown": 38, "black": 25, "white": 1},
    "tin": {"grey": 63, "white": 31, "black": 6},
    "lead": {"grey": 77, "black": 16, "white": 7},
    "platinum": {"white": 76, "grey": 24},
}
TOLD_APART, JOIN_SEEN = 0.94, 0.15
"""Share of people who call a piece two-colour whose parts differ in colour, and whose parts
differ in metal alone; common practice, no source."""


@lru_cache(maxsize=8192)
def colour_chances(build: Build) -> Chances | None:
    """The chance that each of COLOURS is reported; None if the look is not known."""
    looks = _looks(build)
    if not looks or any(look not in _SEEN for look in looks):
        return None
    two = _called_two_coloured(build, looks)
    chances = dict.fromkeys(COLOURS, 0.0)
    for look in looks:
        for name, percent in _SEEN[look].items():
            chances[name] += (1 - two) * percent / 100 / len(looks)
    chances["two-colour"] = two
    return with_errors(chances, COLOURS)


def _called_two_coloured(build: Build, looks: Sequence[str]) -> float:
    if len(looks) == 1:
        return 0.0
    return TOLD_APART if _colours_differ(build, looks) else JOIN_SEEN


def _looks(build: Build) -> tuple[str, ...]:
    """The looks that are seen, each once; of layers both faces."""
    if build.kind == "layered":
        faces = (build.parts[0], build.parts[-1])
        return tuple(dict.fromkeys(_look(face.material) for face in faces))
    return tuple(dict.fromkeys(tints(build)))


def _look(material: Alloy | Build) -> str:
    """The look of one metal, or of what is outermost on a part."""
    build = material if isinstance(material, Build) else Build("solid", (Part("whole", material),))
    return tints(build)[0]


def _colours_differ(build: Build, looks: Sequence[str]) -> bool:
    if build.kind != "layered":
        return colour(build) == "two-colour"
    likeliest = {max(_SEEN[look], key=lambda name: _SEEN[look][name]) for look in looks}
    return len(likeliest) > 1


# Sounds: long ring, short ring, dull, in percent, by look. Common practice, no source; wide on
# purpose, since size, a crack, wear and the hand count as much as the metal.

_HEARD: Mapping[str, tuple[float, float, float]] = {
    "silver": (68, 24, 8),
    "gold": (58, 30, 12),
    "billon": (38, 45, 17),
    "pale gold": (38, 46, 16),
    "bronze": (44, 42, 14),
    "copper": (28, 50, 22),
    "brass": (34, 48, 18),
    "copper-nickel": (38, 47, 15),
    "nickel": (45, 42, 13),
    "steel": (34, 50, 16),
    "iron": (24, 46, 30),
    "aluminium": (20, 46, 34),
    "platinum": (32, 46, 22),
    "zinc": (6, 27, 67),
    "tin": (5, 25, 70),
    "lead": (2, 10, 88),
}
_LAYERS_HEARD = (18, 50, 32)
_JOINED_HEARD = (10, 38, 52)


@lru_cache(maxsize=8192)
def sound_chances(build: Build) -> Chances | None:
    """The chance that each of SOUNDS is reported; None if the metal is not known.

    A plated piece sounds like its core; layers, and still more a ring and a centre, damp.
    """
    if any(_look(part.material) not in _HEARD for part in build.parts):
        return None
    if build.kind == "ring and centre":
        heard: tuple[float, float, float] = _JOINED_HEARD
    elif build.kind in ("layered", "clad"):
        heard = _LAYERS_HEARD
    else:
        heard = _HEARD[_look(build.parts[0].material)]
    return with_errors(dict(zip(SOUNDS, heard, strict=True)), SOUNDS)
