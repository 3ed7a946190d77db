"""The arrays of a dataclass by name, so that they can be kept on disk together, and picked again.

What is computed: names of fields behind a prefix. Units: none. Source: none needed.

>>> from dataclasses import dataclass
>>> @dataclass
... class Pair:
...     rows: Arrays
...     name: str = "x"
>>> kept = arrays_of("metal.", Pair(np.array([4, 5])))
>>> kept, under("metal.", kept)
({'metal.rows': array([4, 5])}, {'rows': array([4, 5])})
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

Arrays = dict[str, NDArray[Any]]
Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Whole = NDArray[np.integer]
Mask = NDArray[np.bool_]


def arrays_of(prefix: str, thing: Any) -> Arrays:
    """The arrays among a dataclass's fields."""
    named = {field.name: getattr(thing, field.name) for field in fields(thing)}
    return {f"{prefix}{name}": each for name, each in named.items() if isinstance(each, np.ndarray)}


def under(prefix: str, arrays: Mapping[str, NDArray[Any]]) -> Arrays:
    """Those whose names begin with the prefix, without it."""
    return {
        name.removeprefix(prefix): each for name, each in arrays.items() if name.startswith(prefix)
    }
