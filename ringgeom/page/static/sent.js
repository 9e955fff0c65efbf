
// The picture that is sent: its ring is inside the file.

const bytes = Uint8Array.from(atob(document.querySelector("#ring").textContent), (c) => c.charCodeAt(0));
const whole = new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip")));
const found = unpacked(await whole.arrayBuffer());
const canvas = document.querySelector("#turn");
canvas.hidden = false;
try {
  const turning = new Turning(canvas);
  const tools = document.querySelector("#tools");
  const change = () => {
    turning.apart = tools.querySelector("#apart").value / 100;
    turning.open = tools.querySelector("#open").checked;
    turning.brushed = tools.querySelector("#brushed").checked;
    turning.dress();
  };
  tools.addEventListener("input", change);
  turning.show(found);
  document.querySelector("#drawn").hidden = true;
  tools.hidden = false;
  document.body.dataset.ring = "turns";
} catch {
  // without WebGL the drawn ring stays
  canvas.hidden = true;
}
