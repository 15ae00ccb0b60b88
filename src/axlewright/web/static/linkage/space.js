// Bodies and links as tubes in space (three.js): made once for a car, moved from then on; renders on demand only.
import * as three from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { show } from "../kit/shown.js";

const THICK = { link: 0.011, "torque link": 0.016, spring: 0.006, "drop link": 0.008 }; // m
const BODY = { axle: 0.034, upright: 0.014, arm: 0.013, crank: 0.013, bracket: 0.01, strut: 0.014, bar: 0.011, steering: 0.013, shaft: 0.02 };
const PIECES = 8; // of a link that pushes: broken, as its line on paper is
const TREAD = 0.055;
const COLOURS = { pull: "--tension", push: "--compression", idle: "--quiet", free: "--ink", marked: "--accent", body: "--quiet", wheel: "--line", behind: "--loose" };
const UP = new three.Vector3(0, 1, 0), SIDE = new three.Vector3(0, 0, 1);
const START = new three.Vector3(2.2, 3.4, 1.9).normalize(); // from ahead and left of the car, a little above it
const AWAY = [4.9, 6.8]; // m; the second over the canvas' width to height, so that a narrow one shows the whole car

/** One canvas with one car. */
export class Space {
  constructor(canvas) {
    this.renderer = new three.WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    this.scene = new three.Scene();
    this.scene.add(new three.HemisphereLight(0xffffff, 0x888888, 2.4), light(2, 3, 4, 1.2));
    this.camera = new three.PerspectiveCamera(32, 1, 0.1, 40);
    this.camera.up.set(0, 0, 1);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.enableDamping = false;
    this.controls.enablePan = false;
    this.controls.minDistance = 1.5;
    this.controls.maxDistance = 12;
    this.controls.addEventListener("change", () => this.draw());
    this.tube = new three.CylinderGeometry(1, 1, 1, 12);
    this.coil = new three.TubeGeometry(new Helix(), 120, 0.16, 6);
    this.materials = Object.fromEntries(Object.keys(COLOURS).map((name) => [name, new three.MeshLambertMaterial()]));
    this.meshes = new Map();
    this.aimed = false;
    this.paint(false);
  }

  /** Take the colours of the present light. */
  paint(redraw = true) {
    const style = getComputedStyle(document.documentElement);
    for (const [name, variable] of Object.entries(COLOURS)) this.materials[name].color.set(style.getPropertyValue(variable).trim());
    if (redraw) this.draw();
  }

  /** Fit the canvas. */
  size(width, height) {
    this.renderer.setSize(width, height, false);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  /** Put everything where it is. `classOf` says what a link carries. */
  show(scene, base, classOf) {
    if (!this.aimed) this.aim(scene);
    this.seen = new Set();
    this.car(scene, "now", classOf);
    if (base) this.car(base, "base", () => "behind");
    for (const [key, mesh] of this.meshes) mesh.visible = this.seen.has(key);
    this.draw();
  }

  car(scene, whose, classOf) {
    const thin = whose === "base" ? 0.5 : 1;
    for (const body of scene.bodies) {
      body.lines.forEach((line, i) => line.slice(1).forEach((to, j) => this.put(`${whose} ${body.path} ${i} ${j}`, this.tube,
        whose === "base" ? "behind" : "body", line[j], to, BODY[body.kind] * thin)));
    }
    for (const rod of scene.rods) this.rod(rod, `${whose} ${rod.path}`, classOf(rod.path), thin);
    if (whose === "now") for (const wheel of scene.wheels) this.wheel(wheel, wheel.name);
  }

  rod({ kind, a, b }, key, name, thin) {
    const thick = THICK[kind] * thin;
    if (kind === "spring") {
      this.put(`${key} coil`, this.coil, name, a, b, 0.034 * (thin < 1 ? 0.8 : 1));
      this.put(key, this.tube, name, a, b, thick);
    } else if (name === "push") {
      const at = (t) => a.map((x, i) => x + (b[i] - x) * t);
      for (let i = 0; i < PIECES; i += 1) this.put(`${key} ${i}`, this.tube, name, at((i + 0.16) / PIECES), at((i + 0.84) / PIECES), thick);
    } else this.put(key, this.tube, name, a, b, thick);
  }

  put(key, geometry, material, from, to, thick) {
    const mesh = this.mesh(key, () => geometry, material);
    const [a, b] = [new three.Vector3(...from), new three.Vector3(...to)];
    const span = b.clone().sub(a);
    const length = span.length() || 1e-6;
    mesh.quaternion.setFromUnitVectors(UP, span.divideScalar(length));
    mesh.position.copy(a.add(b).multiplyScalar(0.5));
    mesh.scale.set(thick, length, thick);
  }

  wheel({ centre, axis, radius }, key) {
    const mesh = this.mesh(key, () => new three.TorusGeometry(radius - TREAD, TREAD, 10, 44), "wheel");
    mesh.quaternion.setFromUnitVectors(SIDE, new three.Vector3(...axis).normalize());
    mesh.position.set(...centre);
  }

  mesh(key, geometry, material) {
    this.seen.add(key);
    if (!this.meshes.has(key)) {
      const mesh = new three.Mesh(geometry());
      this.meshes.set(key, mesh);
      this.scene.add(mesh);
    }
    const mesh = this.meshes.get(key);
    mesh.material = this.materials[material];
    return mesh;
  }

  aim(scene) {
    const n = scene.wheels.length;
    this.controls.target.set(...[0, 1, 2].map((i) => scene.wheels.reduce((sum, w) => sum + w.centre[i], 0) / n));
    this.camera.position.copy(this.controls.target).addScaledVector(START, Math.max(AWAY[0], AWAY[1] / this.camera.aspect));
    this.aimed = true;
    this.controls.update();
  }

  /** Turn by angles, rad. */
  turn(sideways, up) {
    const arm = this.camera.position.clone().sub(this.controls.target);
    const ball = new three.Spherical().setFromVector3(new three.Vector3(arm.x, arm.z, -arm.y));
    ball.theta += sideways;
    ball.phi = Math.min(Math.max(ball.phi + up, 0.05), Math.PI - 0.05);
    const to = new three.Vector3().setFromSpherical(ball);
    this.camera.position.copy(this.controls.target).add(new three.Vector3(to.x, -to.z, to.y));
    this.controls.update();
    this.draw();
  }

  /** Come nearer by a factor below 1, go away above it. */
  nearer(factor) {
    const { target, minDistance, maxDistance } = this.controls;
    const arm = this.camera.position.clone().sub(target);
    arm.setLength(Math.min(Math.max(arm.length() * factor, minDistance), maxDistance));
    this.camera.position.copy(target).add(arm);
    this.controls.update();
    this.draw();
  }

  draw() {
    if (this.waiting || this.closed) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      this.renderer.render(this.scene, this.camera);
      show({ turning: this.camera.position.toArray() }, "turning");
    });
  }

  /** Give everything back. */
  close() {
    cancelAnimationFrame(this.waiting);
    this.closed = true;
    this.controls.dispose();
    for (const mesh of this.meshes.values()) mesh.geometry.dispose();
    this.renderer.dispose();
  }
}

class Helix extends three.Curve {
  getPoint(t) {
    const turn = 2 * Math.PI * 7 * t;
    return new three.Vector3(Math.cos(turn), 0.14 + 0.72 * t - 0.5, Math.sin(turn));
  }
}

function light(x, y, z, strength) {
  const one = new three.DirectionalLight(0xffffff, strength);
  one.position.set(x, y, z);
  return one;
}
