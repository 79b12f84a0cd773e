"""The composition of a steel as mill certificates and people write it: percent by mass of each element."""

import re
from collections.abc import Mapping

from .carbon_equivalent import carbon_equivalent

__all__ = ["CompositionProblem", "composition_from", "tidy_composition"]

MOST_ELEMENTS, LONGEST = 40, 2000
_SYMBOL = re.compile(r"[A-Za-z]{1,2}(?![A-Za-z])")
_NUMBER = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,6})?(?![0-9.,]*[0-9])|[.,][0-9]{1,6}(?![0-9.,]*[0-9])")
# What stands between: an equals sign, a bound ("<0.005" counts as 0.005), percent signs, separators of cells.
_BETWEEN = re.compile(r"[\s:=;|/<≤%]+|,(?![0-9])")


class CompositionProblem(ValueError):
    """A composition that cannot be read or cannot be; the message is a sentence for people."""


def composition_from(text: str) -> dict[str, str]:
    """Percent by symbol from what was typed or pasted; numbers as text with a point.

    Takes "C 0.30 Mn 0.50", one element a line, a decimal comma, a bound ("P <0.005" is 0.005), and two lines
    of a table, symbols over figures. Empty text is no composition.

    Raises
    ------
    CompositionProblem
        For what is neither, for an element that stands twice, and for all that `tidy_composition` refuses.

    >>> composition_from("C 0,30; Mn=0.50 %, Cr: .95")
    {'C': '0.30', 'Mn': '0.50', 'Cr': '0.95'}
    >>> composition_from("C Mn P\\n0.30 0.50 <0.010")
    {'C': '0.30', 'Mn': '0.50', 'P': '0.010'}
    """
    if len(text) > LONGEST:
        raise CompositionProblem(f"A composition has at most {LONGEST} characters.")
    symbols, numbers = [], []
    order = ""
    place = 0
    while place < len(text):
        if found := _BETWEEN.match(text, place):
            place = found.end()
            continue
        if found := _SYMBOL.match(text, place):
            symbols.append(found[0].capitalize())
            order += "s"
        elif found := _NUMBER.match(text, place):
            numbers.append(found[0])
            order += "n"
        else:
            said = text[place : place + 20].split()[0]
            raise CompositionProblem(f"“{said}” is neither a chemical symbol nor a percentage such as 0.30.")
        place = found.end()
    pairs = len(symbols)
    if pairs != len(numbers) or order not in {"sn" * pairs, "s" * pairs + "n" * pairs}:
        raise CompositionProblem("Write each symbol with its percentage, such as C 0.30 Mn 0.50.")
    twice = sorted({symbol for symbol in symbols if symbols.count(symbol) > 1})
    if twice:
        raise CompositionProblem(f"{twice[0]} stands twice.")
    return tidy_composition(dict(zip(symbols, numbers, strict=True)))


def tidy_composition(given: Mapping[str, object]) -> dict[str, str]:
    """Percent by symbol as it is kept: text with a point.

    Raises
    ------
    CompositionProblem
        For what is no percentage, an unknown symbol, no carbon, more than 100 % in all.

    >>> tidy_composition({"C": "0,30", "Mn": 0.5})
    {'C': '0.30', 'Mn': '0.5'}
    """
    if len(given) > MOST_ELEMENTS:
        raise CompositionProblem(f"A composition names at most {MOST_ELEMENTS} elements.")
    kept = {}
    for symbol, value in given.items():
        text = "" if isinstance(value, bool) else str(value).strip()
        if not _NUMBER.fullmatch(text):
            raise CompositionProblem(f"{symbol[:20]}: “{text[:20]}” is no percentage such as 0.30.")
        text = text.replace(",", ".")
        kept[symbol] = f"0{text}" if text.startswith(".") else text
    if kept:
        try:
            carbon_equivalent(kept)
        except ValueError as error:
            sentence = str(error)
            raise CompositionProblem(sentence[:1].upper() + sentence[1:]) from None
    return kept
