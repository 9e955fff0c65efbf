// The bench: what is shown when something changes, and the keys that work everywhere.

import { ask, back, begin, bench, isSaved, isWaiting, keepNow, onConflict, onLost, onShow, say } from "./bench.js";
import { drawOutside } from "./outside.js";
import { drawSection } from "./section.js";
import { askKept, askWhichFirst, bar, openBox, save, saveAsked, takeBox, tellLost } from "./files.js";
import { openDrawer, refreshDrawer } from "./drawer.js";
import { openPapers } from "./papers.js";
import { isInch, setInch } from "./tongue.js";
import { tellColours, tellGrams, tellHead, tellProblems, tellWrong } from "./told.js";

const $ = (id) => document.querySelector(id);
let shown = 0;

let whole = null;
const RANK = { stop: 0, warn: 1, note: 2 };

/** A sketch has the form alone: what is made of it stays as it was last known. */
function filled(sketch) {
  if (!whole || sketch.stopped) return { ...whole, ...sketch };
  // nor are letters and figures engraved before the hand rests
  const kept = whole.findings.filter((one) => !one.of_form || one.key[0] === "engraving");
  const findings = [...sketch.findings, ...kept].sort((a, b) => RANK[a.level] - RANK[b.level]);
  return { ...whole, ...sketch, findings };
}

onShow((view, how) => {
  if (view && how.sketch) view = filled(view);
  else whole = view;
  if (!view) {
    tellProblems(how.problems);
    openDrawer("text");
    return;
  }
  document.body.dataset.problems = "0";
  tellHead(view);
  tellGrams(view, how);
  if (!how.sketch) tellColours(view);
  tellWrong(view, how);
  drawSection(view, how);
  drawOutside(view);
  if (!how.trying) refreshDrawer(view);
  $("#undo").disabled = !bench.undo.length;
  $("#redo").disabled = !bench.redo.length;
  $("#save").disabled = isSaved();
  document.dispatchEvent(new CustomEvent("shown", { detail: { view, ...how } }));
  document.body.dataset.shown = String((shown += 1));
  document.body.dataset.trying = how.trying ? "yes" : "no";
  document.body.dataset.sketch = how.sketch ? "yes" : "no";
});

document.addEventListener("problems", (event) => {
  tellProblems(event.detail);
  say(event.detail.map((one) => one.text).join("; "));
});

$("#undo").addEventListener("click", () => back("undo"));
$("#redo").addEventListener("click", () => back("redo"));
$("#save").addEventListener("click", save);
$("#open").addEventListener("click", openBox);
$("#take").addEventListener("click", takeBox);
$("#parts-open").addEventListener("click", () => openDrawer("parts"));
$("#text-open").addEventListener("click", () => openDrawer("text"));
$("#papers-open").addEventListener("click", () => openPapers());
$("#units").addEventListener("click", () => {
  setInch(!isInch());
  tellUnits();
  if (bench.view) for (const draw of [tellHead, (view) => drawSection(view, {}), drawOutside, tellGrams, tellWrong, refreshDrawer]) draw(bench.view);
  document.dispatchEvent(new CustomEvent("units"));
});

function tellUnits() {
  $("#units").textContent = isInch() ? "inch" : "mm";
  $("#units").setAttribute("aria-label", `units: ${isInch() ? "inch" : "mm"}; change`);
}

addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  const typing = event.target.matches("textarea, input");
  if (key === "s") {
    event.preventDefault();
    save();
  } else if (!typing && (key === "z" || key === "y")) {
    event.preventDefault();
    back(key === "y" || event.shiftKey ? "redo" : "undo");
  }
});

onConflict(saveAsked);
onLost(tellLost);
addEventListener("pagehide", () => isWaiting() && keepNow());

async function start() {
  tellUnits();
  try {
    const name = new URLSearchParams(location.search).get("design") ?? "";
    const data = await ask(name ? `state?name=${encodeURIComponent(name)}` : "state");
    if (data.opened) {
      begin(data.opened, data.view);
      if (data.opened.kept) askKept(data.opened.kept);
    } else askWhichFirst(data);
  } catch (error) {
    bar(error.message);
  }
  document.body.dataset.ready = "yes";
  document.body.dataset.readyMs = performance.now().toFixed(0);
  if (document.body.dataset.ring !== "no") import("./ring.js").then((ring) => ring.begin(), (error) => (document.body.dataset.ringError = String(error)));
}

start();
