"""The pure packages need no Django, so that a rule can be tried at a prompt and reused anywhere."""

import subprocess
import sys

import pytest


@pytest.mark.parametrize(
    "module",
    [
        "housings.engineering.serials",
        "housings.engineering.stations",
        "housings.engineering.route_rules",
        "housings.engineering.fit_rules",
        "inspections.default_plan",
    ],
)
def test_it_is_imported_where_there_is_no_django(module):
    code = f"import sys; sys.modules['django'] = None; import {module}"
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
