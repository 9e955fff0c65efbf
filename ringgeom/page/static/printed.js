// What is printed is drawn anew at the paper's size, so that its figures can be read.

const PAPER = { section: { width: 720, height: 320 }, outside: { width: 720, height: 158 } };
let printing = false;

/** The size to draw at: that of the screen, or of the paper. */
export const sizeOf = (root) => (printing ? PAPER[root.id] : root.getBoundingClientRect());

export function redrawnOnPaper(draw) {
  addEventListener("beforeprint", () => { printing = true; draw(); });
  addEventListener("afterprint", () => { printing = false; draw(); });
}
