"""How each metal looks: the colours in which it is drawn, from shade to shine.

Chosen by eye, no source. A metal that is not in the table is drawn as ``UNKNOWN_METAL``.

>>> known("bronze"), known("unobtainium")
('bronze', 'copper-nickel')
>>> mixed("#000000", "#FFFFFF", 0.5)
'#808080'
"""

from __future__ import annotations

from typing import NamedTuple


class Tones(NamedTuple):
    """Colours of one metal in sRGB hexadecimal, from the deepest shade to the brightest shine."""

    deep: str
    shade: str
    body: str
    light: str
    shine: str


METALS: dict[str, Tones] = {
    "copper": Tones("#35120A", "#7F3A20", "#BE6B45", "#E3A07B", "#FFE3D0"),
    "bronze": Tones("#2C1609", "#6C3A1A", "#A36534", "#D39C66", "#FFE8C9"),
    "brass": Tones("#33270A", "#7D6322", "#BC9A42", "#E3CB7E", "#FFF7D8"),
    "gold": Tones("#3D2A05", "#926818", "#D6A536", "#F3D680", "#FFFBE4"),
    "pale gold": Tones("#33290F", "#80692F", "#C4A75B", "#E6D395", "#FFF9E2"),
    "copper-nickel": Tones("#26241F", "#6D6960", "#A5A195", "#D6D2C7", "#FBFAF5"),
    "nickel": Tones("#24231F", "#6A6861", "#A9A79E", "#DCDAD2", "#FFFEFA"),
    "silver": Tones("#24272B", "#71767C", "#B3B8BD", "#E1E5E8", "#FFFFFF"),
    "billon": Tones("#2B251D", "#70675A", "#A59B8A", "#D2C9B8", "#F8F3E8"),
    "steel": Tones("#1F252B", "#586470", "#919DA8", "#C6CFD7", "#F8FBFD"),
    "aluminium": Tones("#33383C", "#80868B", "#B7BCC0", "#DDE1E3", "#FBFCFD"),
    "zinc": Tones("#23282B", "#575E62", "#868E92", "#B0B8BB", "#E4E9EA"),
    "iron": Tones("#1A1918", "#45423F", "#706C68", "#9E9A95", "#DAD7D3"),
    "tin": Tones("#292927", "#6B6B67", "#9C9C97", "#C6C6C1", "#F1F1EC"),
    "lead": Tones("#202225", "#50545A", "#7B8087", "#A4A9AF", "#D8DCE0"),
    "platinum": Tones("#26282A", "#72767A", "#B0B3B5", "#DDDFE0", "#FFFFFF"),
}
UNKNOWN_METAL = "copper-nickel"


def known(colour: str) -> str:
    """The colour word itself, or the one an unknown metal is drawn in."""
    return colour if colour in METALS else UNKNOWN_METAL


def mixed(first: str, second: str, share: float) -> str:
    """The first colour with a share of the second."""
    pairs = ((int(first[i : i + 2], 16), int(second[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(a + (b - a) * share):02X}" for a, b in pairs)
