// Every file of the job, one by one.

import { answerOf, asked, asOf, handOut, old, part } from "./papers-asked.js";
import { ask, bench } from "./bench.js";
import { takeBox } from "./files.js";
import { el } from "./tongue.js";

export function filesPaper(paper) {
  let place = paper.querySelector("#told-files");
  if (!place) {
    place = part(paper, "told-files", "What is made of it", el("button", { id: "list-files", onclick: () => list(place) }, "List them again"), el("button", { onclick: takeBox }, "All as a zip"));
    list(place);
  } else if (!place.dataset.of) list(place);
  else old(place, place.dataset.of !== asOf());
}

async function list(place) {
  const found = await asked(place, "listed", {}, { long: "files", doing: "Cutting the solids and drawing the sheet…" });
  if (!found) return;
  const text = bench.text;
  answerOf(place).replaceChildren(
    el("p", { class: "soft" }, "Lengths in mm. Patterns are already scaled for the casting's shrink: do not scale them again."),
    el("div", { class: "wide-table", tabindex: "0", role: "group", "aria-label": "files" }, el("table", { class: "told-table" },
      el("thead", {}, el("tr", {}, ...["file", "for", "size"].map((words) => el("th", { scope: "col" }, words)), el("td", {}))),
      el("tbody", {}, ...found.files.map((one) => el("tr", {}, el("td", {}, one.name), el("td", { class: "soft" }, one.words), el("td", { class: "right" }, size(one.bytes)),
        el("td", { class: "right" }, el("button", { "data-file": one.name, "aria-label": `save ${one.name}`, onclick: () => take(place, text, one.name) }, "Save"))))))));
  old(place, false);
  place.dataset.of = asOf();
}

const size = (bytes) => (bytes < 1000 ? `${bytes} B` : bytes < 1e6 ? `${(bytes / 1e3).toFixed(0)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);

async function take(place, text, name) {
  const said = place.querySelector(".status");
  try {
    handOut(await ask("file", { text, name }, "blob", 120000), name.split("/").at(-1));
    said.className = "status soft";
    said.textContent = `${name} is in your downloads.`;
  } catch (error) {
    said.className = "status error";
    said.textContent = error.message;
  }
}
