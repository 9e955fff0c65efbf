// Many rings of this design: sizes, widths, thicknesses and alloys; the first rows here, all in a file.

import { answerOf, asked, asOf, handOut, old, part } from "./papers-asked.js";
import { toldNodes } from "./told-lines.js";
import { ask, bench } from "./bench.js";
import { el } from "./tongue.js";

const NOTE = "Left empty, a field stays as the ring has it. Lists and ranges: US 5..12 by 1/2; 5, 6, 7; 1.8..2.2 by 0.1.";

export function gridPaper(paper) {
  const field = (id, words, placeholder) => el("label", {}, words, el("input", { id, placeholder, size: 18 }));
  let place = paper.querySelector("#told-grid");
  if (!place) {
    const places = el("select", { id: "grid-places" }, el("option", { value: "fixed" }, "keep their mm"), el("option", { value: "share" }, "keep their share"));
    place = part(paper, "told-grid", "Many rings", field("grid-sizes", "sizes", "US 5..12 by 1/2"), field("grid-widths", "widths, mm", "5, 6, 7"), field("grid-thicknesses", "thicknesses, mm", "1.8, 2.0"),
      el("label", {}, "inlays and walls", places), el("div", { id: "grid-alloys" }),
      el("button", { class: "main", onclick: () => show(place) }, "Weigh them all"), el("button", { id: "grid-save", onclick: () => save(place) }, "All rows as a table (CSV)"));
    answerOf(place).append(el("p", { class: "soft" }, NOTE));
  }
  if (place.dataset.of) old(place, place.dataset.of !== asOf());
  fields(place);
}

async function fields(place) {
  const { roles, alloys } = await ask("metals", { text: bench.text }).catch(() => ({ roles: [], alloys: [] }));
  if (place.dataset.roles === roles.join("|")) return;
  place.dataset.roles = roles.join("|");
  place.querySelector("#grid-alloys").replaceChildren(...roles.map((name) => {
    const input = el("input", { "data-role": name, placeholder: "as designed", size: 34, "aria-label": `alloys of ${name}, with commas between` });
    const more = el("select", { "aria-label": `add an alloy for ${name}`, onchange: () => {
      input.value = [input.value.trim().replace(/,$/, ""), more.value].filter(Boolean).join(", ");
      more.value = "";
    } }, el("option", { value: "" }, "add…"), ...alloys.map((one) => el("option", {}, one)));
    return el("div", { class: "role" }, el("span", {}, name), input, more);
  }));
}

function wanted(place) {
  const value = (id) => place.querySelector(id).value.trim();
  const alloys = [...place.querySelectorAll("[data-role]")].flatMap((one) => one.value.split(",").map((alloy) => alloy.trim()).filter(Boolean).map((alloy) => `${one.dataset.role}=${alloy}`));
  return { sizes: value("#grid-sizes"), widths: value("#grid-widths"), thicknesses: value("#grid-thicknesses"), places: value("#grid-places"), alloys };
}

async function show(place) {
  const found = await asked(place, "grid", wanted(place), { long: "grid", doing: "Weighing…" });
  if (!found) return;
  const more = found.rows > found.shown ? [el("p", { id: "grid-more" }, `The first ${found.shown} of ${found.rows.toLocaleString("en")} rows; all of them are in the table to save.`)] : [];
  answerOf(place).replaceChildren(...more, ...toldNodes(found.told), el("p", { class: "soft" }, NOTE));
  old(place, false);
  place.dataset.of = asOf();
}

async function save(place) {
  const blob = await asked(place, "grid_file", wanted(place), { kind: "blob", doing: "Writing every row…" });
  if (!blob) return;
  handOut(blob, `${bench.view.job.name.toLowerCase().replaceAll(" ", "-")}_many.csv`);
  place.querySelector(".status").textContent = "Done; look in your downloads.";
}
