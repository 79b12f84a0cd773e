"""Which few points can hold a minimum zone: every way to pick two pairs, or three points, out of k."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

IndexArray = NDArray[np.intp]


class Pairs(NamedTuple):
    """Pairs of points and pairs of such pairs, as index arrays.

    `first`, `second`: the two points of each pair. `one`, `other`: the two pairs of each candidate; they
    share no point, or their first one (so each triple of points appears exactly once).
    """

    first: IndexArray
    second: IndexArray
    one: IndexArray
    other: IndexArray


@lru_cache(maxsize=64)
def pairs_of(k: int) -> Pairs:
    """All candidates among k points.

    Examples
    --------
    >>> len(pairs_of(4).one)  # 4 triples and 3 disjoint pairs of pairs
    7
    """
    first, second = np.triu_indices(k, 1)
    one, other = np.triu_indices(len(first), 1)
    shared = (first[one] == second[other]) | (second[one] == first[other]) | (second[one] == second[other])
    return Pairs(first, second, one[~shared], other[~shared])
