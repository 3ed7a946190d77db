"""How long to wait before something may be tried again.

Computed: seconds of waiting after the nth try. The first tries are free; from then on the wait
doubles with each, up to a longest one. Common practice against guessing, no source; the figures
are chosen in slowing.py.

>>> [wait_after(n, free=5, first=30, longest=900) for n in (1, 4, 5, 6, 7, 10, 11, 500)]
[0, 0, 30, 60, 120, 900, 900, 900]
"""

from __future__ import annotations

_ENOUGH = 40  # doublings: more than any wait there is


def wait_after(tries: int, *, free: int, first: int, longest: int) -> int:
    """Seconds from the nth try until the next; ``free`` tries are taken before there is any."""
    if tries < free:
        return 0
    doubled: int = first * 2 ** min(tries - free, _ENOUGH)
    return min(doubled, longest)
