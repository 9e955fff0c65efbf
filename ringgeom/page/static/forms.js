// Outside and bore: which form each has, and the form's own few measures.

import { el } from "./tongue.js";

const WORDS = {
  flat: "flat", domed: "domed", "half-round": "half-round", oval: "oval", bevelled: "bevelled", "knife-edge": "knife edge", concave: "concave",
  stepped: "stepped edges", "rounded-square": "rounded square", "twin-dome": "twin dome", free: "own outline", eased: "eased edges",
};
const SIDES = {
  outside: ["flat", "domed", "half-round", "oval", "bevelled", "knife-edge", "concave", "stepped", "rounded-square", "twin-dome", "free"],
  inside: ["flat", "domed", "eased"],
};
const MEASURES = {
  "half-round": { edge_height_mm: "height of the edges" }, oval: { rise_mm: "rise of the oval" },
  bevelled: { bevel_mm: "width of a bevel", drop_mm: "drop of the bevels" },
  "knife-edge": { drop_mm: "drop from the ridge", top_mm: "flat on the ridge", round_mm: "ridge rounded by" },
  concave: { dip_mm: "depth of the hollow", rim_mm: "rims, each" }, stepped: { ledge_mm: "width of a ledge", drop_mm: "drop of the ledges" },
  "rounded-square": { radius_mm: "radius of the corners" }, "twin-dome": { rise_mm: "rise of the domes" }, eased: { radius_mm: "edges eased by" },
};
const POINT = { z_mm: "from mid-width", rise_mm: "rise", bow_mm: "bow before it" };

// Measures to begin with: shares of the band, as a goldsmith would draw them, in tenths.
function begun(form, { width_mm: width, thickness_mm: thick }) {
  const tenth = (mm) => Math.max(0.1, Math.round(mm * 10) / 10);
  const half = width / 2;
  const low = Math.min(0.3 * thick, 0.4 * half);
  return {
    flat: {}, domed: { rise_mm: tenth(0.5 * low) }, "half-round": { edge_height_mm: tenth(Math.max(0.35 * thick, thick - half)) },
    oval: { rise_mm: tenth(Math.max(Math.sqrt(0.06 * half), 1.4 * low)) }, bevelled: { bevel_mm: tenth(0.35 * half), drop_mm: tenth(low) },
    "knife-edge": { drop_mm: tenth(low), round_mm: 0.2 }, concave: { dip_mm: tenth(0.6 * low) }, stepped: { ledge_mm: tenth(0.3 * half), drop_mm: tenth(0.7 * low) },
    "rounded-square": { radius_mm: tenth(low) }, "twin-dome": { rise_mm: tenth(0.6 * low) }, eased: { radius_mm: tenth(0.5 * low) },
    free: { points: [[-half, 0], [-half / 3, tenth(low)], [half / 3, tenth(low)], [half, 0]].map(([z, rise]) => ({ z_mm: Math.round(z * 100) / 100, rise_mm: rise })) },
  }[form];
}

export function formFields({ field, choice }, ring, side) {
  const face = ring[side];
  const said = side === "outside" ? "outside" : "bore";
  const key = (...more) => ["ring", side, ...more];
  const chosen = choice(said, key(), face.form, SIDES[side].map((form) => [form, WORDS[form]]), (form) => ({ form, ...begun(form, ring) }));
  if (face.form === "free") {
    const rows = face.points.flatMap((point, n) => Object.entries(POINT).map(([one, words]) => field(`${n + 1}: ${words}`, key("points", n, one), point[one])));
    return [chosen, el("div", { class: "wide soft small" }, "own outline: its points from left to right"), ...rows];
  }
  const measures = MEASURES[face.form] ?? { rise_mm: side === "outside" ? "dome outside" : "dome of the bore" };
  return [chosen, ...Object.entries(measures).map(([one, words]) => field(words, key(one), face[one] ?? 0))];
}
