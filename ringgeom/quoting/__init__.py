"""The quote of a job; of every ring of a grid in `many`."""

from ringgeom.quoting.ring import grams_and_minutes, quote, work

__all__ = ["grams_and_minutes", "quote", "work"]
