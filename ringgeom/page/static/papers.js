// The papers of the ring, over the drawing: what to melt, how it is made, sheets, price, files, the shop.

import { bench } from "./bench.js";
import { openDrawer } from "./drawer.js";
import { castingPaper, makingPaper, marksPaper, meltsPaper, resizePaper } from "./papers-told.js";
import { filesPaper } from "./papers-files.js";
import { gridPaper } from "./papers-grid.js";
import { picturesPaper } from "./papers-pictures.js";
import { pricePaper } from "./papers-price.js";
import { sheetPaper } from "./papers-sheet.js";
import { shopPaper } from "./papers-shop.js";
import { el } from "./tongue.js";

const $ = (id) => document.querySelector(id);

// each fills its place when it is looked at, and again when the ring or the shop has changed
const PAPERS = [
  ["melts", "Melts", meltsPaper], ["castings", "Castings", castingPaper], ["making", "Making", makingPaper],
  ["sheet", "Sheet", sheetPaper], ["pictures", "Pictures", picturesPaper], ["price", "Price", pricePaper],
  ["grid", "Many rings", gridPaper], ["resize", "Another size", resizePaper], ["marks", "Marks", marksPaper],
  ["files", "Files", filesPaper], ["shop", "Shop", shopPaper],
];

let open = false;
let now = "melts";
let waiting = 0;

export function openPapers(which) {
  open = which ? true : !open;
  if (which) now = which;
  const place = $("#papers");
  if (open && !place.firstChild) build(place);
  if (open && !$("#drawer").hidden) openDrawer(null);
  place.hidden = !open;
  document.body.classList.toggle("with-papers", open);
  $("#papers-open").setAttribute("aria-expanded", String(open));
  if (!open) return;
  choose(now);
  $(`#tab-${now}`).focus();
}

function build(place) {
  const tabs = el("div", { role: "tablist", "aria-label": "Papers", class: "tabs" }, ...PAPERS.map(([name, words]) =>
    el("button", { role: "tab", id: `tab-${name}`, "aria-controls": `paper-${name}`, onclick: () => choose(name) }, words)));
  tabs.addEventListener("keydown", walk);
  place.append(tabs, ...PAPERS.map(([name]) => el("div", { role: "tabpanel", id: `paper-${name}`, "aria-labelledby": `tab-${name}`, tabindex: "0", hidden: true, class: "paper" })));
  place.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || event.defaultPrevented) return;
    openPapers();
    $("#papers-open").focus();
  });
}

function walk(event) {
  const names = PAPERS.map(([name]) => name);
  const at = names.indexOf(now);
  const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: names.length - 1 }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  choose(names[(to + names.length) % names.length]);
  $(`#tab-${now}`).focus();
}

function choose(name) {
  now = name;
  for (const [one] of PAPERS) {
    const mine = one === name;
    $(`#tab-${one}`).setAttribute("aria-selected", String(mine));
    $(`#tab-${one}`).tabIndex = mine ? 0 : -1;
    $(`#paper-${one}`).hidden = !mine;
  }
  fill();
}

function fill() {
  waiting = 0;
  if (!open) return;
  const [, , paper] = PAPERS.find(([name]) => name === now);
  const place = $(`#paper-${now}`);
  if (bench.view || now === "shop") paper(place);
  else place.replaceChildren(el("p", { class: "soft" }, "The design cannot be read as it stands: there is no ring to show yet."));
}

// a moment after the hand rests
document.addEventListener("shown", (event) => {
  if (event.detail.trying || !open) return;
  clearTimeout(waiting);
  waiting = setTimeout(fill, 120);
});
document.addEventListener("units", fill);
for (const id of ["#parts-open", "#text-open"]) $(id).addEventListener("click", () => open && openPapers());
