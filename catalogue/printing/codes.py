"""Draw a QR code as SVG, to be printed on a label.

Made by segno at error correction M, with the quiet zone of 4 modules that ISO/IEC 18004 asks
for, each run of dark modules as one stroke. The markup is centred on (0, 0), in mm.

>>> markup = qr_markup("https://coins.example/holdings/7/", side=15)
>>> markup.startswith('<path transform="translate(-7.5 -7.5) scale(0.4054')
True
"""

from __future__ import annotations

from itertools import groupby

import segno

from series.text.words import number

QUIET = 4


def qr_markup(content: str, side: float) -> str:
    """SVG markup of the code; ``side`` in mm includes the quiet zone.

    Raises segno's DataOverflowError for more than about 2,300 characters.
    """
    matrix = segno.make_qr(content, error="m", boost_error=False).matrix
    scale = side / (len(matrix) + 2 * QUIET)
    runs = []
    for y, row in enumerate(matrix, QUIET):
        x = QUIET
        for dark, modules in groupby(row):
            length = len(list(modules))
            if dark:
                runs.append(f"M{x} {y}.5h{length}")
            x += length
    corner = number(-side / 2, 4)
    return (
        f'<path transform="translate({corner} {corner}) scale({scale:.5f})" '
        f'd="{"".join(runs)}" stroke="#000000"/>'
    )
