/** Mouse, touch and pen on the sheet: one gesture at a time, from press to release. */
import { bearingTo, distance, rounded, toCentimetre, wrapped } from "./geometry.js";
import * as edit from "./plan.js";
import { ask } from "./server.js";
import { snapped, snappedBearing } from "./snap.js";
import { corners, likenChildren, s } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./sheet.js").Sheet} Sheet */
/** @typedef {import("./view.js").View} View */
/** @typedef {import("./types.js").Point} Point */
/** @typedef {{move: (at: Point, event: PointerEvent) => void, end: (at: Point, event: PointerEvent, moved: boolean) => void, cancel: () => void}} Gesture */

const NOTHING = { move: () => {}, end: () => {}, cancel: () => {} };

export class Pointer {
  /** @param {State} state @param {Sheet} sheet @param {View} view @param {SVGElement} guides @param {import("./tape.js").Tape} tape @param {import("./acts.js").Acts} acts @param {import("./fence.js").Fence} fence @param {(finding: string) => void} lead to a finding whose flag was pressed */
  constructor(state, sheet, view, guides, tape, acts, fence, lead) {
    this.state = state;
    this.sheet = sheet;
    this.view = view;
    this.guides = guides;
    this.tape = tape;
    this.acts = acts;
    this.fence = fence;
    this.lead = lead;
    /** @type {Gesture|null} */
    this.gesture = null;
    /** @type {Map<number, PointerEvent>} */
    this.down = new Map();
    this.moved = false;
    const { svg } = sheet;
    svg.addEventListener("pointerdown", (event) => this.press(event));
    svg.addEventListener("pointermove", (event) => this.move(event));
    svg.addEventListener("pointerup", (event) => this.release(event));
    svg.addEventListener("pointercancel", (event) => this.lost(event));
    svg.addEventListener("wheel", (event) => {
      event.preventDefault();
      view.zoom(Math.exp(-event.deltaY * 0.0015), view.toPlan(event));
    }, { passive: false });
  }

  /** @param {PointerEvent} event */
  press(event) {
    if (event.button > 1) return;
    this.sheet.svg.setPointerCapture(event.pointerId);
    this.down.set(event.pointerId, event);
    if (this.down.size > 1) {
      this.abandon();
      return;
    }
    this.moved = false;
    this.start = event;
    const target = /** @type {Element} */ (event.target);
    const flag = target.closest("#marks .mark");
    this.gesture = flag && event.button === 0 ? this.flagged(flag, event) : this.begin(this.view.toPlan(event), event, target);
  }

  /** A flag leads to its finding; dragged, it is what lies under it that is taken. @param {Element} flag @param {PointerEvent} event @returns {Gesture} */
  flagged(flag, event) {
    const under = document.elementsFromPoint(event.clientX, event.clientY).find((node) => !node.closest("#marks")) ?? this.sheet.svg;
    const gesture = this.begin(this.view.toPlan(event), event, under);
    const key = flag.getAttribute("data-finding") ?? "";
    return {
      ...gesture,
      end: (at, now, moved) => {
        if (moved) gesture.end(at, now, moved);
        else {
          gesture.cancel();
          this.lead(key);
        }
      },
    };
  }

  /** @param {Point} at @param {PointerEvent} event @param {Element} target what was pressed @returns {Gesture} */
  begin(at, event, target) {
    const { state } = this;
    const near = this.sheet.nearest(at, 14 / this.view.scale);
    const id = target.closest(".obstacle")?.getAttribute("data-id") ?? near?.id ?? null;
    if (event.button === 1) return this.pan(at);
    if (state.mode === "measure") return { ...NOTHING, move: this.pan(at).move, end: () => this.moved || this.tape.press(at) };
    if (!state.draws) return this.pan(at, () => state.select(id ? [id] : []));
    const handle = target.getAttribute("data-handle");
    if (handle) return this.turnOrBend(handle);
    if (state.mode === "number") return this.pan(at, () => id && this.acts.number(id));
    if (state.mode === "ring") return this.ring(target, at);
    if (id) return this.drag(id, at, event);
    if (state.armed) return this.place(state.armed, at, event);
    return event.shiftKey ? this.frame(at) : this.pan(at, () => state.select([]));
  }

