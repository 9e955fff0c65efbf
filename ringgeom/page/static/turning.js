// A ring turned in space: parts in their colours, lifted apart, cut open. Knows no server.

import * as three from "./three.js";

const FAR = 5.2;
const FRONT_SIDE = 0;

/** Parts of a binary answer: head, then positions and normals of each. */
export function unpacked(buffer) {
  const size = new DataView(buffer).getUint32(0, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, size)));
  let at = 4 + size;
  for (const part of head.parts) {
    part.positions = new Float32Array(buffer, at, 3 * part.corners);
    at += 12 * part.corners;
    part.normals = new Float32Array(buffer, at, 3 * part.corners);
    at += 12 * part.corners;
  }
  return head;
}

/** A quiet room to be mirrored in a polished metal: a pale ceiling, two windows, a dark floor. */
function room(renderer) {
  const scene = new three.Scene();
  const wall = (w, h, d, x, y, z, light) => {
    const one = new three.Mesh(new three.BoxGeometry(w, h, d), new three.MeshBasicMaterial({ color: new three.Color(light, light * 0.99, light * 0.96) }));
    one.position.set(x, y, z);
    scene.add(one);
  };
  const shell = new three.Mesh(new three.BoxGeometry(20, 20, 20), new three.MeshBasicMaterial({ color: 0xe6e3dd, side: three.BackSide }));
  scene.add(shell);
  wall(14, 0.2, 14, 0, 9, 0, 1.05);
  wall(0.2, 9, 5, -9, 2, 2, 2.1);
  wall(0.2, 8, 3, 9, 1, -2, 1.5);
  wall(7, 7, 0.2, 1, 2, 9, 0.9);
  wall(20, 0.2, 20, 0, -9, 0, 0.8);
  wall(0.2, 12, 4, -8, -3, -6, 0.22);
  wall(0.2, 12, 3, 8, -2, 6, 0.22);
  const maker = new three.PMREMGenerator(renderer);
  const found = maker.fromScene(scene, 0.02, 0.1, 60).texture;
  maker.dispose();
  return found;
}

export class Turning {
  constructor(canvas) {
    this.canvas = canvas;
    this.renderer = new three.WebGLRenderer({ canvas, antialias: true, alpha: true, powerPreference: "low-power" });
    this.renderer.localClippingEnabled = true;
    this.scene = new three.Scene();
    this.scene.environment = room(this.renderer);
    this.group = new three.Group();
    this.scene.add(this.group);
    this.camera = new three.PerspectiveCamera(26, 1, 0.5, 100);
    this.plane = new three.Plane(new three.Vector3(0, -1, 0), 0);
    this.angles = [0.62, -0.95];
    this.apart = 0;
    this.open = false;
    this.brushed = false;
    this.frames = 0;
    this.handle();
  }

  show(head) {
    const { children } = this.group;
    while (children.length > head.parts.length) this.drop(children.at(-1));
    while (children.length < head.parts.length) this.group.add(this.made());
    head.parts.forEach((part, n) => {
      const geometry = new three.BufferGeometry();
      geometry.setAttribute("position", new three.BufferAttribute(part.positions, 3));
      geometry.setAttribute("normal", new three.BufferAttribute(part.normals, 3));
      // a mesh keeps its materials: to make them anew would have their programs built anew
      const mesh = children[n];
      mesh.geometry.dispose();
      for (const one of [mesh, mesh.children[0]]) {
        one.geometry = geometry;
        one.material.color.set(part.hex);
      }
      mesh.userData = part;
    });
    this.size = head.outside_mm;
    this.dress();
  }

  made() {
    const mesh = new three.Mesh(new three.BufferGeometry(), new three.MeshStandardMaterial({ metalness: 1, roughness: 0.2, envMapIntensity: 1, side: three.DoubleSide }));
    // cut open, a solid shows its far side from within, flat: that is what the cut face looks like
    mesh.add(new three.Mesh(mesh.geometry, new three.MeshBasicMaterial({ side: three.BackSide, clippingPlanes: [this.plane] })));
    return mesh;
  }

  drop(mesh) {
    this.group.remove(mesh);
    mesh.geometry.dispose();
    mesh.material.dispose();
    mesh.children[0].material.dispose();
  }

  dress() {
    const place = ({ userData: part }) => [Math.round(part.z_mm * 5), part.radius_mm];
    const order = [...this.group.children].sort((a, b) => place(a)[0] - place(b)[0] || place(a)[1] - place(b)[1]);
    const whole = order.filter((one) => Math.hypot(...one.userData.middle) < 2);
    order.forEach((mesh) => {
      const [x, y] = mesh.userData.middle;
      // pieces round the ring go outwards, whole rings apart along the finger
      if (!whole.includes(mesh)) mesh.position.set(x * 0.5 * this.apart, y * 0.5 * this.apart, 0);
      else mesh.position.set(0, 0, this.apart * (whole.indexOf(mesh) - (whole.length - 1) / 2) * 7);
      mesh.material.clippingPlanes = this.open ? [this.plane] : [];
      mesh.children[0].visible = this.open;
      const side = this.open ? FRONT_SIDE : three.DoubleSide;
      if (mesh.material.side !== side) Object.assign(mesh.material, { side, needsUpdate: true });
      mesh.material.roughness = this.brushed ? 0.42 : 0.2;
    });
    this.draw();
  }

  draw() {
    if (this.waiting) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      const { clientWidth: width, clientHeight: height } = this.canvas;
      if (!width || !height || !this.size) return;
      const ratio = Math.min(devicePixelRatio, 2);
      if (this.canvas.width !== Math.round(width * ratio) || this.canvas.height !== Math.round(height * ratio)) {
        this.renderer.setPixelRatio(ratio);
        this.renderer.setSize(width, height, false);
      }
      this.camera.aspect = width / height;
      const far = (this.size / 2) * FAR * (1 + 0.5 * this.apart) * Math.max(1, 1.25 / this.camera.aspect);
      this.camera.near = far / 10;
      this.camera.far = far * 4;
      this.camera.position.set(0, 0, far);
      this.camera.updateProjectionMatrix();
      this.group.rotation.set(this.angles[1], 0, 0);
      this.group.rotateZ(this.angles[0]);
      this.group.updateMatrixWorld();
      this.plane.set(new three.Vector3(0, 1, 0), 0).applyMatrix4(this.group.matrixWorld);
      this.renderer.render(this.scene, this.camera);
      this.canvas.dataset.frames = String((this.frames += 1));
    });
  }

  turn(across, up) {
    this.angles[0] += across;
    this.angles[1] = Math.max(-Math.PI, Math.min(0.4, this.angles[1] + up));
    this.draw();
  }

  handle() {
    const { canvas } = this;
    let from = null;
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      from = [event.clientX, event.clientY];
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!from) return;
      this.turn((event.clientX - from[0]) * 0.01, (event.clientY - from[1]) * 0.01);
      from = [event.clientX, event.clientY];
    });
    for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, () => (from = null));
    canvas.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1] }[event.key];
      if (!way) return;
      event.preventDefault();
      this.turn(...way);
    });
    new ResizeObserver(() => this.draw()).observe(canvas);
  }
}
