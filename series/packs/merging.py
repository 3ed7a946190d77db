"""Bring a stored record up to its pack without losing a curator's own edits.

What is computed: of three flat records (see ``series.entries.flat``) - what the pack gave
last time, what is stored, what the pack gives now - the values to store, and the edits kept. A
three-way merge, path by path; common practice of version control, no source.

>>> loaded = {"name": "net", "note": "", "mass_g": "5.4"}
>>> stored = {"name": "fishing net", "note": "", "mass_g": "5.4"}
>>> merge(loaded, stored, {"name": "net", "note": "rare", "mass_g": "5.5"})
Merged(changed={'note': 'rare', 'mass_g': '5.5'}, gone=(), kept=(KeptPath(path='name', \
pack='net', here='fishing net'),))
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class KeptPath:
    """A curator's edit that stays: what the pack says, and what stands here instead."""

    path: str
    pack: Any
    here: Any


@dataclass(frozen=True)
class Merged:
    """``changed`` are the paths to store anew, ``gone`` those to take out."""

    changed: dict[str, Any]
    gone: tuple[str, ...]
    kept: tuple[KeptPath, ...]


class _Absent:
    def __repr__(self) -> str:
        return "nothing"


ABSENT = _Absent()
"""What a path holds that is not there, such as a rung taken out."""


def merge(loaded: Mapping[str, Any], stored: Mapping[str, Any], new: Mapping[str, Any]) -> Merged:
    """What to store. An edit that the pack has caught up with is no edit any more.

    A path that the pack never gave before is filled where it is empty; where it is not, what is
    stored is taken for an edit. What the pack never spoke of is an addition, and none of its own.
    """
    changed: dict[str, Any] = {}
    gone: list[str] = []
    kept: list[KeptPath] = []
    for path in dict.fromkeys((*new, *loaded)):
        before, here, now = (each.get(path, ABSENT) for each in (loaded, stored, new))
        if here == now:
            continue
        if before == here or (before is ABSENT and _is_empty(here)):
            if now is ABSENT:
                gone.append(path)
            else:
                changed[path] = now
        else:
            kept.append(KeptPath(path, now, here))
    return Merged(changed, tuple(gone), tuple(kept))


def _is_empty(value: Any) -> bool:
    return value is None or value == "" or value == []
