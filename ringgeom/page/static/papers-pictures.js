// Pictures in the predicted colours, made when they are asked for; and the one file to send.

import { answerOf, asked, asOf, handOut, old, part } from "./papers-asked.js";
import { bench } from "./bench.js";
import { el } from "./tongue.js";

const VIEWS = ["three-quarter", "front", "section", "exploded"];

export function picturesPaper(paper) {
  const tick = (name, words, on) => el("label", { class: "tick" }, el("input", { type: "checkbox", value: name, checked: on }), words);
  let place = paper.querySelector("#told-pictures");
  if (!place) {
    place = part(paper, "told-pictures", "Pictures", ...VIEWS.map((name, n) => tick(name, name, n === 0)), tick("turntable", "turning"),
      el("button", { class: "main", onclick: () => make(place) }, "Make the pictures"));
    answerOf(place).append(el("p", { class: "soft" }, "In the predicted colours, each with its scale bar. They take a few seconds; the bench can be used meanwhile."));
    const send = part(paper, "told-send", "To send to the client", el("button", { onclick: () => sent(send) }, "Make the file to send"));
    answerOf(send).append(el("p", { class: "soft" }, "One file that opens in any browser without a network: the ring to turn by hand, its metals, sizes and care. Nothing of the shop's own is in it."));
  }
  if (place.dataset.of) old(place, place.dataset.of !== asOf());
}

async function make(place) {
  const chosen = [...place.querySelectorAll("input:checked")].map((one) => one.value);
  const views = chosen.filter((one) => one !== "turntable");
  const sent = { views: views.length ? views : VIEWS.slice(0, 1), turntable: chosen.includes("turntable") };
  const found = await asked(place, "pictures", sent, { long: "pictures", doing: "Lighting the ring…" });
  if (!found) return;
  for (const image of place.querySelectorAll("img")) URL.revokeObjectURL(image.src);
  answerOf(place).replaceChildren(
    ...found.words.map((words) => el("p", { class: "soft" }, words)),
    el("div", { class: "pictures" }, ...found.pictures.map(pictureOf)));
  old(place, false);
  place.dataset.of = asOf();
}

function pictureOf(one) {
  const bytes = Uint8Array.from(atob(one.png), (letter) => letter.charCodeAt(0));
  const blob = new Blob([bytes], { type: "image/png" });
  return el("figure", {}, el("img", { src: URL.createObjectURL(blob), alt: `the ring, ${one.view}, in its predicted colours` }),
    el("figcaption", {}, `${one.view}${one.rendered ? "" : ", drawn"} `, el("button", { "data-picture": one.view, onclick: () => handOut(blob, one.file) }, "Save")));
}

async function sent(place) {
  const blob = await asked(place, "to_send", {}, { kind: "blob", doing: "Packing the ring…" });
  if (!blob) return;
  handOut(blob, `${bench.view.job.name.toLowerCase().replaceAll(" ", "-")}_to-send.html`);
  place.querySelector(".status").textContent = "Done; look in your downloads.";
}
