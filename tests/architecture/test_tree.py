"""The house keeps its shape: what may stand at the top, how files are called, how long they get."""

import pytest

from tests.architecture.sources import ROOT, files, python_files

TOP = {
    ".ci",
    ".gitignore",
    "DEVELOPERS.md",
    "LICENSE",
    "Makefile",
    "README.md",
    "fixtures_demo",
    "housings",
    "inspections",
    "manage.py",
    "pyproject.toml",
    "requirements.txt",
    "shopqc",
    "tests",
}
# Names that say nothing about what is inside.
VAGUE = {
    "utils",
    "util",
    "helpers",
    "helper",
    "common",
    "managers",
    "services",
    "misc",
    "lib",
    "core",
    "base",
}


def test_the_top_holds_what_the_map_names_and_nothing_else():
    assert {path.parts[0] for path in files()} <= TOP


def test_no_name_is_vague():
    names = {part.removesuffix(".py") for path in files() for part in path.parts}
    # What a test harness brings up are services in the plain sense of the word.
    allowed = {path.stem for path in files() if path.parts[:2] == ("tests", "harness")}
    assert not (names - allowed) & VAGUE


@pytest.mark.parametrize(
    ("tops", "budget"), [(("shopqc", "housings", "inspections"), 400), (("tests",), 600)]
)
def test_no_file_outgrows_its_budget(tops, budget):
    """A file past it usually holds two ideas."""
    lengths = {str(path): len((ROOT / path).read_text().splitlines()) for path in python_files(*tops)}
    assert {path: length for path, length in lengths.items() if length > budget} == {}


def test_the_clone_holds_no_big_file():
    """Half a megabyte is a picture; more is a thing that belongs elsewhere."""
    assert [str(path) for path in files() if (ROOT / path).stat().st_size > 800_000] == []
