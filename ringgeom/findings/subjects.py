"""The subjects in the order in which they are judged."""

from __future__ import annotations

from ringgeom.findings import (
    on_casting,
    on_colour,
    on_engraving,
    on_figure_lines,
    on_figure_places,
    on_figures,
    on_form,
    on_gaps,
    on_inlays,
    on_inset_lines,
    on_inset_places,
    on_insets,
    on_joining,
    on_lettering,
    on_marks,
    on_melts,
    on_metal,
    on_overlap,
    on_places,
    on_section,
    on_size,
    on_walls,
)

FIRST = (on_size, on_form, on_metal)
"""Judged by what was asked, whatever else is wrong."""

ASKED = (on_places, on_inlays, on_gaps, on_overlap, on_lettering, on_figures, on_insets)
"""Judged by what was asked, unless the band itself is in the wrong unit."""

FORMED = (on_section, on_walls, on_engraving, on_figure_places, on_inset_places)
"""Judged by the form alone, unless anything asked for stops it."""

LAID = (on_joining, on_casting, on_colour, on_melts, on_marks, on_figure_lines, on_inset_lines)
"""Judged by the ring with all that is made for it, after its form."""

WRONG_UNIT = ("looks-like-inches", "too-small")
"""Codes of a band in the wrong unit."""
