"""Imports run one way, and the arithmetic needs no Django."""

import json
import os
import subprocess
import sys
from pathlib import Path

from tests.architecture.sources import PURE, ROOT, module_name, python_files


def test_the_contracts_of_pyproject_are_kept(tmp_path):
    linter = Path(sys.executable).parent / "lint-imports"
    done = subprocess.run(
        [linter, "--no-cache"],
        cwd=ROOT,
        env={**os.environ, "SHOPQC_HOME": str(tmp_path)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout


def test_pure_packages_import_with_no_django_on_the_machine():
    """Each in the same fresh interpreter, in which Django and its like cannot be imported."""
    modules = [
        module_name(path)
        for path in python_files("housings", "inspections")
        if module_name(path).startswith(PURE)
    ]
    assert len(modules) > 30
    program = (
        "import importlib, json, sys\n"
        "for name in ('django', 'rest_framework', 'celery', 'shopqc'):\n"
        "    sys.modules[name] = None\n"
        f"for name in {modules!r}:\n"
        "    importlib.import_module(name)\n"
        "print(json.dumps(sorted({name.split('.')[0] for name in sys.modules})))\n"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", program], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert not {"weasyprint", "redis", "psycopg", "requests"} & set(json.loads(done.stdout))
