/** Edits of the ring, each a new plan: its edge, walls, gates and blocked places. Nothing here touches the page. */
import { distance, nearestOn, rounded, toCentimetre } from "./geometry.js";
import { copy } from "./plan.js";
import { say } from "./words.js";

/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Point} Point */
/** @typedef {import("./types.js").Ring} Ring */
/** @typedef {"entrance"|"exit"} Gate */

export const SIDES = ["bottom", "right", "top", "left"];
const SIDE_NAMES = [say("bottom side"), say("right side"), say("top side"), say("left side")];
const GATE_M = 2;
const PILLAR_M = 0.3;

/** The corners in order. @param {Ring} ring @returns {Point[]} */
export function outlineOf(ring) {
  const [x, y] = ring.size ?? [0, 0];
  return ring.outline ?? [[0, 0], [x, 0], [x, y], [0, y]];
}

/** The numbers of the sides that are walls. @param {Ring} ring @returns {Set<number>} */
export function wallsOf(ring) {
  return new Set((ring.solid ?? []).map((side) => (typeof side === "number" ? side : SIDES.indexOf(side))));
}

/** What a side is called. @param {Ring} ring @param {number} i */
export function sideName(ring, i) {
  return ring.size ? SIDE_NAMES[i] : say("side {number}", { number: i + 1 });
}

/** @param {Plan} plan @param {(ring: Ring) => void} edit @returns {Plan} */
function edited(plan, edit) {
  const next = copy(plan);
  edit(next.ring);
  return next;
}

/** Gives a ring its corners and walls; a rectangle at the origin keeps its size. @param {Ring} ring @param {Point[]} corners @param {Iterable<number>} walls */
export function setEdge(ring, corners, walls) {
  const [x, y] = corners[2] ?? [0, 0];
  const plain = corners.length === 4 && String(corners) === String([[0, 0], [x, 0], [x, y], [0, y]]);
  const solid = [...new Set(walls)].sort((a, b) => a - b);
  delete ring.size;
  delete ring.outline;
  delete ring.solid;
  if (plain) ring.size = [x, y];
  else ring.outline = corners;
  if (solid.length) ring.solid = plain ? solid.map((i) => SIDES[i]) : solid;
}

/** The edge with other corners, as many as before; the gates go with their sides. @param {Plan} plan @param {Point[]} corners */
function reshaped(plan, corners) {
  return edited(plan, (ring) => {
    const before = outlineOf(ring);
    for (const gate of /** @type {Gate[]} */ (["entrance", "exit"])) {
      const ends = ring[gate];
      if (ends) ring[gate] = /** @type {[Point, Point]} */ (ends.map((end) => carried(end, before, corners)));
    }
    setEdge(ring, corners, wallsOf(ring));
  });
}

/** Where a point of the edge goes: as far as it was from a corner that stays, else in the same share of its side. @param {Point} at @param {Point[]} before @param {Point[]} after @returns {Point} */
function carried(at, before, after) {
  const { side } = onEdge(at, before);
  const [a, b] = [side, (side + 1) % before.length];
  const [old, now] = [distance(before[a], before[b]), distance(after[a], after[b])];
  const along = distance(before[a], at);
  const stays = (/** @type {number} */ i) => distance(before[i], after[i]) < 1e-9;
  const far = stays(a) ? along : stays(b) ? now - (old - along) : (along * now) / old;
  return between(after[a], after[b], Math.min(Math.max(far, 0), now));
}

/** @param {Point} a @param {Point} b @param {number} along metres from a @returns {Point} */
function between(a, b, along) {
  const t = along / (distance(a, b) || 1);
  return [rounded(a[0] + t * (b[0] - a[0]), 3), rounded(a[1] + t * (b[1] - a[1]), 3)];
}

/** The point of the edge that is nearest to another one, and the number of its side. @param {Point} at @param {Point[]} corners */
export function onEdge(at, corners) {
  let best = { side: 0, point: corners[0], away: Infinity };
  corners.forEach((corner, side) => {
    const point = nearestOn(at, corner, corners[(side + 1) % corners.length]);
    const away = distance(at, point);
    if (away < best.away) best = { side, point, away };
  });
  return best;
}