  /** @param {PointerEvent} event */
  move(event) {
    const before = this.down.get(event.pointerId);
    if (!before) return;
    if (this.down.size === 2) {
      this.pinch(event);
      return;
    }
    this.down.set(event.pointerId, event);
    const slack = event.pointerType === "mouse" ? 2 : 6;
    if (!this.moved && this.start && Math.hypot(event.clientX - this.start.clientX, event.clientY - this.start.clientY) < slack) return;
    this.moved = true;
    this.gesture?.move(this.view.toPlan(event), event);
  }

  /** @param {PointerEvent} event */
  pinch(event) {
    const [a, b] = [...this.down.values()];
    const spread = (/** @type {PointerEvent[]} */ [p, q]) => Math.hypot(p.clientX - q.clientX, p.clientY - q.clientY);
    const mid = (/** @type {PointerEvent[]} */ [p, q]) => this.view.toPlan({ clientX: (p.clientX + q.clientX) / 2, clientY: (p.clientY + q.clientY) / 2 });
    const [old, about] = [spread([a, b]), mid([a, b])];
    this.down.set(event.pointerId, event);
    const now = [...this.down.values()];
    this.view.shift(about, mid(now));
    if (old > 0) this.view.zoom(spread(now) / old, mid(now));
  }

  /** @param {PointerEvent} event */
  release(event) {
    if (!this.down.delete(event.pointerId)) return;
    const gesture = this.gesture;
    this.gesture = null;
    gesture?.end(this.view.toPlan(event), event, this.moved);
    this.clear();
  }

  /** @param {PointerEvent} event */
  lost(event) {
    if (this.down.delete(event.pointerId)) this.abandon();
  }

  abandon() {
    this.gesture?.cancel();
    this.gesture = null;
    this.clear();
  }

  clear() {
    this.guides.replaceChildren();
    this.sheet.freeGround([]);
  }

  /** @param {Point} from @param {() => void} tapped @returns {Gesture} */
  pan(from, tapped = () => {}) {
    return { move: (at) => this.view.shift(from, at), end: () => this.moved || tapped(), cancel: () => {} };
  }

  /** A part of the ring is moved, or what is armed put in. @param {Element} target @param {Point} at @returns {Gesture} */
  ring(target, at) {
    const { armed } = this.state;
    const part = this.fence.partOf(target);
    if (armed) return this.pan(at, () => this.fence.put(armed, at));
    return part ? this.fence.drag(part, at) : this.pan(at);
  }

  /** @param {string} id @param {Point} from @param {PointerEvent} event @returns {Gesture} */
  drag(id, from, event) {
    const { state } = this;
    if (event.shiftKey) return { ...NOTHING, end: () => state.select(symmetric(state.selection, id)) };
    if (!state.selection.has(id)) state.select([id]);
    this.sheet.groups.get(id)?.focus({ preventScroll: true });
    const before = state.history.present;
    const leader = edit.find(before, id);
    if (!leader) return NOTHING;
    const ids = [...state.selection];
    const free = ids.length === 1 ? this.freeGround(id) : { rings: [] };
    const others = before.obstacle.filter((o) => !ids.includes(o.id));
    const moveTo = (/** @type {Point} */ at, /** @type {PointerEvent} */ now) => {
      const aim = /** @type {Point} */ ([leader.at[0] + at[0] - from[0], leader.at[1] + at[1] - from[1]]);
      const snap = now.altKey ? { at: aim, words: "", guide: null } : snapped(aim, others, free.rings, 9 / this.view.scale);
      this.guide(snap);
      const to = toCentimetre(snap.at);
      return edit.moved(before, ids, [to[0] - leader.at[0], to[1] - leader.at[1]]);
    };
    return {
      move: (at, now) => state.show(moveTo(at, now)),
      end: (at, now) => {
        if (this.moved) state.commit(say("Move {what}", { what: this.acts.words }), moveTo(at, now));
        else state.select([id]);
      },
      cancel: () => state.cancel(),
    };
  }

