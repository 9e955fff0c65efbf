// What is printed is drawn anew at the paper's size, so that its figures can be read.

const PAPER = { section: { width: 720, height: 320 }, outside: { width: 720, height: 158 } };
let printing = false;

const sizes = new Map();

/** The size to draw at: that of the screen, or of the paper. Under the hand nothing is measured. */
export function sizeOf(root) {
  if (printing) return PAPER[root.id];
  if (!sizes.has(root)) sizes.set(root, root.getBoundingClientRect());
  return sizes.get(root);
}

/** Draw again whenever a drawing has another size. */
export function redrawnAtSize(root, draw) {
  new ResizeObserver(() => {
    sizes.delete(root);
    draw();
  }).observe(root);
}

export function redrawnOnPaper(draw) {
  addEventListener("beforeprint", () => { printing = true; draw(); });
  addEventListener("afterprint", () => { printing = false; draw(); });
}
