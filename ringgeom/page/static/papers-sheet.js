// The sheet, the card and the templates as they are printed, page by page.

import { answerOf, asked, handOut, part } from "./papers-asked.js";
import { ask, bench } from "./bench.js";
import { el } from "./tongue.js";

export function sheetPaper(paper) {
  const size = paper.querySelector("#paper-size") ?? el("select", { id: "paper-size", onchange: () => show() }, el("option", { value: "" }, "the shop's own"), el("option", {}, "A4"), el("option", {}, "Letter"));
  const place = part(paper, "told-sheet", "To print", el("label", {}, "paper", size), el("span", { class: "soft small" }, "All lengths in mm. Print at 100 %, and check the bar."));
  const show = async () => {
    const found = await asked(place, "sheet", { paper: size.value }, { doing: "Drawing the sheet…" });
    if (!found) return answerOf(place).classList.toggle("stale", place.dataset.state === "refused");
    answerOf(place).classList.remove("stale");
    const sheets = found.papers.map((one) => sheetOf(one, found.paper));
    answerOf(place).replaceChildren(
      el("div", { class: "asks" }, ...found.papers.map((one, n) => el("button", { class: "link", onclick: () => sheets[n].scrollIntoView() }, one.words))), ...sheets);
    place.dataset.count = String(Number(place.dataset.count ?? 0) + 1);
  };
  show();
}

function sheetOf(one, paper) {
  const error = el("span", { class: "error", role: "alert" });
  const take = async () => {
    try {
      handOut(await ask("file", { text: bench.text, name: one.file, paper }, "blob", 60000), one.file.split("/").at(-1));
    } catch (refused) {
      error.textContent = refused.message;
    }
  };
  return el("div", { class: "sheet" },
    el("div", { class: "asks" }, el("h3", {}, one.words), el("button", { "data-sheet": one.file, onclick: take }, `Save as PDF, ${paper}`), error),
    ...one.pages.map((page, n) => pageNode(page, `${one.words}, page ${n + 1} of ${one.pages.length}`)));
}

/** A page keeps its own look: no rule of this page reaches into it. */
function pageNode(page, words) {
  const place = el("div", { class: "printed", role: "img", "aria-label": words });
  const svg = new DOMParser().parseFromString(page.svg, "image/svg+xml").documentElement;
  svg.setAttribute("width", "100%");
  place.attachShadow({ mode: "open" }).append(document.importNode(svg, true));
  return place;
}
