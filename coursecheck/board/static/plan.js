/** Edits of a plan, each a new plan: nothing here touches the page. */
import { ahead, placed, rounded, toCentimetre, turned } from "./geometry.js";

/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Obstacle} Obstacle */
/** @typedef {import("./types.js").Point} Point */

const FIRST_LETTERS = /** @type {Object<string, string>} */ ({
  jump: "j", spread: "s", wall: "w", "long-jump": "l", tyre: "y", tunnel: "t",
  weaves: "poles", "a-frame": "a", "dog-walk": "d", seesaw: "ss", table: "tb",
});

/** @param {Plan} plan @returns {Plan} */
export function copy(plan) {
  return structuredClone(plan);
}

/** A new id for an obstacle of a kind. @param {Plan} plan @param {string} kind */
export function freeId(plan, kind) {
  const taken = new Set(plan.obstacle.map((o) => o.id));
  const letter = FIRST_LETTERS[kind] ?? "o";
  let n = 1;
  while (taken.has(`${letter}${n}`)) n += 1;
  return `${letter}${n}`;
}

/** @param {Plan} plan @param {string} id @returns {Obstacle|undefined} */
export function find(plan, id) {
  return plan.obstacle.find((o) => o.id === id);
}

/** @param {Plan} plan @param {Obstacle} obstacle @param {boolean} numbered @returns {Plan} */
export function add(plan, obstacle, numbered) {
  const next = copy(plan);
  next.obstacle.push(obstacle);
  if (numbered) next.sequence.run.push(obstacle.id);
  return next;
}

/** @param {Plan} plan @param {Iterable<string>} ids @param {Point} by @param {number} decimals @returns {Plan} */
export function moved(plan, ids, [dx, dy], decimals = 2) {
  const those = new Set(ids);
  const by = (/** @type {number} */ value, /** @type {number} */ d) => rounded(value + d, Math.max(decimals, places(value)));
  return { ...plan, obstacle: plan.obstacle.map((o) => (those.has(o.id) ? { ...o, at: [by(o.at[0], dx), by(o.at[1], dy)] } : o)) };
}

/** How many decimals a figure has, at most six. @param {number} value */
function places(value) {
  for (let n = 0; n < 6; n += 1) if (rounded(value, n) === value) return n;
  return 6;
}

/**
 * Turned: one obstacle about its own middle, several about the middle of them all.
 * @param {Plan} plan @param {Iterable<string>} ids @param {number} by degrees
 * @param {(o: Obstacle) => Point} middle of an obstacle @returns {Plan}
 */
export function turnedBy(plan, ids, by, middle) {
  const next = copy(plan);
  const chosen = [...ids].map((id) => find(next, id)).filter((o) => o !== undefined);
  if (!chosen.length) return next;
  const middles = chosen.map(middle);
  const pivot = /** @type {Point} */ ([0, 1].map((i) => middles.reduce((sum, m) => sum + m[i], 0) / middles.length));
  for (const o of chosen) {
    const [x, y] = ahead(by);
    const [dx, dy] = [o.at[0] - pivot[0], o.at[1] - pivot[1]];
    if (chosen.length > 1 || dx || dy) {
      o.at = [rounded(pivot[0] + dx * y + dy * x, 3), rounded(pivot[1] - dx * x + dy * y, 3)];
    }
    o.bearing = rounded(turned(o.bearing + by), 2);
  }
  return next;
}

/** @param {Plan} plan @param {string} id @param {Object<string, any>} values undefined takes a key out @returns {Plan} */
export function changed(plan, id, values) {
  const next = copy(plan);
  const o = find(next, id);
  for (const [key, value] of Object.entries(values)) {
    if (!o) break;
    if (value === undefined) delete o[key];
    else o[key] = value;
  }
  return next;
}

/** @param {Plan} plan @param {string} id @param {string} name @returns {Plan} */
export function renamed(plan, id, name) {
  const next = changed(plan, id, { id: name });
  next.sequence.run = next.sequence.run.map((word) => (idOf(word) === id ? [name, ...word.split(/\s+/).slice(1)].join(" ") : word));
  return next;
}

/** @param {Plan} plan @param {Set<string>} ids @returns {Plan} */
export function without(plan, ids) {
  const next = copy(plan);
  next.obstacle = next.obstacle.filter((o) => !ids.has(o.id));
  next.sequence.run = next.sequence.run.filter((word) => !ids.has(idOf(word)));
  return next;
}

/** @param {Plan} plan @param {Iterable<string>} ids @returns {{plan: Plan, ids: string[]}} */
export function duplicated(plan, ids) {
  const next = copy(plan);
  const made = [];
  for (const id of ids) {
    const o = find(plan, id);
    if (!o) continue;
    const twin = { ...structuredClone(o), id: freeId(next, o.kind), at: toCentimetre(placed({ at: o.at, bearing: 90 }, [1.5, 1.5])) };
    next.obstacle.push(twin);
    made.push(twin.id);
  }
  return { plan: next, ids: made };
}

/** The id of a word of the sequence. @param {string} word */
export function idOf(word) {
  return word.trim().split(/\s+/)[0];
}

/** @param {string} word @returns {{id: string, reverse: boolean, turn: string}} */
export function readWord(word) {
  const [id, ...rest] = word.trim().split(/\s+/);
  return { id, reverse: rest.includes("reverse"), turn: rest.find((r) => r !== "reverse") ?? "" };
}

/** @param {{id: string, reverse: boolean, turn: string}} pass */
export function spellWord({ id, reverse, turn }) {
  return [id, reverse ? "reverse" : "", turn].filter(Boolean).join(" ");
}

/** @param {Plan} plan @param {(run: string[]) => string[]} edit @returns {Plan} */
export function reordered(plan, edit) {
  const next = copy(plan);
  next.sequence.run = edit([...next.sequence.run]);
  return next;
}

/** The ids in course order, those without a number last. @param {Plan} plan */
export function courseOrder(plan) {
  const known = new Set(plan.obstacle.map((o) => o.id));
  return [...new Set([...plan.sequence.run.map(idOf).filter((id) => known.has(id)), ...known])];
}

/** How many of a kind the club has left; null for endless. @param {Plan} plan @param {string} kind */
export function left(plan, kind) {
  if (!plan.store) return null;
  const owned = plan.store[kind] ?? 0;
  const count = typeof owned === "number" ? owned : owned.count;
  return count - plan.obstacle.filter((o) => o.kind === kind).length;
}
