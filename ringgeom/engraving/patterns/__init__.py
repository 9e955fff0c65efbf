"""Patterns of our own drawing: a few parameters in, shapes that close round the ring out."""

from ringgeom.engraving.patterns.brushed import Brushed
from ringgeom.engraving.patterns.hammered import Hammered
from ringgeom.engraving.patterns.hatch import Hatch
from ringgeom.engraving.patterns.milgrain import Milgrain
from ringgeom.engraving.patterns.pattern import Cut, Pattern
from ringgeom.engraving.patterns.rope import Rope
from ringgeom.engraving.patterns.scales import Scales
from ringgeom.engraving.patterns.vine import Vine

PATTERNS = (Milgrain, Hatch, Rope, Vine, Scales, Hammered, Brushed)
"""Every pattern, in the order they are told of."""

AnyPattern = Milgrain | Hatch | Rope | Vine | Scales | Hammered | Brushed

__all__ = ["PATTERNS", "AnyPattern", "Cut", "Pattern"]
