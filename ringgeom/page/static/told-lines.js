// What a command tells, line by line, set as a page: headings, tables, findings.

import { LEVELS, el, isInch } from "./tongue.js";

const MM_PER_INCH = 25.4;

// columns of lengths, as the tables head them
export const LENGTHS = new Set([
  "finished, across", "with stock", "stock", "at, mm", "thick", "from the finger outwards, mm", "flat strip with stock, mm", "from an ingot, mm",
  "length x width x thickness, mm", "gap mm", "within", "length, mm", "tightest bend, mm", "narrowest across, mm", "bore, mm", "width",
  "to let in, mm", "to cut out, mm", "wax bore / outside / width",
]);
const VERDICTS = { works: "works", no: "fails", unknown: "soft" };

/** Nodes for what was told. */
export function toldNodes(told) {
  const groups = [[]];
  for (const one of told) {
    if (one.is === "line" && !one.text) groups.push([]);
    else groups.at(-1).push(one);
  }
  return groups.filter((group) => group.length).map((group) => el("div", { class: "told" }, ...group.map((one, n) => node(one, group[n + 1]))));
}

function node(one, next) {
  if (one.is === "table") return tableNode(one);
  if (one.is === "finding") {
    return el("div", { class: `card ${one.level}` }, el("span", { class: "level" }, `${LEVELS[one.level]} `), el("b", {}, inInch(one.text)), one.where ? el("span", { class: "soft" }, ` ${one.where}`) : null,
      one.fix ? el("span", { class: "soft" }, ` ${inInch(one.fix)}`) : null);
  }
  const inner = /^\s+/.test(one.text);
  const text = inInch(one.text.trim());
  if (inner) return el("p", { class: one.text.startsWith("    ") ? "deep" : "inner" }, text);
  const leads = next && (next.is === "table" || (next.is === "line" && /^\s+\S/.test(next.text)));
  return leads && text.length < 76 ? el("h3", {}, text) : el("p", {}, text);
}

/** Lengths in words get their inches beside them; the millimetres stay. */
function inInch(text) {
  if (!isInch()) return text;
  return text.replace(/(\d+(?:\.\d+)?) mm\b(?![23²³])/g, (all, mm) => `${all} (${inches(mm)} in)`);
}

// one digit more than the millimetres have: a hundredth of those is no finer than a thousandth of an inch
function inches(mm) {
  const digits = (mm.split(".")[1] ?? "").length + 1;
  return (Number(mm) / MM_PER_INCH).toFixed(Math.min(4, Math.max(3, digits)));
}

function tableNode(one) {
  const turned = one.head.map((words) => isInch() && LENGTHS.has(words));
  const head = (words, n) => (turned[n] ? (/\bmm\b/.test(words) ? words.replace(/\bmm\b/, "in") : `${words}, in`) : words);
  const cell = (text, n) => (turned[n] ? text.replace(/\d+\.\d+|^\d+$/g, inches) : inInch(text));
  const last = one.total ? one.rows.length - 1 : -1;
  const heads = one.head.map((words, n) => (words ? el("th", { scope: "col", class: one.right[n] ? "right" : null }, head(words, n)) : el("td", {})));
  const looks = (text, n) => [one.right[n] && "right", VERDICTS[text], text.length < 14 && "short", text.length > 44 && "long"].filter(Boolean).join(" ") || null;
  const cells = (row) => row.map((text, n) => el("td", { class: looks(text, n) }, ...inside(cell(text, n), row)));
  const rows = one.rows.map((row, at) => el("tr", at === last ? { class: "total" } : {}, ...cells(row)));
  return el("div", { class: "wide-table", tabindex: "0", role: "group", "aria-label": `table: ${one.head.filter(Boolean).join(", ")}` },
    el("table", { class: "told-table" }, el("thead", {}, el("tr", {}, ...heads)), el("tbody", {}, ...rows)));
}

function inside(text, row) {
  if (text === "[ ]") return [el("input", { type: "checkbox", "aria-label": `weighed: ${row.slice(1, 3).join(" g ")}` })];
  if (text.startsWith("BUY ")) return [el("b", { class: "buy" }, "buy"), ` ${text.slice(4)}`];
  return [text];
}
