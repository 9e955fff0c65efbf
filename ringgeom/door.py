"""The program's door: interrupted while it is still loading, it ends as quietly as later."""

from __future__ import annotations

import signal
import sys

INTERRUPTED = 130
"""What a shell says of a program that Ctrl-C has ended."""

FROM_OUTSIDE = ("SIGTERM", "SIGHUP")
"""The system shuts down, or the window is closed; not every system has both."""


class Ended(BaseException):
    """The system asked the program to end; what is half done is taken back on the way out."""


def main() -> None:
    """Load the commands and run one."""
    asked: list[int] = []

    def end(number: int, frame: object) -> None:
        # its number is kept here: what sets pages writes remarks into exceptions on their way
        asked.append(number)
        raise Ended

    try:
        for name in FROM_OUTSIDE:
            number = getattr(signal, name, None)
            # what was told to be ignored, as by nohup, stays so
            if number is not None and signal.getsignal(number) is signal.SIG_DFL:
                signal.signal(number, end)
        from ringgeom.cli import main as run

        run()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except Ended:
        sys.exit(128 + asked[0])
