/** The ring in exact figures: its size or corners, walls, gates and blocked places; and what can be put into it. */
import { lengthField, pointsField, refill, textField, tick } from "./fields.js";
import { THINGS } from "./parts.js";
import * as edges from "./ring.js";
import { h } from "./svg.js";
import { capital, say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Point} Point */

/** @param {State} state @param {HTMLElement} panel @param {(thing: string) => void} putByKey one of THINGS where it can be seen */
export function ringFields(state, panel, putByKey) {
  state.on(["plan", "pen", "mode", "tab"], () => {
    if (!state.preview && !panel.hidden) refill(panel, [h("h2", {}, say("Ring")), ...things(), ...edge(), ...gates(), ...blocked()]);
  });

  /** What a field of a length needs. @param {string} key */
  const how = (key) => ({ units: state.units, key, off: !state.draws });

  function things() {
    return [
      h("p", { class: "small" }, say("With Ring chosen above, sides, corners, gates and blocked places are drawn by hand. Choose what to add, then press on the sheet; from the keyboard, Enter puts it in place.")),
      h("p", { class: "buttons" }, ...Object.entries(THINGS).map(([name, words]) => h("button", {
        type: "button", "data-key": `put ${name}`, disabled: !state.draws, "aria-pressed": String(state.armed === name),
        onclick: (/** @type {MouseEvent} */ event) => (event.detail === 0 ? putByKey(name) : arm(name)),
      }, capital(words)))),
    ];
  }

  /** @param {string} name */
  function arm(name) {
    state.armed = state.armed === name ? null : name;
    state.mode = "ring";
    state.tell("mode");
  }

  function edge() {
    const { ring } = state.plan;
    const walls = edges.wallsOf(ring);
    const outline = edges.outlineOf(ring);
    const { off } = how("");
    return [
      h("h3", {}, say("Edge")),
      ...(ring.size ? [0, 1].map((i) => lengthField(i ? say("depth") : say("width"), ring.size?.[i], { ...how(`size ${i}`), needed: true }, (v) => v !== undefined && state.edit(say("Ring size"), (p) => {
        if (p.ring.size) p.ring.size[i] = v;
      }))) : []),
      pointsField(say("corners"), outline, how("corners"), (points) => state.edit(say("Ring corners"), (p) => edges.setEdge(p.ring, points, walls))),
      h("fieldset", { class: "heights" }, h("legend", {}, say("sides that are walls")), ...outline.map((_, i) =>
        tick(edges.sideName(ring, i), walls.has(i), { key: `wall ${i}`, off }, () => state.commit(say("Walls"), edges.wallTurned(state.history.present, i))))),
      tick(say("in a hall"), ring.indoor ?? false, { key: "indoor", off }, (on) => state.edit(say("Hall"), (p) => {
        if (on) p.ring.indoor = true;
        else delete p.ring.indoor;
      })),
    ];
  }

  function gates() {
    return /** @type {edges.Gate[]} */ (["entrance", "exit"]).map((gate) =>
      pointsField(say("{gate}, its two ends", { gate: THINGS[gate] }), state.plan.ring[gate] ?? [], how(gate), ([a, b, ...more]) => state.edit(capital(THINGS[gate]), (p) => {
        if (a && b && !more.length) p.ring[gate] = [a, b];
        else delete p.ring[gate];
      })));
  }

  function blocked() {
    const edit = (/** @type {number} */ i, /** @type {object} */ values) => state.edit(say("Blocked place"), (p) => Object.assign(/** @type {any[]} */ (p.ring.blocked)[i], values));
    return (state.plan.ring.blocked ?? []).map((place, i) => h("fieldset", { class: "blocked-place" }, h("legend", {}, say("blocked: {name}", { name: place.name })),
      textField(say("what it is"), place.name, { ...how(`blocked ${i} name`), needed: true }, (v) => edit(i, { name: v })),
      ...(place.outline ? [pointsField(say("corners"), place.outline, how(`blocked ${i} corners`), (outline) => edit(i, { outline }))] : [
        pointsField(say("middle"), [/** @type {Point} */ (place.centre)], how(`blocked ${i} middle`), ([centre]) => centre && edit(i, { centre })),
        lengthField(say("radius"), place.radius, { ...how(`blocked ${i} radius`), needed: true }, (v) => v && edit(i, { radius: v })),
      ]),
      h("button", { type: "button", "data-key": `blocked ${i} remove`, disabled: !state.draws, onclick: () => state.commit(say("Take out {name}", { name: place.name }), edges.placeTaken(state.history.present, i)) }, say("Take out"))));
  }
}
