"""Checks against values from outside the project, each counted by where it comes from.

One call is one value: a centre given as two coordinates, or a whole table compared at once, counts once,
and the same value checked by several tests counts once.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import Any, Literal

Kind = Literal["published", "memory", "derived"]
Line = tuple[str, str, str, str]
"""Kind, source, place, value: plain text, so that a worker process can hand it back."""


@dataclass(frozen=True)
class Source:
    """Where a value was read.

    `name` says who and what ("ASME B1.1"), `edition` which ("2003"), `place` where in it ("table 3A").
    """

    name: str
    edition: str
    place: str

    def at(self, place: str) -> "Source":
        """The same source at another place."""
        return Source(self.name, self.edition, place)

    def __str__(self) -> str:
        return ", ".join(part for part in (self.name, self.edition, self.place) if part)


seen: set[Line] = set()


def published(
    source: Source, actual: Any, expected: Any, *, tolerance: Any = None, kind: Kind = "published"
) -> None:
    """Assert that `actual` is what `source` gives, and count the value.

    Parameters
    ----------
    expected : str, number or nested sequence of them
        Text such as ``"0.0067"`` is the number as printed; any other text must be equal.
    tolerance : number, optional
        Absolute. By default a printed number agrees within half a unit of its last digit, all else exactly.
    kind : {"published", "memory", "derived"}
        ``"memory"``: known, but not read in the source; ``"derived"``: computed from a cited formula,
        published nowhere, so it only guards against change.
    """
    for place, got, wanted in _pairs("", actual, expected):
        if not _agree(got, wanted, tolerance):
            raise AssertionError(f"{source}{place}: expected {wanted!r} (tolerance {tolerance}), got {got!r}")
    seen.add((kind, f"{source.name}, {source.edition}", source.place, repr(expected)))


def sentence(lines: Iterable[Line]) -> str:
    """What the end of a test run says about the counted values.

    >>> sentence({("published", "A", "p. 1", "1"), ("published", "A", "p. 1", "2"), ("memory", "B", "", "3")})
    'published values checked: 2 over 1 sources (largest 2 from one source); from memory: 1; derived: 0'
    """
    kinds: Counter[str] = Counter()
    sources: Counter[str] = Counter()
    for kind, source, _, _ in set(lines):
        kinds[kind] += 1
        if kind == "published":
            sources[source] += 1
    return (
        f"published values checked: {kinds['published']} over {len(sources)} sources "
        f"(largest {max(sources.values(), default=0)} from one source); "
        f"from memory: {kinds['memory']}; derived: {kinds['derived']}"
    )


def _pairs(place: str, actual: Any, expected: Any) -> Iterable[tuple[str, Any, Any]]:
    if isinstance(expected, str) or not hasattr(expected, "__len__"):
        yield place, actual, expected
        return
    assert len(actual) == len(expected), f"{len(expected)} values expected, {len(actual)} given"
    for index, (got, wanted) in enumerate(zip(actual, expected, strict=True)):
        yield from _pairs(f"{place}[{index}]", got, wanted)


def _agree(actual: Any, expected: Any, tolerance: Any) -> bool:
    printed = _as_printed(expected)
    if printed is not None:
        if tolerance is None:
            tolerance = Fraction(10) ** int(printed.as_tuple().exponent) / 2
        expected = Fraction(printed)
    if tolerance is None:
        return bool(actual == expected)
    return abs(Fraction(actual) - Fraction(expected)) <= Fraction(tolerance)


def _as_printed(expected: Any) -> Decimal | None:
    if not isinstance(expected, str | Decimal):
        return None
    try:
        printed = Decimal(expected)
    except InvalidOperation:
        return None
    return printed if printed.is_finite() else None