/** @param {Plan} plan @param {number} i @param {Point} to @returns {Plan} */
export function withCorner(plan, i, to) {
  return reshaped(plan, outlineOf(plan.ring).map((corner, j) => (j === i ? to : corner)));
}

/** A side that was moved as it lies, square to itself. @param {Plan} plan @param {number} i @param {Point} to where its middle shall lie @returns {Plan} */
export function withSide(plan, i, to) {
  const corners = outlineOf(plan.ring);
  const [a, b] = [corners[i], corners[(i + 1) % corners.length]];
  const length = distance(a, b) || 1;
  const square = /** @type {Point} */ ([(b[1] - a[1]) / length, (a[0] - b[0]) / length]);
  const by = (to[0] - (a[0] + b[0]) / 2) * square[0] + (to[1] - (a[1] + b[1]) / 2) * square[1];
  const moved = (/** @type {Point} */ p) => toCentimetre([p[0] + by * square[0], p[1] + by * square[1]]);
  return reshaped(plan, corners.map((corner, j) => (j === i || j === (i + 1) % corners.length ? moved(corner) : corner)));
}

/** A side that gets one more corner; both halves are what it was. @param {Plan} plan @param {number} i @param {Point} at @returns {Plan} */
export function cornerAdded(plan, i, at) {
  return edited(plan, (ring) => {
    const corners = outlineOf(ring);
    const walls = [...wallsOf(ring)].flatMap((side) => (side < i ? [side] : side > i ? [side + 1] : [i, i + 1]));
    const point = toCentimetre(nearestOn(at, corners[i], corners[(i + 1) % corners.length]));
    setEdge(ring, [...corners.slice(0, i + 1), point, ...corners.slice(i + 1)], walls);
  });
}

/** The ring without a corner: its two sides become one, a wall where both were. @param {Plan} plan @param {number} i @returns {Plan} */
export function cornerTaken(plan, i) {
  return edited(plan, (ring) => {
    const corners = outlineOf(ring);
    if (corners.length < 4) return;
    const rest = corners.filter((_, j) => j !== i);
    const walls = wallsOf(ring);
    const kept = rest.flatMap((_, j) => {
      const [before, joined] = [j < i ? j : j + 1, j === (i - 1 + rest.length) % rest.length];
      return joined ? (walls.has((i - 1 + corners.length) % corners.length) && walls.has(i) ? [j] : []) : walls.has(before) ? [j] : [];
    });
    for (const gate of /** @type {Gate[]} */ (["entrance", "exit"])) {
      const ends = ring[gate];
      if (ends) ring[gate] = /** @type {[Point, Point]} */ (ends.map((end) => onEdge(end, rest).point.map((v) => rounded(v, 3))));
    }
    setEdge(ring, rest, kept);
  });
}

/** @param {Plan} plan @param {number} i @returns {Plan} */
export function wallTurned(plan, i) {
  return edited(plan, (ring) => {
    const walls = wallsOf(ring);
    if (!walls.delete(i)) walls.add(i);
    setEdge(ring, outlineOf(ring), walls);
  });
}

/** @param {Plan} plan @param {Gate} gate @param {Point} to near which its middle shall lie @returns {Plan} */
export function withGate(plan, gate, to) {
  return edited(plan, (ring) => {
    const corners = outlineOf(ring);
    const ends = ring[gate];
    const { side, point } = onEdge(to, corners);
    const [a, b] = [corners[side], corners[(side + 1) % corners.length]];
    const length = distance(a, b);
    const wide = Math.min(ends ? distance(...ends) : GATE_M, length);
    const low = Math.min(Math.max(rounded(distance(a, point) - wide / 2, 2), 0), length - wide);
    const now = /** @type {[Point, Point]} */ ([between(a, b, low), between(a, b, low + wide)]);
    const turnedRound = ends && (ends[1][0] - ends[0][0]) * (b[0] - a[0]) + (ends[1][1] - ends[0][1]) * (b[1] - a[1]) < 0;
    ring[gate] = turnedRound ? [now[1], now[0]] : now;
  });
}

