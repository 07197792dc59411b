/** The course walk: a sheet of remarks and, where it is switched on, a layer on the plan with one leg at a time. */
import { choice, refill, tick } from "./fields.js";
import { flag, measured, middle } from "./marks.js";
import { ask, Newest } from "./server.js";
import { corners, h, s } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./types.js").Walk} Walk */
/** @typedef {import("./types.js").Point} Point */

/** @param {import("./state.js").State} state @param {HTMLElement} panel @param {SVGElement} layer @param {import("./view.js").View} view */
export function walk(state, panel, layer, view) {
  let on = false;
  /** @type {Walk|null} */
  let walked = null;
  let asked = "";
  let leg = 0;
  let remark = -1;
  let handler = "middling";
  const asking = new Newest(async (rev, body) => {
    const news = await ask("walk", body);
    if (!on || rev !== asking.rev) return;
    walked = news;
    if (!news.legs.some((/** @type {{number: number}} */ one) => one.number === leg)) leg = 0;
    if (remark >= news.remarks.length) remark = -1;
    paint();
  }, (error) => {
    asked = "";
    state.announce(say("Not walked: {why}", { why: error.message }), true);
  });

  state.on(["preview", "plan"], () => layer.classList.toggle("older", on && wanted() !== asked));
  state.on(["answer"], () => {
    if (!on || !state.rests || wanted() === asked) return;
    asked = wanted();
    layer.classList.add("older");
    asking.push({ plan: state.plan, shown: state.shown });
  });
  state.on(["tab"], () => paint());

  function wanted() {
    return JSON.stringify([state.plan, state.shown]);
  }

  /** @param {boolean} value */
  function turn(value) {
    on = value;
    [walked, asked, remark, leg] = [null, "", -1, 0];
    state.announce(on ? say("The walk is shown.") : say("The walk is not shown."));
    if (on) state.tell("answer");
    paint();
  }

  function paint() {
    layer.classList.toggle("older", on && wanted() !== asked);
    layer.replaceChildren(...(on && walked ? drawn(walked) : []));
    if (panel.hidden) return;
    refill(panel, [
      h("h2", {}, say("Walk")),
      tick(say("Show the walk on the plan"), on, { key: "walk" }, turn),
      ...(on && walked ? said(walked) : [h("p", { class: "small" }, on ? say("Walking …") : say("What the course will be like to run, by a model dog and model handlers: advice, never a verdict."))]),
    ]);
  }

  /** @param {Walk} walk @returns {Node[]} */
  function said({ height, start, legs, handlers, remarks, advice }) {
    const one = legs.find(({ number }) => number === leg);
    return [
      h("p", { class: "small" }, `${say("Class {height}.", { height })} ${start}${start ? "." : ""}`),
      choice(say("leg"), String(leg), [["0", say("none")], ...legs.map(({ number, title }) => /** @type {[string, string]} */ ([String(number), title]))],
        { key: "walk leg" }, (value) => show(Number(value), -1)),
      ...(Object.keys(handlers).length ? [choice(say("handler"), handlerOf(handlers), Object.entries(handlers), { key: "walk handler" }, (name) => {
        handler = name;
        paint();
      })] : []),
      ...(one ? [h("p", { class: "walk-words" }, one.words)] : []),
      h("ol", { class: "findings" }, ...remarks.map((made, i) => h("li", { class: "finding note" },
        h("button", { type: "button", "data-key": `walk ${i}`, "aria-pressed": String(i === remark), onclick: () => choose(i) },
          h("span", { class: "tag" }, String(i + 1)), h("span", { class: "what" }, made.sentence)),
        ...(made.doubt ? [h("p", { class: "small" }, made.doubt)] : [])))),
      h("p", { class: "small" }, advice),
    ];
  }

  /** @param {number} i */
  function choose(i) {
    if (!walked) return;
    const made = walked.remarks[i];
    show(i === remark ? 0 : made.leg, i === remark ? -1 : i);
    if (i === remark && made.witness) view.reveal(middle(made.witness.points));
  }

  /** @param {number} number @param {number} which */
  function show(number, which) {
    [leg, remark] = [number, which];
    paint();
  }

  /** @param {Object<string, string>} handlers */
  function handlerOf(handlers) {
    return handler in handlers ? handler : Object.keys(handlers).at(-1) ?? "";
  }

  /** @param {Walk} walk @returns {Element[]} */
  function drawn({ legs, handlers, remarks }) {
    const one = legs.find(({ number }) => number === leg);
    const route = one?.handlers[handlerOf(handlers)] ?? [];
    const taken = hung();
    return [
      ...(one ? [s("polygon", { class: "walk-cone", points: corners(one.cone) }), s("polyline", { class: "walk-way", points: corners(one.way) })] : []),
      ...(route.length ? [
        s("polyline", { class: "walk-handler", points: corners(route) }),
        s("circle", { class: "walk-from", cx: route[0][0], cy: -route[0][1], r: 0.18 }),
        s("circle", { class: "walk-to", cx: route[route.length - 1][0], cy: -route[route.length - 1][1], r: 0.28 }),
      ] : []),
      ...remarks.flatMap((made, i) => {
        if (!made.witness) return [];
        const group = s("g", { class: `mark${i === remark ? " shown" : ""}`, "data-remark": i }, s("title", {}, say("Remark {number}: {remark}", { number: i + 1, remark: made.sentence })));
        const spot = made.witness.type !== "path" || i === remark ? measured(made.witness) : [];
        group.append(...spot, ...flag(middle(made.witness.points), i + 1, taken));
        return [group];
      }),
    ];
  }
  paint();
}

/** Where the flags of findings hang. @returns {Point[]} */
function hung() {
  return [...document.querySelectorAll("#marks .cloth")].map((cloth) => {
    const [x, y, wide, high] = ["x", "y", "width", "height"].map((name) => Number(cloth.getAttribute(name)));
    return [x + wide / 2, -(y + high / 2)];
  });
}
