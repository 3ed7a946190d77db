"""Metal as an SVG shows it: gradients on screen, and on paper inks laid one on another.

What is computed: markup and colours from the tones of :mod:`series.picture.metals`. Some PDF
readers fail on gradients inside patterns, so paper gets :func:`layers` in place of :func:`defs`.
Chosen by eye, no source.

>>> gradient("pale gold"), defs(["brass", "brass"]).count('id="coin-brass"')
('coin-pale-gold', 1)
>>> layers("silver")[0], len(layers("silver"))
('#858A90', 26)
"""

from __future__ import annotations

from collections.abc import Iterable

from series.picture.metals import METALS, known, mixed
from series.text.words import number


def defs(colours: Iterable[str]) -> str:
    """A ``<defs>`` element with the gradients for these colour words, each once.

    What :func:`series.picture.drawing.coin` draws refers to them by id (:func:`gradient`).
    """
    names = sorted({known(colour) for colour in colours})
    return (
        "<defs>"
        + "".join(_metal_gradient(name) for name in names)
        + '<radialGradient id="coin-dish" cx="0.62" cy="0.7" r="0.72">'
        + _stop(0, "#FFFFFF", 0.28)
        + _stop(0.55, "#FFFFFF", 0)
        + _stop(0.75, "#000000", 0.02)
        + _stop(1, "#000000", 0.2)
        + "</radialGradient></defs>"
    )


def _metal_gradient(name: str) -> str:
    metal = METALS[name]
    return (
        f'<radialGradient id="{gradient(name)}" cx="0.36" cy="0.28" r="0.82" fx="0.33" fy="0.24">'
        + _stop(0, mixed(metal.light, metal.shine, 0.35))
        + _stop(0.22, metal.light)
        + _stop(0.6, metal.body)
        + _stop(0.86, mixed(metal.body, metal.shade, 0.6))
        + _stop(1, metal.shade)
        + "</radialGradient>"
    )


def _stop(offset: float, colour: str, opacity: float = 1.0) -> str:
    seen = f' stop-opacity="{number(opacity)}"' if opacity < 1 else ""
    return f'<stop offset="{number(offset)}" stop-color="{colour}"{seen}/>'


def gradient(colour: str) -> str:
    """The id of the gradient of a metal."""
    return "coin-" + known(colour).replace(" ", "-")


def layers(colour: str) -> list[str]:
    """Inks for a printed metal, from the shaded edge to the bright middle."""
    metal = METALS[known(colour)]
    steps = 26
    stops = (
        mixed(metal.body, metal.shade, 0.7),
        metal.body,
        metal.light,
        mixed(metal.light, metal.shine, 0.4),
    )
    inks = []
    for k in range(steps):
        along = k / (steps - 1) * (len(stops) - 1)
        first = min(int(along), len(stops) - 2)
        inks.append(mixed(stops[first], stops[first + 1], along - first))
    return inks
