/** The parts of the ring that a hand can take: sides, corners, gates and blocked places. */
import { distance } from "./geometry.js";
import * as ring from "./ring.js";
import { say } from "./words.js";

/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Point} Point */

/**
 * A part of the ring. What cannot be done with it is left out.
 *
 * @typedef {object} Part
 * @property {string} key
 * @property {string} name what it is
 * @property {string} words what it is, where, and what can be done with it
 * @property {Point} at the point that is moved
 * @property {{circle: Point}|{line: Point[]}|{polygon: Point[]}|{disc: Point, radius: number}} drawn
 * @property {(plan: Plan, to: Point) => Plan} move
 * @property {number} [leap] how far a key moves it where a step moves it nowhere: round a corner of the ring, in metres
 * @property {[string, (plan: Plan) => Plan]} [press] with the name of the step
 * @property {[string, (plan: Plan, at: Point) => Plan]} [add]
 * @property {[string, (plan: Plan) => Plan]} [remove]
 */

/** What can be put into the ring, in words. */
export const THINGS = /** @type {Object<string, string>} */ ({
  entrance: say("entrance"), exit: say("exit"), pillar: say("round blocked place"), area: say("blocked place with corners"),
});

/** The steps that put them there. */
export const STEPS = /** @type {Object<string, string>} */ ({
  entrance: say("Place the entrance"), exit: say("Place the exit"), pillar: say("Place a blocked place"), area: say("Place a blocked place"),
});

const GATES = {
  entrance: { takeOut: say("Take out the entrance"), end: (/** @type {number} */ number) => say("end {number} of the entrance", { number }) },
  exit: { takeOut: say("Take out the exit"), end: (/** @type {number} */ number) => say("end {number} of the exit", { number }) },
};

/** @param {Plan} plan @param {string} thing one of THINGS @param {Point} at @returns {Plan} */
export function put(plan, thing, at) {
  return thing === "entrance" || thing === "exit" ? ring.withGate(plan, thing, at) : ring.placeAdded(plan, thing === "area" ? "area" : "pillar", at);
}

/** Every part, those that lie under others first. @param {Plan} plan @param {(metres: number) => string} length in words @returns {Part[]} */
export function partsOf(plan, length) {
  return [...sides(plan, length), ...places(plan, length), ...corners(plan, length), ...gates(plan, length)];
}

/** @param {Point} at @param {(metres: number) => string} length */
const where = (at, length) => ({ x: length(at[0]), y: length(at[1]) });
/** @param {Point} a @param {Point} b @returns {Point} */
const middle = (a, b) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];

/** @param {Plan} plan @param {(metres: number) => string} length @returns {Part[]} */
function sides(plan, length) {
  const outline = ring.outlineOf(plan.ring);
  const walls = ring.wallsOf(plan.ring);
  return outline.map((corner, i) => {
    const line = [corner, outline[(i + 1) % outline.length]];
    const name = ring.sideName(plan.ring, i);
    const wall = walls.has(i);
    const facts = { name, length: length(distance(line[0], line[1])) };
    return {
      key: `side ${i}`, drawn: { line }, at: middle(line[0], line[1]), name,
      words: wall ? say("{name}, a wall, {length}; press for an open side, drag to move, press twice or Enter for one more corner", facts)
        : say("{name}, open, {length}; press for a wall, drag to move, press twice or Enter for one more corner", facts),
      move: (now, to) => ring.withSide(now, i, to),
      press: [wall ? say("Open {name}", { name }) : say("Wall on {name}", { name }), (now) => ring.wallTurned(now, i)],
      add: [say("Add a corner to {name}", { name }), (now, at) => ring.cornerAdded(now, i, at)],
    };
  });
}

/** @param {Plan} plan @param {(metres: number) => string} length @returns {Part[]} */
function corners(plan, length) {
  return ring.outlineOf(plan.ring).map((at, i) => ({
    key: `corner ${i}`, drawn: { circle: at }, at, name: say("corner {number} of the ring", { number: i + 1 }),
    words: say("corner {number} of the ring at {x}, {y}; drag to move, Delete takes it out", { number: i + 1, ...where(at, length) }),
    move: (now, to) => ring.withCorner(now, i, to),
    remove: [say("Take out corner {number}", { number: i + 1 }), (now) => ring.cornerTaken(now, i)],
  }));
}

/** @param {Plan} plan @param {(metres: number) => string} length @returns {Part[]} */
function gates(plan, length) {
  return /** @type {ring.Gate[]} */ (["entrance", "exit"]).flatMap((gate) => {
    const ends = plan.ring[gate];
    if (!ends) return [];
    /** @type {Part} */
    const whole = {
      key: gate, drawn: { line: ends }, at: middle(...ends), name: THINGS[gate],
      words: say("{name}, {length} wide, at {x}, {y}; drag along the edge, Delete takes it out", { name: THINGS[gate], length: length(distance(...ends)), ...where(middle(...ends), length) }),
      move: (now, to) => ring.withGate(now, gate, to),
      leap: distance(...ends),
      remove: [GATES[gate].takeOut, (now) => ring.gateTaken(now, gate)],
    };
    return [whole, ...ends.map((at, i) => /** @type {Part} */ ({
      key: `${gate} ${i}`, drawn: { circle: at }, at, name: GATES[gate].end(i + 1),
      words: say("{name} at {x}, {y}; drag to make it wider or narrower", { name: GATES[gate].end(i + 1), ...where(at, length) }),
      move: (now, to) => ring.withGateEnd(now, gate, i, to),
    }))];
  });
}

/** @param {Plan} plan @param {(metres: number) => string} length @returns {Part[]} */
function places(plan, length) {
  return (plan.ring.blocked ?? []).flatMap((place, i) => {
    const at = ring.middleOf(place);
    const { name } = place;
    /** @type {Part} */
    const whole = {
      key: `place ${i}`, at, name,
      drawn: place.outline ? { polygon: place.outline } : { disc: at, radius: place.radius ?? 0 },
      words: say("blocked place, {name}, at {x}, {y}; drag to move, Delete takes it out", { name, ...where(at, length) }),
      move: (now, to) => ring.withPlace(now, i, to),
      remove: [say("Take out {name}", { name }), (now) => ring.placeTaken(now, i)],
    };
    if (!place.outline) {
      const rim = /** @type {Point} */ ([at[0] + (place.radius ?? 0), at[1]]);
      return [whole, {
        key: `rim ${i}`, drawn: { circle: rim }, at: rim, name: say("radius of {name}", { name }),
        words: say("radius of {name}, {length}; drag to change it", { name, length: length(place.radius ?? 0) }),
        move: (now, to) => ring.withRim(now, i, to),
      }];
    }
    return [whole, ...place.outline.map((corner, k) => /** @type {Part} */ ({
      key: `place ${i} corner ${k}`, drawn: { circle: corner }, at: corner, name: say("corner {number} of {name}", { number: k + 1, name }),
      words: say("corner {number} of {name} at {x}, {y}; drag to move, Enter adds one after it, Delete takes it out", { number: k + 1, name, ...where(corner, length) }),
      move: (now, to) => ring.withPlaceCorner(now, i, k, to),
      add: [say("Add a corner to {name}", { name }), (now) => ring.placeCornerAdded(now, i, k)],
      remove: [say("Take out a corner of {name}", { name }), (now) => ring.placeCornerTaken(now, i, k)],
    }))];
  });
}
