// What is on the bench: the text, its view, the steps back and forth; all talk with the server.

const MOST_STEPS = 60;
const PATIENCE_MS = 20000;

export const bench = {
  name: "", stamp: "", turn: 0, text: "", saved: "", view: null, undo: [], redo: [], draft: null,
};

const listeners = new Set();
export const onShow = (listener) => listeners.add(listener);

function show(view, how) {
  for (const listener of listeners) listener(view, how);
}

const GONE = "the bench does not answer: is the program still running? Your work is kept in this page";
const ANEW = "the program was started again: open the page it names; your work is kept beside the design and offered there";

export class Refused extends Error {
  constructor(status, problems) {
    super(problems.map((one) => one.text).join("; "));
    this.status = status;
    this.problems = problems;
  }
}

export async function ask(address, sent, kind = "json", patience = PATIENCE_MS) {
  let answer;
  try {
    answer = await fetch(address, sent === undefined ? {} : {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(sent),
      signal: AbortSignal.timeout(patience),
    });
  } catch {
    throw new Refused(0, [{ text: GONE }]);
  }
  if (!answer.ok) {
    const problems = await answer.json().then((data) => data.problems, () => null);
    throw new Refused(answer.status, problems ?? [{ text: answer.status === 404 ? ANEW : `the bench answered ${answer.status}` }]);
  }
  return kind === "json" ? answer.json() : kind === "bytes" ? answer.arrayBuffer() : answer.blob();
}

// One question at a time. What the hand only tries is overtaken by what it tries next;
// what is settled is never dropped.
// While the hand moves only the form is cut anew; when it pauses, all that is made of it follows.
const PAUSE_MS = 250;
let flying = false;
let tried = null;
let pause = 0;
const settled = [];

export function attempt(changes, whole = false) {
  clearTimeout(pause);
  tried = { changes, whole };
  pump();
}

/** Set keys for good; resolves to the view, or to one with problems, and then nothing is changed. */
export function settle(changes) {
  clearTimeout(pause);
  tried = null;
  return new Promise((done) => {
    settled.push({ changes, done });
    pump();
  });
}

/** Take a whole text, for good if it can be read. */
export function settleText(text, { step = true } = {}) {
  clearTimeout(pause);
  tried = null;
  return new Promise((done) => {
    settled.push({ text, changes: [], step, done });
    pump();
  });
}

async function pump() {
  if (flying) return;
  const job = settled.shift() ?? tried;
  if (!job) return;
  if (job === tried) tried = null;
  flying = true;
  const begun = performance.now();
  try {
    const sketch = !job.done && !job.whole;
    const view = await ask("look", { text: job.text ?? bench.text, changes: job.changes, trying: sketch });
    document.body.dataset.answerMs = (performance.now() - begun).toFixed(1);
    if (job.done) take(job, view);
    else if (!settled.length && !view.problems.length) show(view, { trying: true, sketch });
    if (sketch && !tried && !settled.length) pause = setTimeout(() => attempt(job.changes, true), PAUSE_MS);
  } catch (error) {
    missed(error);
    job.done?.({ problems: error.problems ?? [{ text: String(error) }] });
  } finally {
    flying = false;
    pump();
  }
}

function take(job, view) {
  if (!view.problems.length) {
    if (job.step !== false && view.text !== bench.text) {
      bench.undo = [...bench.undo, bench.text].slice(-MOST_STEPS);
      bench.redo = [];
    }
    bench.text = view.text;
    bench.view = view;
    bench.draft = null;
    keepSoon();
    show(view, { trying: false });
  } else if (bench.view) {
    show(bench.view, { trying: false });
  }
  job.done(view);
}

/** The same text looked at again, when something beside it changed. */
export const again = () => (bench.draft === null && bench.view ? settleText(bench.text, { step: false }) : undefined);

export async function back(way) {
  const [from, to] = way === "undo" ? [bench.undo, bench.redo] : [bench.redo, bench.undo];
  if (!from.length) return;
  const now = bench.text;
  const text = from.pop();
  to.push(now);
  await settleText(text, { step: false });
}

// Unsaved work is kept beside the file, a moment after the hand rests.
let waiting = 0;
let keeping = Promise.resolve();
let conflict = () => {};
export const onConflict = (listener) => (conflict = listener);
let lost = () => {};
/** Called with words when the program does not answer, and with none when it does again. */
export const onLost = (listener) => (lost = listener);

export function keepSoon() {
  clearTimeout(waiting);
  waiting = setTimeout(keepNow, 150);
}

export const isWaiting = () => waiting !== 0;

export function keepNow() {
  clearTimeout(waiting);
  waiting = 0;
  keeping = keeping.then(keepOnce);
  return keeping;
}

async function keepOnce() {
  const text = bench.draft ?? bench.text;
  try {
    if (text === bench.saved && bench.name) {
      await ask("forget", { name: bench.name });
    } else {
      const when = new Date().toTimeString().slice(0, 5);
      const sent = { name: bench.name, turn: bench.turn, text, undo: bench.undo, redo: bench.redo, when };
      bench.turn = (await ask("keep", sent)).turn;
    }
    lost("");
    document.body.dataset.kept = String(Number(document.body.dataset.kept ?? 0) + 1);
  } catch (error) {
    if (error.status === 409) conflict("kept");
    else missed(error);
  }
}

function missed(error) {
  say(error.message);
  if (error.status === 0 || error.status === 404) lost(error.message);
}

export function begin(opened, view) {
  Object.assign(bench, {
    name: opened.name, stamp: opened.stamp, turn: opened.turn, text: opened.text,
    saved: opened.name ? opened.text : "", view: view.problems.length ? null : view, undo: [], redo: [], draft: null,
  });
  if (view.problems.length) {
    bench.draft = opened.text;
    show(null, { trying: false, problems: view.problems });
  } else show(view, { trying: false });
}

export const isSaved = () => bench.draft === null && bench.text === bench.saved;

/** Tell it in words, to eyes and ears. */
export function say(text) {
  document.querySelector("#said").textContent = text;
  document.dispatchEvent(new CustomEvent("said", { detail: text }));
}
