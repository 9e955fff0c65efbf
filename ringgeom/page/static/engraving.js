// Lettering, patterns and room for marks: what each is asked with, and how one is added or removed.

import { settle } from "./bench.js";
import { el, length } from "./tongue.js";

const SIDES = [["inside", "inside, in the bore"], ["outside", "outside"]];
const FONTS = [["serif", "serif"], ["sans", "sans"], ["bold", "bold"], ["script", "script"], ["line", "single lines"]];
const YES_NO = [["yes", "yes"], ["no", "no"]];
const FLOORS = [["following", "following the face"], ["flat", "flat, a cylinder"]];
const PATTERNS = [["milgrain", "milgrain"], ["hatch", "hatch"], ["rope", "rope"], ["vine", "leaves and vine"], ["scales", "scales"], ["hammered", "hammered"], ["brushed", "brushed, nothing is cut"]];
const MADE = [["engraved", "engraved after casting"], ["cast", "cast in"]];
const CHOICES = {
  edges: [["both", "both edges"], ["low", "left edge"], ["high", "right edge"]], hand: [["right", "to the right"], ["left", "to the left"]],
  cut: [["lines", "the lines between"], ["scales", "the scales"]],
  way: [["round", "round the ring"], ["across", "across the ring"], ["slanted", "slanted"], ["no way", "no one way"]],
  mirrored: [["no", "no"], ["across", "every second one across"], ["round", "every second one round"]], floor: FLOORS, made: MADE, on: SIDES,
};
const COMMON = ["kind", "pattern", "on", "at", "centre_mm", "width_mm", "depth_mm", "floor", "made"];
const WORDS = {
  milgrain: { bead_mm: "width of a bead", gap_mm: "gap between beads", groove_mm: "groove beside them", edge_mm: "clear of the edge", edges: "along" },
  hatch: { pitch_mm: "from line to line", line_mm: "width of a line", angle_deg: "angle, degrees", crossing: "crossed", margin_mm: "clear of the edges" },
  rope: { height_mm: "width of the rope", twist_mm: "from strand to strand", slant_mm: "slant of a strand", gap_mm: "gap between strands", groove_mm: "groove beside it", hand: "twisted" },
  vine: { wave_mm: "length of a wave", swing_mm: "swing to each side", stem_mm: "width of the stem", leaf_mm: "length of a leaf", leaf_wide_mm: "width of a leaf", rib_mm: "rib of a leaf", berries: "berries", margin_mm: "clear of the edges" },
  scales: { scale_mm: "width of a scale", row_mm: "from row to row", line_mm: "line between", cut: "cut away", margin_mm: "clear of the edges" },
  hammered: { facet_mm: "width of a facet", ridge_mm: "ridge between facets", least_depth_mm: "shallowest", most_depth_mm: "deepest", margin_mm: "clear of the edges", seed: "seed: other facets" },
  brushed: { way: "brushed", angle_deg: "angle, degrees" },
  motif: { count: "copies round", height_mm: "height, or", length_mm: "length", mirrored: "mirrored", line_mm: "cut along lines" },
};

/** Left out, its default counts. */
const OPTIONAL = ["length_mm", "line_mm", "height_mm"];

/** A place by the clock; degrees as a number. */
export const place = (text) => (/^[+-]?\d+([.,]\d+)?$/.test(text) ? Number(text.replace(",", ".")) : text);

export const nameOf = (one) => ({ lettering: `“${one.text}”`, mark: `room for the ${one.which === "maker" ? "maker’s" : "fineness"} mark`, motif: `drawing ${one.file}`, pattern: `pattern: ${one.pattern}` })[one.kind];

function lettering(make, key, one) {
  const { field, choice } = make;
  const own = FONTS.some(([word]) => word === one.font) ? [] : [[one.font, one.font]];
  const made = one.raised ? "raised" : one.made ?? "engraved";
  const how = { engraved: [null, null], cast: [null, "cast"], raised: [true, null] };
  return [
    field("text", key("text"), one.text, "word", { wide: true }),
    choice("where", key("on"), one.on, SIDES), field("middle at, by the clock", key("at"), one.at, "place"),
    choice("letters", key("font"), one.font, [...FONTS, ...own], (font) => [{ key: key("font"), value: font }, ...(font === "line" ? [] : [{ key: key("line_mm"), value: null }])]),
    field("height of a capital", key("height_mm"), one.height_mm),
    choice("made", key("made"), made, [...MADE, ["raised", "raised, cast in"]], (word) => [{ key: key("raised"), value: how[word][0] }, { key: key("made"), value: how[word][1] }], { wide: true }),
    field(one.raised ? "how high" : "depth", key("depth_mm"), one.depth_mm),
    ...(one.font === "line" ? [field("width of the line", key("line_mm"), one.line_mm, "length", { optional: true, empty: length(Math.min(0.15, one.height_mm / 4)) })] : []),
    choice("floor", key("floor"), one.floor, FLOORS), field("from mid-width", key("centre_mm"), one.centre_mm),
    field("spaced to", key("fit_mm"), one.fit_mm, "length", { optional: true, empty: "as it is" }), field("times round", key("repeat"), one.repeat, "number"),
    choice("mirrored", key("mirrored"), one.mirrored ? "yes" : "no", YES_NO, (word) => [{ key: key("mirrored"), value: word === "yes" ? true : null }]),
  ];
}

