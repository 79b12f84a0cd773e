"""Every example in a docstring of the package says what really comes out."""

import doctest
import importlib
import pkgutil

import pytest

from inspections import metrology

MODULES = sorted(module.name for module in pkgutil.iter_modules(metrology.__path__))


@pytest.mark.parametrize("name", MODULES)
def test_examples_are_true(name: str) -> None:
    module = importlib.import_module(f"{metrology.__name__}.{name}")
    assert doctest.testmod(module).failed == 0


def test_public_functions_have_examples() -> None:
    finder = doctest.DocTestFinder()
    functions = [getattr(metrology, name) for name in metrology.__all__ if name.islower()]
    without = [
        function.__name__
        for function in functions
        if not any(test.examples for test in finder.find(function, function.__name__))
    ]
    assert without == []
