"""The parts of README.md and DEVELOPERS.md that are written from the code.

Each stands between two marks, ``<!-- written: name -->`` and ``<!-- end -->``;
`manage.py write_docs` writes them again, and `make check` fails if they differ.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping

from shopqc.people import MAY, ROLES, SCOPES
from shopqc.refusals import KINDS
from shopqc.rules import RULES

SECTIONS: dict[str, Callable[[], str]] = {}
MARKED = re.compile(r"(<!-- written: (?P<name>[a-z ]+) -->\n).*?(<!-- end -->)", re.DOTALL)


def section(name: str) -> Callable[[Callable[[], str]], Callable[[], str]]:
    """Register a function that writes one part."""

    def register(write: Callable[[], str]) -> Callable[[], str]:
        SECTIONS[name] = write
        return write

    return register


def rewritten(text: str) -> str:
    """A document with every marked part written again.

    Raises
    ------
    KeyError
        A mark names a part that nobody writes.
    """
    return MARKED.sub(lambda found: found[1] + SECTIONS[found["name"]]() + found[3], text)


def table(head: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    """A table of Markdown."""
    head = list(head)
    lines = [f"| {' | '.join(head)} |", f"|{'---|' * len(head)}"]
    lines += [f"| {' | '.join(str(cell) for cell in row)} |" for row in rows]
    return "\n".join(lines) + "\n"


@section("rights")
def _rights() -> str:
    def row(name: str) -> list[str]:
        right = MAY[name]
        marks = ["●" if role in right.roles else "" for role in ROLES]
        scope = f"`{right.scope}`" + (" alone" if right.key_alone else "") if right.scope else ""
        return [f"`{name}`", *marks, scope]

    return table(["operation", *map(str, ROLES.values()), "API key"], map(row, MAY))


@section("scopes")
def _scopes() -> str:
    return table(["scope", "lets a key"], ([f"`{scope}`", words] for scope, words in SCOPES.items()))


@section("refusals")
def _refusals() -> str:
    rows = sorted((kind.status, code, str(kind.sentence)) for code, kind in KINDS.items())
    return table(["status", "code", "sentence"], ([s, f"`{c}`", words] for s, c, words in rows))


@section("rules")
def _rules() -> str:
    rows = (
        [f"`{code}`", rule.asks, "yes" if rule.from_start else "no", rule.when_off]
        for code, rule in sorted(RULES.items())
    )
    return table(["rule", "asks", "in use from the start", "what the certificate says while it is not"], rows)


def diagram(name: str, may_become: Mapping[str, frozenset[str]]) -> str:
    """A table of states as text: what may become what."""
    lines = [f"{name}:"]
    lines += [
        f"  {before} -> {', '.join(sorted(after)) or 'nothing, it ends here'}"
        for before, after in may_become.items()
    ]
    return "```\n" + "\n".join(lines) + "\n```\n"
