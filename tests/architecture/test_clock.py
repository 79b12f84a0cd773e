"""Nothing below the doors asks the clock: the moment comes in as ``at``."""

import ast

from tests.architecture.sources import ROOT, python_files

DOORS = {"pages", "api", "tasks", "management", "admin", "forms", "page_forms"}
# Where the shop's own door-like parts stand as single files.
DOOR_FILES = {"shopqc/authentication.py", "shopqc/middleware.py", "shopqc/api_views.py", "shopqc/doors.py"}
CLOCKS = {
    ("timezone", "now"),
    ("datetime", "now"),
    ("datetime", "utcnow"),
    ("date", "today"),
    ("time", "time"),
}


def readings_of_a_clock(source: str) -> list[int]:
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and (getattr(node.func.value, "attr", getattr(node.func.value, "id", "")), node.func.attr) in CLOCKS
    ]


def test_only_doors_ask_the_clock():
    found = {}
    for path in python_files("shopqc", "housings", "inspections"):
        layers = {part.removesuffix(".py") for part in path.parts}
        if layers & DOORS or str(path) in DOOR_FILES:
            continue
        if lines := readings_of_a_clock((ROOT / path).read_text()):
            found[str(path)] = lines
    assert found == {}


def test_the_check_itself_sees_a_clock():
    assert readings_of_a_clock("import datetime\nx = datetime.datetime.now()\ny = now()\n") == [2]
