// Four views of one car: which way each looks, what belongs to it, and where a point lands on it.

/** Views by name: two axes on the paper from a point (x forward, y left, z up), and how near it is. */
export const VIEWS = {
  side: { title: "Side", says: "from the left, nose to the left", u: (p) => -p[0], v: (p) => p[2], near: (p) => p[1] },
  rear: { title: "Rear", says: "rear end from behind", u: (p) => -p[1], v: (p) => p[2], near: (p) => -p[0], end: "rear" },
  plan: { title: "Plan", says: "from above, nose to the left", u: (p) => -p[0], v: (p) => -p[1], near: (p) => p[2] },
  front: { title: "Front", says: "front end from ahead", u: (p) => p[1], v: (p) => p[2], near: (p) => p[0], end: "front" },
};
const ROOM = { x: 0.14, y: 0.13, below: 0.1, above: 0.07, least: 0.78 }; // m around the car

/** The room that a car takes in all its poses, m, so that no drawing changes its scale as the car moves. */
export function boxOf(scene) {
  const points = [...scene.rods.flatMap((rod) => [rod.a, rod.b]), ...scene.bodies.flatMap((body) => body.lines.flat())];
  const wheels = scene.wheels;
  const x = wheels.flatMap((w) => [w.centre[0] - w.radius, w.centre[0] + w.radius]);
  const y = Math.max(...wheels.map((w) => Math.abs(w.centre[1]))) + ROOM.y;
  const top = Math.max(ROOM.least, ...points.map((p) => p[2]));
  return { x: [Math.min(...x) - ROOM.x, Math.max(...x) + ROOM.x], y: [-y, y], z: [-ROOM.below, top + ROOM.above] };
}

const END = 1.5; // m of the car that an end takes in side view and plan

/** The room of one end, or of the whole car. */
export function partOf(box, part) {
  const [back, ahead] = box.x;
  return { ...box, x: part === "front" ? [ahead - END, ahead] : part === "rear" ? [back, back + END] : box.x };
}

/** Width and height of a view of a box, m. */
export function sizeOf(view, box) {
  const long = box.x[1] - box.x[0], wide = box.y[1] - box.y[0], high = box.z[1] - box.z[0];
  return { side: [long, high], plan: [long, wide], rear: [wide, high], front: [wide, high] }[view];
}

/** Maps points to pixels at a scale of px/m; the middle of the car stays in the middle of the paper. */
export function placer(view, box, scale, width, height) {
  const { u, v } = VIEWS[view];
  const [wide, high] = sizeOf(view, box);
  const corner = [[box.x[1], box.y[1], box.z[1]], [box.x[0], box.y[0], box.z[0]]];
  const left = Math.min(...corner.map(u)), top = Math.max(...corner.map(v));
  const dx = (width - wide * scale) / 2, dy = (height - high * scale) / 2;
  return (p) => [dx + (u(p) - left) * scale, dy + (top - v(p)) * scale];
}

/** Whether something at these points belongs to a view: an end's view shows that end only. */
export function belongs(view, points, middle) {
  const { end } = VIEWS[view];
  if (!end) return true;
  const x = points.reduce((sum, p) => sum + p[0], 0) / points.length;
  return end === "rear" ? x < middle : x >= middle;
}

/** Fore-and-aft middle of the wheelbase, m. */
export function middleOf(scene) {
  return scene.wheels.reduce((sum, w) => sum + w.centre[0], 0) / scene.wheels.length;
}

const AROUND = 40;

/** A circle around an axis, as points. */
export function circle(centre, axis, radius) {
  const side = Math.abs(axis[2]) > 0.9 ? [1, 0, 0] : [0, 0, 1];
  const a = unit(cross(axis, side)), b = cross(axis, a);
  return Array.from({ length: AROUND }, (_, i) => {
    const turn = (2 * Math.PI * i) / AROUND;
    return centre.map((c, k) => c + radius * (Math.cos(turn) * a[k] + Math.sin(turn) * b[k]));
  });
}

const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a) => a.map((x) => x / Math.hypot(...a));
