"""Draw a coin on paper: from its record, in flat tints, true to scale.

The drawing is that of the screen (:func:`series.drawing.coin`, one unit a millimetre), without
its gradients and its shadow: WeasyPrint writes a gradient as a tiling pattern, of which common
viewers draw only a corner at some sizes. Each metal is printed in one tint of its own.

>>> "url(" in printed_coin(Drawn(24.25, colour="brass", text="50"))
False
"""

from __future__ import annotations

import re

from series.drawing import METALS, Drawn, coin

_TINTS = {name.replace(" ", "-"): tones for name, tones in METALS.items()}
_SHADOW = re.compile(r'<(?:circle|path)[^>]*fill="#000000"[^>]*/>')
_SHEEN = re.compile(r'<(?:circle|path)[^>]*fill="url\(#coin-(?:dish|toned)\)"[^>]*/>')
_METAL = re.compile(r'fill="url\(#coin-([a-z-]+)\)"')


def printed_coin(drawn: Drawn, scale: float = 1.0) -> str:
    """SVG markup of a coin centred on (0, 0), in mm of paper; ``scale`` 0.5 draws it at 1:2."""
    markup = _SHEEN.sub("", _SHADOW.sub("", coin(drawn, scale)))
    return _METAL.sub(lambda found: f'fill="{_TINTS[found[1]].body}"', markup)
