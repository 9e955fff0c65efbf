// Beside the sheet: every measure and metal as fields, or the text of the design itself.

import { bench, keepSoon, settleText } from "./bench.js";
import { bodyFields, engravings, partFields, ringFields } from "./fields.js";
import { tellProblems } from "./told.js";
import { el } from "./tongue.js";

const $ = (id) => document.querySelector(id);
const drawer = $("#drawer");
let open = null;
let waiting = 0;

export function openDrawer(which) {
  open = open === which ? null : which;
  drawer.hidden = !open;
  for (const name of ["parts", "text"]) $(`#${name}-open`).setAttribute("aria-expanded", String(open === name));
  drawer.replaceChildren();
  if (open === "text") drawer.append(...textArea());
  if (bench.view) refreshDrawer(bench.view);
}

export function refreshDrawer(view) {
  if (open === "text") {
    const area = drawer.querySelector("textarea");
    if (bench.draft === null && area.value !== bench.text) {
      const at = area.selectionStart;
      area.value = bench.text;
      area.setSelectionRange(at, at);
    }
    area.removeAttribute("aria-invalid");
  }
  if (open === "parts") {
    const focus = document.activeElement?.dataset?.field;
    const top = drawer.scrollTop;
    drawer.replaceChildren(
      ringFields(view), ...view.design.part.map((part, n) => partFields(view, part, n)), ...bodyFields(view), ...engravings(view),
      el("p", { class: "soft small" }, "Anything else is written in the text."));
    drawer.scrollTop = top;
    if (focus) drawer.querySelector(`[data-field="${CSS.escape(focus)}"]`)?.focus();
  }
}

function textArea() {
  const area = el("textarea", { id: "text", spellcheck: "false", "aria-label": "The design's text, TOML; lengths in mm", wrap: "off" });
  area.value = bench.draft ?? bench.text;
  area.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => read(area), 300);
  });
  return [el("h2", {}, "The text"), area, el("p", { class: "soft small" }, "The same file as on the command line; remarks stay. Lengths in mm.")];
}

async function read(area) {
  const text = area.value;
  if (text === bench.text) {
    bench.draft = null;
    return;
  }
  // what is being written stays, readable or not
  bench.draft = text;
  const view = await settleText(text);
  if (area.value !== text) return;
  if (view.problems.length) {
    area.setAttribute("aria-invalid", "true");
    tellProblems(view.problems);
    keepSoon();
  }
}

document.addEventListener("draft", (event) => {
  bench.draft = event.detail;
  if (open !== "text") openDrawer("text");
  read(drawer.querySelector("textarea"));
});
