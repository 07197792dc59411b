/** Snapping: to a legal distance, to a neighbour's axis, to the grid. A pure matter of points. */
import { ahead, distance, located, nearestOn, placed } from "./geometry.js";
import { say, written } from "./words.js";

/** @typedef {import("./types.js").Point} Point */
/** @typedef {{at: Point, words: string, guide: [Point, Point]|null}} Snapped */

const GRID_M = 0.5;

/**
 * Where a point that is being dragged comes to lie.
 * @param {Point} at where the hand is
 * @param {{at: Point, bearing: number}[]} neighbours their reference points and bearings
 * @param {Point[][]} edges rings of the free ground
 * @param {number} reach how near it must be, in metres
 * @returns {Snapped}
 */
export function snapped(at, neighbours, edges, reach) {
  return toEdge(at, edges, reach) ?? toAxis(at, neighbours, reach) ?? toGrid(at, reach);
}

/** @param {Point} at @param {Point[][]} edges @param {number} reach @returns {Snapped|null} */
function toEdge(at, edges, reach) {
  let best = null;
  for (const ring of edges) {
    for (let i = 0; i < ring.length; i += 1) {
      const near = nearestOn(at, ring[i], ring[(i + 1) % ring.length]);
      const away = distance(at, near);
      if (away <= reach && (!best || away < best.away)) best = { near, away };
    }
  }
  return best && { at: best.near, words: say("at the edge of the free ground"), guide: null };
}

/** @param {Point} at @param {{at: Point, bearing: number}[]} neighbours @param {number} reach @returns {Snapped|null} */
function toAxis(at, neighbours, reach) {
  let best = null;
  for (const other of neighbours) {
    const [along, right] = located(other, at);
    for (const [off, point] of /** @type {[number, Point][]} */ ([
      [Math.abs(right), placed(other, [along, 0])],
      [Math.abs(along), placed(other, [0, right])],
    ])) {
      if (off <= reach && (!best || off < best.off)) best = { off, point, other };
    }
  }
  if (!best) return null;
  return { at: best.point, words: say("in line, {length} m", { length: written(distance(best.point, best.other.at).toFixed(2)) }), guide: [best.other.at, best.point] };
}

/** @param {Point} at @param {number} reach @returns {Snapped} */
function toGrid(at, reach) {
  const grid = /** @type {Point} */ (at.map((v) => Math.round(v / GRID_M) * GRID_M));
  const near = Math.min(reach, GRID_M / 2);
  const point = /** @type {Point} */ (at.map((v, i) => (Math.abs(grid[i] - v) <= near ? grid[i] : v)));
  return { at: point, words: "", guide: null };
}

/** A bearing, to the next 15 degrees when it is near. @param {number} bearing @param {number} reach degrees */
export function snappedBearing(bearing, reach = 3) {
  const near = Math.round(bearing / 15) * 15;
  return Math.abs(near - bearing) <= reach ? near % 360 : Math.round(bearing);
}

/** A point so far ahead. @param {Point} at @param {number} bearing @param {number} metres @returns {Point} */
export function goneAhead(at, bearing, metres) {
  const [x, y] = ahead(bearing);
  return [at[0] + x * metres, at[1] + y * metres];
}