function mark({ field, choice }, key, one) {
  return [
    choice("mark", key("which"), one.which, [["fineness", "fineness"], ["maker", "maker’s"]]), choice("where", key("on"), one.on, SIDES),
    field("width", key("width_mm"), one.width_mm), field("height", key("height_mm"), one.height_mm),
    field("middle at, by the clock", key("at"), one.at, "place"), field("from mid-width", key("centre_mm"), one.centre_mm),
  ];
}

/** A key of a pattern or a drawing, by what its value is. */
function asIs({ field, choice }, key, name, value, words) {
  if (typeof value === "boolean") return choice(words, key(name), value ? "yes" : "no", YES_NO, (word) => [{ key: key(name), value: word === "yes" }]);
  if (CHOICES[name]) return choice(words, key(name), value, CHOICES[name]);
  return field(words, key(name), value, name.endsWith("_mm") ? "length" : "number", { optional: OPTIONAL.includes(name) });
}

function figure(make, key, one) {
  const { field, choice } = make;
  const words = WORDS[one.pattern ?? one.kind];
  const other = (pattern) => [{ key: key("pattern"), value: pattern }, ...Object.keys(one).filter((name) => !COMMON.includes(name) || (name === "depth_mm" && ["hammered", "brushed"].includes(pattern))).map((name) => ({ key: key(name), value: null }))];
  const cuts = one.pattern !== "brushed";
  return [
    ...(one.kind === "pattern" ? [choice("pattern", key("pattern"), one.pattern, PATTERNS, other)] : []), choice("where", key("on"), one.on, SIDES),
    field(one.kind === "pattern" ? "begins at, by the clock" : "first copy at, by the clock", key("at"), one.at, "place"),
    field("from mid-width", key("centre_mm"), one.centre_mm),
    ...("width_mm" in one ? [field("width of all", key("width_mm"), one.width_mm, "length", { optional: true, empty: "to the edge" })] : []),
    ...("depth_mm" in one ? [field("depth", key("depth_mm"), one.depth_mm)] : []),
    ...Object.entries(words).map(([name, said]) => asIs(make, key, name, one[name], said)),
    ...(cuts ? [choice("floor", key("floor"), one.floor, FLOORS), choice("made", key("made"), one.made, MADE, null, { wide: true })] : []),
  ];
}

const tenth = (mm) => Math.round(mm * 10) / 10;

/** What is begun with: a place that nothing has taken yet, a size that fits the band. */
function begun(kind, { ring, job, engraving }) {
  const taken = engraving.filter((one) => one.on === "inside").map((one) => one.at);
  const at = ["6:00", "12:00", "3:00", "9:00"].find((hour) => !taken.includes(hour)) ?? "6:00";
  return {
    lettering: { kind: "lettering", text: job.name.slice(0, 20).toUpperCase(), on: "inside", font: "serif", height_mm: Math.max(0.8, Math.min(1.5, tenth(0.4 * ring.width_mm))), depth_mm: 0.15, at },
    pattern: { kind: "pattern", pattern: "milgrain", on: "outside", depth_mm: 0.15, at: "12:00" },
    mark: { kind: "mark", which: "fineness", on: "inside", width_mm: 2, height_mm: 1, at },
  }[kind];
}

/** The first field of an engraving, or the buttons that add one, take the eye and the keys. */
function goTo(n) {
  const found = document.querySelector(`#drawer [data-engraving="${n}"]`) ?? document.querySelector("#add-engraving");
  found?.querySelector("input, select, button")?.focus();
  found?.scrollIntoView({ block: "nearest" });
}

async function change(key, value, n) {
  const view = await settle([{ key, value }]);
  if (view.problems.length) document.dispatchEvent(new CustomEvent("problems", { detail: view.problems }));
  else goTo(n);
}

export function engravingFields(make, view) {
  const all = view.design.engraving ?? [];
  const forms = { lettering, mark, pattern: figure, motif: figure };
  const add = (kind, words) => el("button", { onclick: () => change(["engraving", all.length], begun(kind, { ...view.design, engraving: all }), all.length) }, words);
  return [
    ...all.map((one, n) => el("fieldset", { "data-engraving": n }, el("legend", {}, nameOf(one)),
      el("div", { class: "fields" }, ...forms[one.kind](make, (...more) => ["engraving", n, ...more], one),
        el("div", { class: "wide" }, el("button", { "aria-label": `Remove ${nameOf(one)}`, onclick: () => change(["engraving", n], null, Math.min(n, all.length - 2)) }, "Remove"))))),
    el("fieldset", { id: "add-engraving" }, el("legend", {}, "Engraving"), el("div", { class: "row" },
      add("lettering", "Add lettering"), add("pattern", "Add a pattern"), add("mark", "Add room for a mark"))),
  ];
}
