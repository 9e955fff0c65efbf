"""Designs that a grid must get right, beside the examples: one for each way a size can matter."""

from __future__ import annotations

from pathlib import Path

from ringgeom.design import Design, design_from_text, read_design

FOLDER = Path(__file__).parents[2] / "designs"

BAND = """\
[job]
name = "Wren"
[ring]
size = "US 7"
width_mm = 6.0
thickness_mm = 2.2
outside = { form = "domed", rise_mm = 0.3 }
edge_mm = 0.2
"""
BODY = '[body]\nalloy = "gold-750-yellow-3n"\n'
REED = (
    '[[part]]\nname = "reed"\nplace = "channel"\nalloy = "gold-750-green"\n'
    "width_mm = 2.0\ndepth_mm = 0.8\ngap_mm = 0.05\n"
)
WAVE = "wave = { amplitude_mm = 0.6, count = 5 }\n"
LINING = (
    '[[part]]\nname = "lining"\nplace = "liner"\nalloy = "silver-925"\n'
    "thickness_mm = 0.8\ngap_mm = 0.03\n"
)
BRICKS = (
    '[[part]]\nname = "brick"\nplace = "segments"\nalloys = ["silver-925", "gold-750-red-5n"]\n'
    "gap_mm = 0.05\n"
)

LETTERS = (
    '[[engraving]]\nkind = "lettering"\ntext = "EVER AFTER"\nheight_mm = 1.6\ndepth_mm = 0.2\n'
)

TEXTS = {
    "plain": BAND + BODY,
    "undercut, waving, lined": f"{BAND}{BODY}{LINING}{REED}"
    f"centre_mm = 0.3\nundercut_mm = 0.1\n{WAVE}",
    "split body": f'{BAND}{BODY}{REED}route = "split body"\n',
    "stretched": f'{BAND}{BODY}{REED.replace("0.8", "0.5")}route = "stretch"\n',
    "wrapped": f'{BAND}{BODY}{REED}route = "wrap and seam"\nseam_mm = 0.1\n',
    "pressed": f"{BAND}{BODY}{LINING.replace('0.03', '-0.02')}",
    "slanted bricks under a reed": f"{BAND}{REED}{BRICKS}count = 8\nslant_deg = 20\n",
    # more than six of an alloy hang on a stem, which is longer the larger the ring
    "many bricks": f"{BAND}{BRICKS}count = 30\n",
    # shorter than metal runs well on small fingers only
    "small bricks": f"{BAND}{BODY}{BRICKS}count = 60\ndepth_mm = 0.8\n",
    # the gap narrows below the limit on small fingers only
    "steep wave": f"{BAND}{BODY}{REED.replace('0.05', '{ side = 0.03 }')}"
    "wave = { amplitude_mm = 0.6, count = 12 }\n",
    "no body": BAND + REED,
    # room for marks beside it on large fingers only; over the reed's wall on the outside
    "lettered": f"{BAND}{BODY}{REED}{LETTERS}repeat = 3\n"
    f'{LETTERS}on = "outside"\ncentre_mm = 1.0\nmade = "cast"\n',
}
"""Where every size has one section, or a segment of it."""

BEADS = '[[engraving]]\nkind = "pattern"\npattern = "milgrain"\n'
BY_ITSELF = {
    "lettered bricks": f'{BAND}{BRICKS}count = 9\n{LETTERS}on = "outside"\n',
    "beaded": f"{BAND}{BODY}{BEADS}",
    "waving and wrapped": f'{BAND}{BODY}{REED}{WAVE}route = "wrap and seam"\nseam_mm = 0.1\n',
    "bricks under a wave": f"{BAND}{REED}{WAVE}{BRICKS}count = 4\n",
}
"""Walls that wave beside segments, figures fitted to the ring: every size is laid out by itself."""

DRAWN = ("curlew", "linnet", "rowan")
"""Examples laid out by themselves at every size: figures are fitted anew; the seam of a strip in a
tapered band takes another share of it."""

EXAMPLES = tuple(sorted(path.stem for path in FOLDER.glob("*.toml")))


def design_named(name: str) -> Design:
    """A design of this file, or an example."""
    text = {**TEXTS, **BY_ITSELF}.get(name)
    return read_design(FOLDER / f"{name}.toml") if text is None else design_from_text(text)