/** @param {Plan} plan @param {Gate} gate @param {number} i which of its ends @param {Point} to @returns {Plan} */
export function withGateEnd(plan, gate, i, to) {
  return edited(plan, (ring) => {
    const ends = ring[gate];
    if (!ends) return;
    const corners = outlineOf(ring);
    const { side } = onEdge(/** @type {Point} */ ([0, 1].map((k) => (ends[0][k] + ends[1][k]) / 2)), corners);
    const [a, b] = [corners[side], corners[(side + 1) % corners.length]];
    const point = between(a, b, rounded(distance(a, nearestOn(to, a, b)), 2));
    if (distance(point, ends[1 - i]) > 0.1) ends[i] = point;
  });
}

/** @param {Plan} plan @param {Gate} gate @returns {Plan} */
export function gateTaken(plan, gate) {
  return edited(plan, (ring) => {
    delete ring[gate];
  });
}

/** @param {Plan} plan @param {"pillar"|"area"} form @param {Point} at @returns {Plan} */
export function placeAdded(plan, form, [x, y]) {
  return edited(plan, (ring) => {
    const place = form === "pillar" ? { name: say("pillar"), centre: /** @type {Point} */ ([x, y]), radius: PILLAR_M }
      : { name: say("blocked"), outline: /** @type {Point[]} */ ([[x - 1, y - 1], [x + 1, y - 1], [x + 1, y + 1], [x - 1, y + 1]].map(([u, v]) => [rounded(u, 2), rounded(v, 2)])) };
    ring.blocked = [...(ring.blocked ?? []), place];
  });
}

/** @typedef {NonNullable<Ring["blocked"]>[number]} Blocked */

/** The middle of a blocked place. @param {Blocked} place @returns {Point} */
export function middleOf({ centre, outline = [] }) {
  if (centre) return centre;
  return /** @type {Point} */ ([0, 1].map((k) => rounded(outline.reduce((sum, p) => sum + p[k], 0) / outline.length, 3)));
}

/** @param {Plan} plan @param {number} i @param {(place: Blocked) => void} edit @returns {Plan} */
function placeEdited(plan, i, edit) {
  return edited(plan, (ring) => edit(/** @type {Blocked[]} */ (ring.blocked)[i]));
}

/** @param {Plan} plan @param {number} i @param {Point} to where its middle shall lie @returns {Plan} */
export function withPlace(plan, i, to) {
  return placeEdited(plan, i, (place) => {
    const [x, y] = middleOf(place);
    if (place.centre) place.centre = to;
    place.outline &&= place.outline.map((p) => [rounded(p[0] + to[0] - x, 3), rounded(p[1] + to[1] - y, 3)]);
  });
}

/** @param {Plan} plan @param {number} i @param {Point} to a point that its rim shall go through @returns {Plan} */
export function withRim(plan, i, to) {
  return placeEdited(plan, i, (place) => {
    if (place.centre) place.radius = Math.max(0.05, rounded(distance(place.centre, to), 2));
  });
}

/** @param {Plan} plan @param {number} i @param {number} corner @param {Point} to @returns {Plan} */
export function withPlaceCorner(plan, i, corner, to) {
  return placeEdited(plan, i, (place) => {
    place.outline &&= place.outline.map((p, j) => (j === corner ? to : p));
  });
}

/** One more corner, half way to the next. @param {Plan} plan @param {number} i @param {number} corner @returns {Plan} */
export function placeCornerAdded(plan, i, corner) {
  return placeEdited(plan, i, (place) => {
    const { outline = [] } = place;
    const [a, b] = [outline[corner], outline[(corner + 1) % outline.length]];
    outline.splice(corner + 1, 0, toCentimetre([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]));
  });
}

/** @param {Plan} plan @param {number} i @param {number} corner @returns {Plan} */
export function placeCornerTaken(plan, i, corner) {
  return placeEdited(plan, i, ({ outline = [] }) => {
    if (outline.length > 3) outline.splice(corner, 1);
  });
}

/** @param {Plan} plan @param {number} i @returns {Plan} */
export function placeTaken(plan, i) {
  return edited(plan, (ring) => {
    ring.blocked?.splice(i, 1);
    if (!ring.blocked?.length) delete ring.blocked;
  });
}
