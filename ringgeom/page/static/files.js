// Open, begin, save, take away; and what is asked when two hands held the same design.

import { ask, begin, bench, isSaved, keepNow, Refused, say, settleText } from "./bench.js";
import { el } from "./tongue.js";

const $ = (id) => document.querySelector(id);
const box = $("#box");

/** A line over the page, with ways out. */
export function bar(text, ...buttons) {
  const close = () => ($("#bar").hidden = true);
  $("#bar").replaceChildren(el("span", {}, text), ...buttons.map(([words, act]) => el("button", { onclick: () => (close(), act()) }, words)),
    ...(buttons.length ? [] : [el("button", { onclick: close }, "Close")]));
  $("#bar").hidden = false;
}

let told = "";

/** The program is gone, or there again. */
export function tellLost(text) {
  if (text) bar(text, ["Try again", keepNow]);
  else if (told) $("#bar").hidden = true;
  told = text;
}

export function askKept(kept) {
  bar(`Work from ${kept.when || "before"} was not saved. Go on with it?`,
    ["Go on with it", async () => {
      const view = await settleText(kept.text);
      bench.undo = [...(kept.undo ?? []), ...bench.undo].slice(-60);
      bench.redo = kept.redo ?? [];
      if (view.problems.length) document.dispatchEvent(new CustomEvent("draft", { detail: kept.text }));
      $("#undo").disabled = !bench.undo.length;
      $("#redo").disabled = !bench.redo.length;
    }],
    ["Leave it", () => ask("forget", { name: bench.name }).catch((error) => say(error.message))]);
}

const KINDS = {
  channel: ["Centre channel", "one inlay let into the outside"],
  liner: ["Liner", "another metal against the finger"],
  stripes: ["Stripes", "side by side, through the depth"],
  rails: ["Rails", "another metal at both edges"],
  waves: ["Waves", "an inlay that swings round the ring"],
  segments: ["Segments", "pieces round the ring, in turn"],
  halves: ["Halves", "two metals, parted by a long wave"],
  plain: ["Plain band", "one metal; every form to choose from"],
};

async function openFrom(address) {
  try {
    const data = await ask(address);
    begin(data.opened, data.view);
    box.close();
    const url = new URL(location.href);
    url.search = data.opened.name ? `?design=${encodeURIComponent(data.opened.name)}` : "";
    history.replaceState(null, "", url);
    if (data.opened.kept) askKept(data.opened.kept);
    else if (!$("#bar").hidden) $("#bar").hidden = true;
  } catch (error) {
    tellIn(error);
  }
}

function tellIn(error) {
  const text = error instanceof Refused ? error.problems.map((one) => [one.text, one.value, one.allowed].filter(Boolean).join("; ")).join(". ") : String(error);
  const place = box.querySelector(".error");
  if (place) place.textContent = text;
  else bar(text);
}

export async function openBox() {
  if (bench.view && !isSaved()) await keepNow();
  try {
    fill(await ask("state?list=1"));
  } catch (error) {
    bar(error.message);
  }
}

export const askWhichFirst = (data) => fill(data, true);

function fill(data, first = false) {
  const file = el("input", { type: "file", accept: ".toml", id: "file", "aria-label": "A design file from elsewhere", onchange: () => fromFile(file.files[0]) });
  box.replaceChildren(
    el("h2", { id: "box-title" }, first ? "Which ring?" : "Open or begin"),
    el("p", { class: "error", role: "alert" }),
    el("h3", {}, "Begin with"),
    el("div", { class: "choices" }, ...data.kinds.map((kind) => el("button", { "data-kind": kind, onclick: () => openFrom(`state?kind=${kind}`) },
      KINDS[kind]?.[0] ?? kind, el("small", {}, KINDS[kind]?.[1] ?? "")))),
    ...(data.designs.length ? [el("h3", {}, "Or one of this folder"), el("div", { class: "choices" }, ...data.designs.map((name) =>
      el("button", { "data-design": name, onclick: () => openFrom(`state?name=${encodeURIComponent(name)}`) }, name.replace(/\.toml$/, ""))))] : []),
    el("h3", {}, "Or a file"), file,
    el("div", { class: "row" }, first ? null : el("button", { onclick: () => box.close() }, "Back to the bench")),
  );
  box.showModal();
}

async function fromFile(file) {
  if (!file) return;
  if (file.size > 200000) return tellIn("this file is too large for a design");
  const text = await file.text();
  try {
    const view = await ask("look", { text });
    begin({ name: "", stamp: "", turn: bench.name ? 0 : bench.turn, text }, view);
    box.close();
  } catch (error) {
    tellIn(error);
  }
}

export async function save() {
  if (bench.draft !== null) {
    bar("The text cannot be read as it stands; correct it before saving. It is kept meanwhile.");
    return;
  }
  if (!bench.view) return;
  await keepNow();
  try {
    const { opened } = await ask("save", { name: bench.name, text: bench.text, stamp: bench.stamp });
    Object.assign(bench, { name: opened.name, stamp: opened.stamp, turn: opened.turn, saved: opened.text });
    $("#save").disabled = true;
    document.body.dataset.saved = opened.stamp;
    say(`${opened.name} is saved`);
  } catch (error) {
    if (error.status === 409) saveAsked("saved");
    else bar(error.message);
  }
}

/** The file, or the work kept beside it, was changed by someone else. */
export function saveAsked(what) {
  const name = bench.name || "this design";
  bar(`${name} was changed elsewhere since you opened it${what === "kept" ? " (in another page?)" : ""}. Nothing was overwritten.`,
    ["Look at theirs", async () => openFrom(`state?name=${encodeURIComponent(bench.name)}`)],
    ["Keep mine", async () => {
      try {
        const { opened } = await ask(`state?name=${encodeURIComponent(bench.name)}`);
        Object.assign(bench, { stamp: opened.stamp, turn: opened.turn, saved: opened.text });
        await keepNow();
        if (what === "saved") await save();
      } catch (error) {
        bar(error.message);
      }
    }]);
}

const TAKES = [
  ["all", "Everything", "waxes, assembly, sheet, card, templates, weights"],
  ["waxes", "Waxes", "one STL for each part, and the plate"],
  ["sheets", "Sheet and card", "for the bench and for the client"],
  ["design", "The design file", "as it stands here"],
];

export function takeBox() {
  box.replaceChildren(
    el("h2", { id: "box-title" }, "Waxes and sheet"),
    el("p", { class: "error", role: "alert" }),
    el("div", { class: "choices" }, ...TAKES.map(([what, words, more]) => el("button", { "data-take": what, disabled: what !== "design" && bench.view?.stopped, onclick: () => take(what) }, words, el("small", {}, more)))),
    el("p", { class: "soft small", id: "taking" }, bench.view?.stopped ? "A finding stops this ring: there is nothing to cast yet." : "As a zip, into your downloads. Patterns are already scaled: do not scale them again."),
    el("div", { class: "row" }, el("button", { onclick: () => box.close() }, "Back to the bench")),
  );
  box.showModal();
}

async function take(what) {
  const tell = box.querySelector("#taking");
  tell.textContent = "Cutting the solids and drawing the sheet…";
  try {
    const blob = await ask("take", { text: bench.text, what }, "blob");
    const link = el("a", { href: URL.createObjectURL(blob), download: `${(bench.view?.job.name ?? "ring").toLowerCase().replaceAll(" ", "-")}${what === "all" ? "" : `-${what}`}.zip` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    tell.textContent = "Done; look in your downloads.";
  } catch (error) {
    tellIn(error);
  }
}
