"""A test that asserts nothing is green for no reason."""

import ast
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.architecture.sources import ROOT, python_files

# Calls that fail a test by themselves, by the last part of their name.
ASSERTING = {"raises", "warns", "published", "fail"}
ASSERTING_PREFIXES = ("assert", "check", "expect", "must", "django_assert")

TESTS = [path for path in python_files("tests") if path.name.startswith("test_")]


def names_called(function: ast.AST) -> Iterator[str]:
    for node in ast.walk(function):
        if isinstance(node, ast.Call):
            target = node.func
            yield target.attr if isinstance(target, ast.Attribute) else getattr(target, "id", "")


def asserts(function: ast.AST, asserting: set[str]) -> bool:
    return any(isinstance(node, ast.Assert) for node in ast.walk(function)) or any(
        name in asserting or name.lstrip("_").startswith(ASSERTING_PREFIXES)
        for name in names_called(function)
    )


def functions_of(source: str) -> list[ast.FunctionDef]:
    return [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.FunctionDef)]


def grown(asserting: set[str], functions: list[ast.FunctionDef]) -> set[str]:
    """With the functions that call one that asserts, until nothing more is found."""
    more = {function.name for function in functions if asserts(function, asserting)} - asserting
    return grown(asserting | more, functions) if more else asserting


@cache
def shared() -> frozenset[str]:
    """Functions of the test packages that assert for the tests that call them."""
    tools = [path for path in python_files("tests") if not path.name.startswith("test_")]
    functions = [function for path in tools for function in functions_of((ROOT / path).read_text())]
    return frozenset(grown(set(ASSERTING), functions))


def functions_without_assertion(source: str, known: Iterable[str] = ASSERTING) -> list[str]:
    functions = functions_of(source)
    asserting = grown(set(known), functions)
    return [
        function.name
        for function in functions
        if function.name.startswith("test_") and not asserts(function, asserting)
    ]


@pytest.mark.parametrize("path", TESTS, ids=str)
def test_every_test_asserts_something(path: Path):
    assert functions_without_assertion((ROOT / path).read_text(), shared()) == []


def test_the_check_itself_sees_an_empty_test_and_follows_calls():
    source = "def same(a):\n    assert a\ndef test_a():\n    same(1)\ndef test_b():\n    same\n"
    assert functions_without_assertion(source) == ["test_b"]


def test_no_test_file_is_missed_by_its_name():
    """pytest collects test_*.py; a file with tests under another name would never run."""
    stray = [
        str(path)
        for path in python_files("tests")
        if not path.name.startswith("test_") and "\ndef test_" in (ROOT / path).read_text()
    ]
    assert stray == []
