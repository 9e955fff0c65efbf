"""What each file of a job is for, in a few words."""

from __future__ import annotations

from fnmatch import fnmatch

WORDS = (
    ("wax/*.stl", "pattern of one part, to print; already scaled, do not scale again"),
    ("*_wax-plate_mm.3mf", "all patterns set apart on one plate, for a printer"),
    ("*_assembly_mm.3mf", "the finished ring, its parts in place, to look at"),
    ("*_try-on_mm_not-scaled.stl", "the band in one piece at finished size, to try on in plastic"),
    ("*_bench-sheet_*.pdf", "the bench sheet, to work from"),
    ("*_card_*.pdf", "the client's card"),
    ("*_section.svg", "the cut section with its measures"),
    ("templates/*.pdf", "templates at true scale, to print at 100 % and wrap round"),
    ("templates/*_outside_mm.*", "the outside unrolled, for an engraver or a laser"),
    ("templates/*_bore_mm.*", "the bore unrolled, for an engraver or a laser"),
    ("pictures/*", "a picture in the predicted colours"),
    ("weights.csv", "the weights, for a spreadsheet"),
    ("job.json", "every number of the job, for scripts and to make it again"),
)
"""The first that fits counts."""


def file_words(name: str) -> str:
    """What a file is for, by its path in the job's folder."""
    return next((words for pattern, words in WORDS if fnmatch(name, pattern)), "")
