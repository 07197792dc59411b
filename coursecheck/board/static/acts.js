/** What can be done with what is chosen, from a button as from a key. */
import { bearingTo, located, placed, rounded, toCentimetre, turned, wrapped } from "./geometry.js";
import * as edit from "./plan.js";
import { outlineOf } from "./ring.js";
import { say, sayCount } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./sheet.js").Sheet} Sheet */
/** @typedef {import("./types.js").Point} Point */

const AHEAD_M = 6; // from one obstacle to the next; common practice, no source

export class Acts {
  /** @param {State} state @param {Sheet} sheet @param {import("./view.js").View} view */
  constructor(state, sheet, view) {
    this.state = state;
    this.sheet = sheet;
    this.view = view;
  }

  /** The chosen ones, in words and as a key. */
  get words() {
    const ids = [...this.state.selection];
    return ids.length > 1 ? sayCount("{count} obstacle", "{count} obstacles", ids.length) : ids[0] ?? "";
  }

  /** @param {number} dx metres @param {number} dy metres */
  nudge(dx, dy) {
    const { state } = this;
    if (!state.selection.size) return;
    state.commit(say("Move {what}", { what: this.words }), edit.moved(state.history.present, state.selection, [dx, dy]), `move ${[...state.selection]}`);
  }

  /** @param {number} degrees */
  turn(degrees) {
    const { state } = this;
    if (!state.selection.size) return;
    const next = edit.turnedBy(state.history.present, state.selection, degrees, (o) => this.sheet.middle(o));
    state.commit(say("Turn {what}", { what: this.words }), next, `turn ${[...state.selection]}`);
  }

  /** @param {number} degrees */
  bend(degrees) {
    const { state } = this;
    const o = edit.find(state.history.present, [...state.selection][0] ?? "");
    if (o?.kind !== "tunnel") return;
    const bend = rounded(wrapped((o.bend ?? 0) + degrees), 1);
    state.commit(say("Bend {what}", { what: o.id }), edit.changed(state.history.present, o.id, { bend }), `bend ${o.id}`);
  }

  /** Runs the other way from the same ground: forwards becomes backwards. */
  about() {
    this.turn(180);
  }

  duplicate() {
    const { state } = this;
    if (!state.selection.size) return;
    const { plan, ids } = edit.duplicated(state.history.present, state.selection);
    const words = this.words;
    state.selection = new Set(ids);
    state.commit(say("Duplicate {what}", { what: words }), plan);
  }

  remove() {
    const { state } = this;
    if (!state.selection.size) return;
    state.commit(say("Delete {what}", { what: this.words }), edit.without(state.history.present, state.selection));
    this.sheet.svg.focus();
  }

  /** Puts an obstacle where it can be seen, for those who have no mouse. @param {string} kind */
  place(kind) {
    const { state } = this;
    const before = state.history.present;
    const { middle } = this.view;
    const out = this.wayOut(before);
    const on = out && placed(out, [AHEAD_M - state.kind(kind).bounds[1], 0]);
    const [at, bearing] = out && on && within(on, outlineOf(before.ring)) ? [on, out.bearing] : [middle, out ? Math.round(bearingTo(out.at, middle)) % 360 : 0];
    const obstacle = { id: edit.freeId(before, kind), kind, at: toCentimetre(at), bearing };
    state.selection = new Set([obstacle.id]);
    state.commit(say("Place {what}", { what: obstacle.id }), edit.add(before, obstacle, state.numbering));
    this.sheet.groups.get(obstacle.id)?.focus();
  }

  /** Where the last number is left, and which way. @param {import("./types.js").Plan} plan @returns {{at: Point, bearing: number}|null} */
  wayOut(plan) {
    const { id, reverse } = edit.readWord(plan.sequence.run.at(-1) ?? "");
    const o = edit.find(plan, id);
    if (!o) return null;
    const exit = this.sheet.symbol(id)?.exit ?? [0, 0];
    return reverse ? { at: o.at, bearing: turned(o.bearing + 180) } : { at: placed(o, exit), bearing: turned(o.bearing + (o.bend ?? 0)) };
  }

  /** Gives the chosen obstacle the next number, from the side that one comes from. @param {string} id */
  number(id) {
    const { state, sheet } = this;
    const before = state.history.present;
    const { run } = before.sequence;
    const place = state.cursor ?? run.length;
    const o = edit.find(before, id);
    const last = place > 0 ? edit.find(before, edit.idOf(run[place - 1])) : undefined;
    const reverse = Boolean(o && last && last !== o && located({ at: sheet.middle(o), bearing: o.bearing }, sheet.middle(last))[0] > 0);
    const word = edit.spellWord({ id, reverse, turn: "" });
    if (state.cursor !== null) state.cursor = place + 1;
    state.commit(say("Number {number} to {name}", { number: place + 1, name: id }), edit.reordered(before, (words) => [...words.slice(0, place), word, ...words.slice(place)]));
  }
}

/** Whether a point lies in the box round some corners. @param {Point} at @param {Point[]} corners */
function within(at, corners) {
  return [0, 1].every((i) => at[i] > Math.min(...corners.map((c) => c[i])) && at[i] < Math.max(...corners.map((c) => c[i])));
}
