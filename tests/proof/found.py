"""Designs that a long random run has found fault with, each mended since; most cut down."""

from __future__ import annotations

LENIENT = {
    "limits": {
        "floor_stop_mm": 0.1, "rail_stop_mm": 0.1, "wire_stop_mm": 0.1, "press_stop_mm": 0.1,
        "feather_mm": 0.01,
    }
}  # fmt: skip

FOUND: dict[str, tuple[dict, dict]] = {
    # corners of a carved solid lay a nanometre apart on either side of a line of the welding
    # grid: one corner in a file of 32-bit numbers, so that the file was open there
    "corners that a file makes one": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "US 7", "width_mm": 7.99, "thickness_mm": 2.34},
            "body": {"alloy": "gold-1000"},
            "part": [
                {"name": "liner", "place": "liner", "alloy": "gold-750-green",
                 "thickness_mm": 0.12},
                {"name": "inlay 1", "place": "channel", "alloy": "gold-750-green",
                 "width_mm": 4.89, "depth_mm": 1.0, "centre_mm": -0.56,
                 "wave": {"amplitude_mm": 0.33, "count": 8}},
                {"name": "rail", "place": "edges", "alloy": "Au 75 Ag 25", "width_mm": 0.92},
            ],
        },
        LENIENT,
    ),
    "a wax with its sprues that a file opens": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "54.4 mm around", "width_mm": 3.73, "thickness_mm": 2.66},
            "body": {"alloy": "platinum-950-ru"},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "gold-750-white-pd-15",
                 "width_mm": 0.69, "depth_mm": 1.57, "centre_mm": -1.251,
                 "gap_mm": {"side": 0.15, "floor": 0.05}},
                {"name": "inlay 1", "place": "channel", "alloy": "gold-1000", "width_mm": 1.55,
                 "depth_mm": 0.78, "centre_mm": 1.09, "gap_mm": {"side": 0.03, "floor": 0.15}},
                {"name": "stripe 2", "place": "stripe", "alloy": "gold-750-white-pd-15",
                 "from_mm": -0.76, "to_mm": 1.27, "gap_mm": 0.05},
            ],
        },
        LENIENT | {"casting": {"sprue_on_wax": True, "sprue_count": 2}},
    ),
    # its waving walls without a gap were swept from above the gap under it, with other facets
    # than the walls of its place: segments beside it overlapped it by a thousandth of a mm3
    "an inlay over a gap, tight at its waving walls": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "ISO 54", "width_mm": 5.18, "thickness_mm": 2.44,
                     "outside": {"form": "domed", "rise_mm": 0.53}, "edge_mm": 0.13},
            "body": {"alloy": "gold-750-yellow-3n", "proud_mm": 0.1},
            "part": [
                {"name": "inlay 1", "place": "channel", "alloy": "silver-925", "width_mm": 2.53,
                 "depth_mm": 0.74, "centre_mm": -0.207, "gap_mm": {"side": 0.0, "floor": 0.05},
                 "wave": {"amplitude_mm": 0.81, "count": 1, "phase_deg": -45.5}},
                {"name": "rail", "place": "edges", "alloy": "gold-750-yellow-3n",
                 "width_mm": 0.36, "gap_mm": 0.05},
                {"name": "plank", "place": "segments", "count": 8, "alloys": ["silver-925"]},
            ],
        },
        LENIENT,
    ),
    # where the band narrows its rounded edges pass other points of the outside, from angles on
    # that differ for band and segments
    "pressed segments under two domes that narrow": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "ISO 54", "width_mm": 3.91, "thickness_mm": 1.68,
                     "outside": {"form": "twin-dome", "rise_mm": 0.67},
                     "inside": {"form": "domed", "rise_mm": 0.27}, "edge_mm": 0.33,
                     "taper": [{"at": "3:00", "thickness_mm": 1.63},
                               {"at": "1:30", "width_mm": 2.67}]},
            "body": {"alloy": "gold-750-white-pd-15"},
            "part": [{"name": "plank", "place": "segments", "count": 3,
                      "alloys": ["gold-750-green"], "gap_mm": -0.02}],
        },
        LENIENT | {"mesh": {"chord_mm": 0.01}},
    ),
    # at its widest, and only there, the foot of an undercut lies on a corner of the wax
    "corners that are one where a band is widest": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "US 7", "width_mm": 3.81, "thickness_mm": 1.94,
                     "inside": {"form": "eased", "radius_mm": 0.2},
                     "taper": [{"at": "1:30", "width_mm": 2.99, "thickness_mm": 1.53},
                               {"at": "8:15", "thickness_mm": 1.5890228356342257},
                               {"at": "10:30", "width_mm": 3.07, "thickness_mm": 1.73}]},
            "body": {"alloy": "gold-1000", "proud_mm": -0.1},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "gold-1000", "width_mm": 0.8,
                 "depth_mm": 0.97, "centre_mm": -0.5, "gap_mm": {"side": 0.0, "floor": -0.02}},
                {"name": "inlay 1", "place": "channel", "alloy": "gold-750-red-5n",
                 "width_mm": 0.5656381572134743, "depth_mm": 1.19, "centre_mm": 0.603,
                 "undercut_mm": 0.06,
                 "wave": {"amplitude_mm": 0.16, "count": 1, "phase_deg": -45.5}},
            ],
        },
        LENIENT,
    ),
    # the stock ran up the side of a hollow to its riser, past where the hollow is upright: the
    # solid and the exact volume took it for two different things
    "a hollow that ends at a step, with stock": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "JP 14", "width_mm": 6.8, "thickness_mm": 2.23,
                     "outside": {"form": "free", "points": [
                         {"z_mm": -1.57, "rise_mm": 0.09}, {"z_mm": -0.19, "rise_mm": 0.49},
                         {"z_mm": 0.04, "rise_mm": 0.71, "bow_mm": -0.022},
                         {"z_mm": 0.04, "rise_mm": 0.51}, {"z_mm": 1.45, "rise_mm": 0.58}]}},
            "body": {"alloy": "gold-750-red-5n"},
            "part": [{"name": "rail", "place": "edges", "alloy": "Au 75 Ag 25", "width_mm": 1.66}],
        },
        LENIENT,
    ),
    # an undercut over round corners, waving past a stripe: crumbs of the last digits between two
    # kinks were taken for pieces of their own
    "crumbs between two kinks": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "UK N½", "width_mm": 7.46, "thickness_mm": 2.72,
                     "outside": {"form": "rounded-square", "radius_mm": 0.91}},
            "body": {"alloy": "gold-750-red-5n"},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "gold-1000", "width_mm": 1.6,
                 "depth_mm": 0.7103661912664028, "centre_mm": 0.0, "undercut_mm": 0.05,
                 "wave": {"amplitude_mm": 1.84, "count": 3}},
                {"name": "stripe 1", "place": "stripe", "alloy": "Au 75 Ag 25",
                 "from_mm": -3.73, "to_mm": -2.39, "gap_mm": 0.07},
                {"name": "stripe 2", "place": "stripe", "alloy": "gold-750-white-pd-15",
                 "from_mm": 1.3170075986249576, "to_mm": 3.73,
                 "gap_mm": {"side": 0.05, "floor": 0.05}},
            ],
        },
        LENIENT,
    ),
    # walls that touch in a line, or are nearer to each other than a file tells apart
    "beads whose walls touch": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "UK Z+3", "width_mm": 7.98, "thickness_mm": 2.34,
                     "outside": {"form": "free", "points": [
                         {"z_mm": -3.99, "rise_mm": 0.59},
                         {"z_mm": -2.38, "rise_mm": 0.05, "bow_mm": 0.051},
                         {"z_mm": 2.33, "rise_mm": 0.52, "bow_mm": 0.011},
                         {"z_mm": 3.99, "rise_mm": 0.47}]}, "edge_mm": 0.11},
            "body": {"alloy": "gold-750-green"},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "gold-750-white-pd-15",
                 "width_mm": 2.44, "depth_mm": 1.24, "centre_mm": 2.77,
                 "gap_mm": {"side": 0.03, "floor": 0.03}},
                {"name": "rail", "place": "edges", "alloy": "platinum-950-ru", "width_mm": 2.35},
            ],
            "engraving": [
                {"kind": "pattern", "on": "outside", "centre_mm": -0.06, "pattern": "milgrain",
                 "bead_mm": 1.1, "gap_mm": 0.2, "groove_mm": 0.2, "edges": "low",
                 "width_mm": 3.24, "floor": "flat"}],
        },
        LENIENT,
    ),
    # two facets back to back on the same three corners
    "a fin of no thickness": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "US 4 1/2", "width_mm": 5.91, "thickness_mm": 1.75,
                     "outside": {"form": "free", "points": [
                         {"z_mm": -2.955, "rise_mm": 0.03},
                         {"z_mm": -2.66, "rise_mm": 0.01, "bow_mm": -0.008},
                         {"z_mm": -2.58, "rise_mm": 0.4, "bow_mm": 0.007},
                         {"z_mm": -1.93, "rise_mm": 0.4},
                         {"z_mm": -0.08, "rise_mm": 0.28, "bow_mm": -0.215},
                         {"z_mm": 0.78, "rise_mm": 0.6, "bow_mm": 0.094},
                         {"z_mm": 1.99, "rise_mm": 0.3, "bow_mm": -0.079},
                         {"z_mm": 2.955, "rise_mm": 0.05}]},
                     "inside": {"form": "domed", "rise_mm": 0.09}},
            "body": {"alloy": "platinum-950-ru"},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "platinum-950-ru",
                 "width_mm": 2.54, "depth_mm": 0.77, "centre_mm": 0.0},
                {"name": "rail", "place": "edges", "alloy": "platinum-950-ru", "width_mm": 0.42,
                 "gap_mm": {"side": -0.02, "floor": 0.05},
                 "wave": {"amplitude_mm": 0.15, "count": 8, "phase_deg": 133.0},
                 "route": "stretch"},
                {"name": "plank", "place": "segments", "count": 2,
                 "alloys": ["silver-925", "gold-750-green", "gold-750-red-5n"],
                 "slant_deg": 10.0},
            ],
        },
        LENIENT,
    ),
    # half-way up from the floor lay above the falling outside, where a rail is a slope
    "a rail beside a floor near the outside": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "UK Z+3", "width_mm": 8.76, "thickness_mm": 1.99,
                     "outside": {"form": "oval", "rise_mm": 0.61}},
            "body": {"alloy": "gold-750-green"},
            "part": [{"name": "inlay 0", "place": "channel", "alloy": "gold-1000",
                      "width_mm": 0.94, "depth_mm": 0.64, "centre_mm": 3.431,
                      "gap_mm": {"side": 0.05, "floor": 0.15}, "undercut_mm": 0.08}],
        },
        LENIENT,
    ),
    # the wall comes out of the ledge, passes into the riser beside it, and out again above
    "an undercut that waves under a step": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "JP 14", "width_mm": 8.39, "thickness_mm": 2.4,
                     "outside": {"form": "stepped", "ledge_mm": 2.2, "drop_mm": 0.26}},
            "body": {"alloy": "silver-925"},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "gold-750-green",
                 "width_mm": 1.53, "depth_mm": 1.41, "centre_mm": -1.755, "undercut_mm": 0.1,
                 "wave": {"amplitude_mm": 0.79, "count": 1}},
                {"name": "inlay 1", "place": "channel", "alloy": "Au 75 Ag 25",
                 "width_mm": 0.43, "depth_mm": 1.2, "centre_mm": 2.147, "gap_mm": 0.036,
                 "undercut_mm": 0.15},
            ],
        },
        LENIENT,
    ),
    # its liner ends exactly as high as the outside at its edge: whether a cylinder of that radius
    # passes the outside was left to the last digit, 300 times round the ring, and then not at all
    "a liner as high as a tapering band's edges": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "UK Z+3", "width_mm": 8.76, "thickness_mm": 1.9489539029507634,
                     "outside": {"form": "half-round", "edge_height_mm": 0.51},
                     "taper": [{"at": "3:00", "thickness_mm": 1.78},
                               {"at": "6:00", "width_mm": 6.49, "thickness_mm": 1.7}]},
            "body": {"alloy": "Au 75 Ag 25"},
            "part": [
                {"name": "liner", "place": "liner", "alloy": "gold-750-yellow-3n",
                 "thickness_mm": 0.51, "gap_mm": -0.02},
                {"name": "inlay", "place": "channel", "alloy": "gold-1000", "width_mm": 1.78,
                 "depth_mm": 0.82, "centre_mm": -1.76, "gap_mm": {"side": 0.05, "floor": 0.15},
                 "undercut_mm": 0.11, "wave": {"amplitude_mm": 0.38, "count": 1}},
                {"name": "stripe", "place": "stripe", "alloy": "gold-750-red-5n",
                 "from_mm": -4.38, "to_mm": -2.57, "gap_mm": {"side": -0.02, "floor": -0.02}},
            ],
        },
        LENIENT,
    ),
    # the rounding of the bore's edges ends in the radius of the liner: two corners a hundred
    # millionth of a millimetre apart, all round
    "a liner as thick as the edges are rounded": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "UK N½", "width_mm": 4.94, "thickness_mm": 1.19, "edge_mm": 0.23},
            "body": {"alloy": "platinum-950-ru", "proud_mm": 0.3},
            "part": [
                {"name": "liner", "place": "liner", "alloy": "gold-750-green",
                 "thickness_mm": 0.23, "gap_mm": {"side": 0.15, "floor": -0.02}},
                {"name": "inlay", "place": "channel", "alloy": "platinum-950-ru",
                 "width_mm": 2.27, "depth_mm": 0.48, "gap_mm": 0.04,
                 "wave": {"amplitude_mm": 0.52, "count": 3, "phase_deg": 90.0}},
            ],
        },
        LENIENT,
    ),
    # strands whose handles reach over a joint were counted to the segment beyond it
    "a rope over slanted segments": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "US 7", "width_mm": 6.26, "thickness_mm": 1.39},
            "body": {"alloy": "gold-750-yellow-3n"},
            "part": [{"name": "plank", "place": "segments", "count": 12,
                      "alloys": ["gold-750-red-5n", "silver-925", "gold-750-yellow-3n"],
                      "gap_mm": {"side": 0.05, "floor": 0.05}, "slant_deg": -30.0}],
            "engraving": [{"kind": "pattern", "on": "outside", "at": "6:00", "pattern": "rope",
                           "twist_mm": 3.0, "height_mm": 1.88}],
        },
        LENIENT,
    ),
    # on a screw a floor faceted from other walls is other facets: a narrower inlay cut into it
    "a waving inlay with gaps, beside slanted segments": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "ISO 54", "width_mm": 5.2, "thickness_mm": 1.6},
            "body": {"alloy": "gold-1000"},
            "part": [
                {"name": "inlay", "place": "channel", "alloy": "gold-750-green",
                 "width_mm": 0.78, "depth_mm": 0.54, "gap_mm": {"side": 0.05, "floor": 0.0},
                 "wave": {"amplitude_mm": 0.91, "count": 3}},
                {"name": "rail", "place": "edges", "alloy": "gold-750-yellow-3n",
                 "width_mm": 1.34, "gap_mm": 0.03},
                {"name": "plank", "place": "segments", "count": 3, "alloys": ["Au 75 Ag 25"],
                 "gap_mm": {"side": 0.15, "floor": 0.05}, "slant_deg": 10.0, "depth_mm": 0.75},
            ],
        },
        LENIENT,
    ),
    # beside the step a facet of the letter's floor ran down to the ledge, and cut too deep
    "a letter across a step, with a flat floor": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "16.3 mm across", "width_mm": 6.87, "thickness_mm": 2.96,
                     "outside": {"form": "stepped", "ledge_mm": 1.87, "drop_mm": 1.41}},
            "body": {"alloy": "gold-750-white-pd-15"},
            "engraving": [{"kind": "lettering", "on": "outside", "centre_mm": -1.22,
                           "text": "I", "height_mm": 1.83, "depth_mm": 0.13, "font": "bold",
                           "floor": "flat"}],
        },
        LENIENT,
    ),
}  # fmt: skip
