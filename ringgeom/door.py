"""The program's door: interrupted while it is still loading, it ends as quietly as later."""

from __future__ import annotations

import sys

INTERRUPTED = 130
"""What a shell says of a program that Ctrl-C has ended."""


def main() -> None:
    """Load the commands and run one."""
    try:
        from ringgeom.cli import main as run

        run()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