  /** Asks where an obstacle may stand; its rings come when they are known. @param {string} id */
  freeGround(id) {
    const free = { rings: /** @type {Point[][]} */ ([]) };
    const gesture = this.start;
    ask("ground", { plan: this.state.history.present, id }).then((answer) => {
      if (this.start !== gesture || !this.gesture) return;
      free.rings = answer.rings;
      this.sheet.freeGround(answer.rings);
    }).catch((error) => this.state.announce(error.message, true));
    return free;
  }

  /** @param {{at: Point, words: string, guide: [Point, Point]|null}} snap */
  guide({ at, words, guide }) {
    likenChildren(this.guides, [
      ...(guide ? [s("polyline", { class: "guide", points: corners(guide) })] : []),
      ...(words ? [s("text", { class: "guide-words", x: at[0] + 0.6, y: -at[1] + 1.4 }, words)] : []),
    ]);
  }

  /** Pressed where it shall stand, dragged the way it shall be run. @param {string} kind @param {Point} at @param {PointerEvent} event @returns {Gesture} */
  place(kind, at, event) {
    const { state } = this;
    const before = state.history.present;
    const snap = event.altKey ? at : snapped(at, before.obstacle, [], 9 / this.view.scale).at;
    const obstacle = { id: edit.freeId(before, kind), kind, at: toCentimetre(snap), bearing: this.likelyBearing(snap) };
    const placed = () => edit.add(before, obstacle, state.numbering);
    state.show(placed());
    return {
      move: (to, now) => {
        if (distance(to, at) < 0.4) return;
        const drawn = bearingTo(at, to); // as the hand went: from where it snapped to it may slant
        obstacle.bearing = now.altKey ? rounded(drawn, 1) : snappedBearing(drawn);
        state.show(placed());
      },
      end: () => {
        state.selection = new Set([obstacle.id]);
        state.commit(say("Place {what}", { what: obstacle.id }), placed());
      },
      cancel: () => state.cancel(),
    };
  }

  /** On from the last numbered obstacle, or up the plan. @param {Point} at */
  likelyBearing(at) {
    const { run } = this.state.history.present.sequence;
    const last = run.length ? edit.find(this.state.history.present, edit.idOf(run[run.length - 1])) : null;
    return last && this.state.numbering ? snappedBearing(bearingTo(this.sheet.middle(last), at)) : 0;
  }

  /** @param {string} handle @returns {Gesture} */
  turnOrBend(handle) {
    const { state } = this;
    const before = state.history.present;
    const id = [...state.selection][0];
    const o = edit.find(before, id);
    if (!o) return NOTHING;
    const made = (/** @type {Point} */ at, /** @type {PointerEvent} */ event) => {
      const towards = bearingTo(o.at, at);
      if (handle === "bend") {
        const bend = wrapped(2 * wrapped(towards - o.bearing));
        return edit.changed(before, id, { bend: event.altKey ? rounded(bend, 1) : Math.round(bend / 5) * 5 });
      }
      const bearing = o.kind === "tunnel" ? (towards + 180) % 360 : towards;
      return edit.changed(before, id, { bearing: event.altKey ? rounded(bearing, 1) : snappedBearing(bearing) });
    };
    return {
      move: (at, event) => state.show(made(at, event)),
      end: (at, event) => this.moved && state.commit(handle === "bend" ? say("Bend {what}", { what: id }) : say("Turn {what}", { what: id }), made(at, event)),
      cancel: () => state.cancel(),
    };
  }

  /** Chooses everything in a rectangle. @param {Point} from @returns {Gesture} */
  frame(from) {
    const inside = (/** @type {Point} */ at, /** @type {Point} */ p) => [0, 1].every((i) => p[i] >= Math.min(from[i], at[i]) && p[i] <= Math.max(from[i], at[i]));
    return {
      ...NOTHING,
      move: (at) => this.guides.replaceChildren(s("polygon", { class: "frame", points: corners([from, [at[0], from[1]], at, [from[0], at[1]]]) })),
      end: (at) => this.state.select(this.state.plan.obstacle.filter((o) => inside(at, this.sheet.middle(o))).map((o) => o.id)),
    };
  }
}

/** @param {Set<string>} chosen @param {string} id @returns {string[]} */
function symmetric(chosen, id) {
  return chosen.has(id) ? [...chosen].filter((other) => other !== id) : [...chosen, id];
}
