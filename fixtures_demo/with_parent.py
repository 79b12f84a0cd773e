"""Becomes a module that ends when its parent does: ``python -m fixtures_demo.with_parent PID MODULE …``.

A demo that is killed (``kill -9``, a closed terminal, the machine short of memory) cannot stop its web server
and its worker. Linux tells a process that its parent has died, if it asked for that; elsewhere nothing is
asked for, and nothing is lost but this.
"""

from __future__ import annotations

import ctypes
import os
import signal
import sys

# <sys/prctl.h>; kept over execve.
PR_SET_PDEATHSIG = 1


def end_with(parent: int) -> bool:
    """Have this process asked to end once its parent, whose id is ``parent``, is no more.

    Whether the system could promise it.
    """
    if not sys.platform.startswith("linux"):
        return False
    promised = ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGTERM, 0, 0, 0) == 0
    # It may have died before it was asked for.
    if os.getppid() != parent:
        sys.exit(1)
    return promised


def main(arguments: list[str]) -> None:
    """Become the module that is named, with its arguments."""
    parent, *module = arguments
    end_with(int(parent))
    os.execv(sys.executable, [sys.executable, "-m", *module])


if __name__ == "__main__":
    main(sys.argv[1:])
