// Every measure of the design as a field: plain words, in the chosen unit.

import { settle } from "./bench.js";
import { chooseAlloy } from "./alloys.js";
import { engravingFields, place } from "./engraving.js";
import { formFields } from "./forms.js";
import { alloyWords, el, isInch, length, swatch, typedLength, typedNumber } from "./tongue.js";

const PLACES = { channel: "inlay in a channel", liner: "liner", stripe: "stripe", edges: "rails", segments: "segments", motif: "motif inlay" };
const WORDS = {
  size: "finger size", width_mm: "width", thickness_mm: "thickness", edge_mm: "edge rounding", depth_mm: "depth", centre_mm: "from mid-width",
  undercut_mm: "undercut each side", from_mm: "from", to_mm: "to", count: "how many", slant_deg: "slant, degrees", proud_mm: "proud",
  height_mm: "height", length_mm: "or length", at: "middle of the first at", cutter_mm: "across the cutter",
};
const OF = {
  channel: ["width_mm", "depth_mm", "centre_mm", "undercut_mm"], liner: ["thickness_mm"], stripe: ["from_mm", "to_mm"],
  edges: ["width_mm"], segments: ["count", "slant_deg", "depth_mm"],
  motif: ["count", "height_mm", "length_mm", "depth_mm", "centre_mm", "at", "cutter_mm"],
};

async function enter(field, changes, shown) {
  const refuse = (text) => {
    // the fields were drawn anew when the answer came
    const here = field.isConnected ? field : document.querySelector(`#drawer [data-field="${CSS.escape(field.dataset.field)}"]`);
    if (here instanceof HTMLInputElement) here.value = field.value;
    here.setAttribute("aria-invalid", "true");
    const error = here.parentElement.querySelector(".error") ?? here.parentElement.appendChild(el("span", { class: "error", role: "alert" }));
    error.textContent = text;
  };
  if (changes.some(({ value }) => Number.isNaN(value))) return refuse(`“${field.value}” is not a number; ${shown} stays`);
  const view = await settle(changes);
  if (!view.problems.length) return;
  const [one] = view.problems;
  refuse([one.text, one.allowed && `allowed: ${one.allowed}`, one.nearest && `nearest: ${one.nearest}`].filter(Boolean).join("; "));
  document.dispatchEvent(new CustomEvent("problems", { detail: view.problems }));
}

const READ = { length: (text) => round(typedLength(text)), number: typedNumber, word: (text) => text, place };

function field(words, key, value, kind = "length", { wide = false, optional = false, empty = "" } = {}) {
  const shown = value == null ? "" : kind === "length" ? length(value) : String(value);
  const written = kind === "word" || kind === "place";
  const input = el("input", { value: shown, "data-field": key.join("."), inputmode: written ? null : "decimal", placeholder: empty || null });
  input.addEventListener("change", () => {
    const text = input.value.trim();
    const left = !text && (optional || (key[0] === "part" && key.at(-1) === "depth_mm"));
    enter(input, [{ key, value: left ? null : READ[kind](text) }], shown);
  });
  const unit = kind === "length" ? (isInch() ? ", in" : ", mm") : "";
  return el("label", { class: wide ? "wide" : null }, words + unit, input);
}

const round = (mm) => Math.round(mm * 1e6) / 1e6;

/** `toChange` makes of the word chosen another value, or several changes. */
function choice(words, key, value, options, toChange, { wide = false } = {}) {
  const select = el("select", { "data-field": key.join(".") }, ...options.map(([word, text]) => el("option", { value: word, selected: word === value }, text)));
  select.addEventListener("change", () => {
    const made = toChange ? toChange(select.value) : select.value;
    enter(select, Array.isArray(made) ? made : [{ key, value: made }], value);
  });
  return el("label", { class: wide ? "wide" : null }, words, select);
}

export function ringFields(view) {
  const { ring, job } = view.design;
  return el("fieldset", {}, el("legend", {}, "The band"), el("div", { class: "fields" },
    el("label", { class: "wide" }, "job", nameField(job.name)),
    field(WORDS.size, ["ring", "size"], ring.size, "word"), field(WORDS.edge_mm, ["ring", "edge_mm"], ring.edge_mm),
    field(WORDS.width_mm, ["ring", "width_mm"], ring.width_mm), field(WORDS.thickness_mm, ["ring", "thickness_mm"], ring.thickness_mm),
    ...formFields({ field, choice }, ring, "outside"), ...formFields({ field, choice }, ring, "inside")));
}

function nameField(value) {
  const input = el("input", { value, "data-field": "job.name" });
  input.addEventListener("change", () => enter(input, [{ key: ["job", "name"], value: input.value }], value));
  return input;
}

function alloyButton(view, name, alloy, key) {
  const words = typeof alloy === "string" ? alloyWords(alloy) : alloy.name ?? "own recipe";
  const known = view.parts.find((one) => one.name === name || one.name.startsWith(`${name} `));
  const fill = view.section.faces.find((face) => face.alloy === (known?.alloy ?? alloy))?.fill ?? view.colours.find((one) => one.alloy === known?.alloy)?.hex;
  return el("button", { class: "alloy", "data-field": key.join("."), "aria-haspopup": "dialog", onclick: () => chooseAlloy(view, known?.name ?? name, key) },
    fill ? swatch(fill) : null, words);
}

export function partFields(view, part, n) {
  const key = ["part", n];
  const kind = (one) => (one === "count" || one === "slant_deg" ? "number" : one === "at" ? "place" : "length");
  const optional = part.place === "motif";
  const gap = typeof part.gap_mm === "object" ? part.gap_mm : { side: part.gap_mm, floor: part.gap_mm };
  const gaps = { channel: ["side", "floor"], liner: ["floor"], stripe: ["side"], edges: ["side"], segments: part.depth_mm ? ["side", "floor"] : ["side"], motif: ["side", "floor"] }[part.place];
  const alloys = part.alloys ?? [part.alloy];
  return el("fieldset", {}, el("legend", {}, `${part.name}, ${PLACES[part.place]}`), el("div", { class: "fields" },
    ...alloys.map((alloy, turn) => el("div", { class: "wide" }, alloyButton(view, part.alloys ? `${part.name} ${turn + 1}` : part.name, alloy, part.alloys ? [...key, "alloys", turn] : [...key, "alloy"]))),
    ...OF[part.place].map((one) => field(WORDS[one], [...key, one], part[one], kind(one), { optional: optional && (one === "height_mm" || one === "length_mm") })),
    ...gaps.map((face) => field(face === "side" ? "gap at the walls" : "gap at the floor", [...key, "gap_mm", face], gap[face] ?? 0)),
    ...(part.wave ? [field("wave, height", [...key, "wave", "amplitude_mm"], part.wave.amplitude_mm), field("waves round", [...key, "wave", "count"], part.wave.count, "number"), field("wave, shift in degrees", [...key, "wave", "phase_deg"], part.wave.phase_deg, "number")] : "wave" in part
      ? [el("div", {}, el("button", { onclick: () => settle([{ key: [...key, "wave"], value: { amplitude_mm: 0.4, count: 6 } }]) }, "make it wave"))] : [])));
}

export const engravings = (view) => engravingFields({ field, choice }, view);

export function bodyFields(view) {
  const { body } = view.design;
  if (!body) return [];
  return [el("fieldset", {}, el("legend", {}, "body, what is left"), el("div", { class: "fields" },
    el("div", { class: "wide" }, alloyButton(view, "body", body.alloy, ["body", "alloy"])),
    field("proud (− recessed)", ["body", "proud_mm"], body.proud_mm)))];
}
