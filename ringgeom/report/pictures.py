"""What a person reads of the pictures that were made."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ringgeom.output.pictures import Pictures
from ringgeom.terminal import say


def tell_pictures(paths: Sequence[Path], found: Pictures) -> None:
    """Every file, and why some are drawn."""
    for path, one in zip(paths, found.pictures, strict=True):
        say(str(path) if one.rendered else f"{path} (drawn)")
    for words in found.words:
        say(f"note: {words}")
