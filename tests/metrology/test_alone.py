"""The package stands alone: no Django, no settings, only the standard library, numpy and scipy."""

import subprocess
import sys


def test_it_is_imported_without_django() -> None:
    program = (
        "import sys, inspections.metrology as metrology\n"
        "for name in metrology.__all__: getattr(metrology, name)\n"
        "own = {'django', 'rest_framework', 'celery', 'shopqc', 'housings', 'inspections.models'}\n"
        "print(sorted(own & set(sys.modules)))"
    )
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "[]"
