// Lengths as they are written: mm or inch, with a point or a comma.

/** What a finding is called by its level. */
export const LEVELS = { stop: "stop", warn: "warning", note: "note" };

const INCH_MM = 25.4;
let inch = localStorage.getItem("units") === "inch";

export const isInch = () => inch;

export function setInch(on) {
  inch = on;
  localStorage.setItem("units", on ? "inch" : "mm");
}

/** A length in the chosen unit, without its name. */
export function length(mm) {
  return inch ? (mm / INCH_MM).toFixed(4) : mm.toFixed(2);
}

/** mm of what was typed; NaN if it is no length. A unit that is written wins. */
export function typedLength(text) {
  const found = /^\s*([+-]?\d*(?:[.,]\d*)?)\s*(mm|in|inch|")?\s*$/.exec(text.replace("−", "-"));
  if (!found || !/\d/.test(found[1])) return NaN;
  const number = Number(found[1].replace(",", "."));
  const unit = found[2] ?? (inch ? "in" : "mm");
  return unit === "mm" ? number : number * INCH_MM;
}

export const typedNumber = (text) =>
  /^\s*[+-]?\d+([.,]\d*)?\s*$/.test(text.replace("−", "-"))
    ? Number(text.replace("−", "-").replace(",", "."))
    : NaN;

/** A value as it is shown at a grip. */
export const shown = (value, unit) => (unit === "mm" ? length(value) : unit === "deg" ? `${rounded(value)}°` : String(value));

/** The value of what was typed; NaN if it is none. */
export const typed = (text, unit) => (unit === "mm" ? typedLength(text) : typedNumber(text.replace(/°\s*$/, "")));

const rounded = (value) => Math.round(value * 100) / 100;

export const grams = (g) => g.toFixed(2);

/** An alloy's name in words: "gold-750-yellow-3n" is "750 yellow 3N". */
export function alloyWords(name) {
  return name.replace(/^gold-(\d+)-/, "$1 ").replace(/-(\dn)$/, (_, k) => ` ${k.toUpperCase()}`).replaceAll("-", " ");
}

/** An element with attributes and children; text goes in as text. */
export function el(tag, attributes = {}, ...inner) {
  const found = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) found.addEventListener(key.slice(2), value);
    else if (value === true) found.setAttribute(key, "");
    else if (value !== false && value != null) found.setAttribute(key, value);
  }
  found.append(...inner.filter((one) => one != null));
  return found;
}

const SVG = "http://www.w3.org/2000/svg";

export function svg(tag, attributes = {}, ...inner) {
  const found = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) if (value != null) found.setAttribute(key, value);
  found.append(...inner.filter((one) => one != null));
  return found;
}

/** A metal's colour; on paper its hatching too. */
export function swatch(hex, hatch) {
  const found = el("span", { class: "swatch", "aria-hidden": "true" });
  if (hatch !== undefined) found.append(svg("svg", {}, hatched({ width: 13, height: 13 }, hatch)));
  found.style.background = hex;
  return found;
}

/** What is laid over a metal on paper without colour. */
export const hatched = (box, hatch) => svg("rect", { ...box, class: "hatched", fill: `url(#cut-hatch-${hatch % 8})` });

/** A dimension's way out, in the chosen unit. */
export const inUnit = ({ words, change }) =>
  inch && typeof change.value === "number" && String(change.key.at(-1)).endsWith("_mm") ? words.replace(/-?[\d.]+$/, `${length(change.value)} in`) : words;

const pen = document.createElement("canvas").getContext("2d");

/** How wide a text is drawn [px], without asking the page to lay itself out. */
export function widthOf(text, px) {
  pen.font = `${px}px "Bench Sans", sans-serif`;
  return pen.measureText(text).width;
}
