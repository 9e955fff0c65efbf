"""The program's door: interrupted while it is still loading, it ends as quietly as later."""

from __future__ import annotations

import signal
import sys

INTERRUPTED = 130
"""What a shell says of a program that Ctrl-C has ended."""

FROM_OUTSIDE = ("SIGTERM", "SIGHUP")
"""The system shuts down, or the window is closed; not every system has both."""


def main() -> None:
    """Load the commands and run one."""
    try:
        for name in FROM_OUTSIDE:
            number = getattr(signal, name, None)
            # what was told to be ignored, as by nohup, stays so
            if number is not None and signal.getsignal(number) is signal.SIG_DFL:
                signal.signal(number, _end)
        from ringgeom.cli import main as run

        run()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)


def _end(number: int, frame: object) -> None:
    """End as if by itself: what is half done is taken back on the way out."""
    sys.exit(128 + number)
