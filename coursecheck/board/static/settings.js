/** The plan as a whole: words of the title block, rulebook, ring, and the papers. */
import { choice, numberField, refill, textField, tick } from "./fields.js";
import { copy } from "./plan.js";
import { h } from "./svg.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Rulebook} Rulebook */

const SIDES = ["bottom", "right", "top", "left"];
const PAPERS = [["all", "All papers (ZIP)"], ["report", "Report (HTML)"], ["plan", "Plan (SVG)"], ["result", "Result (JSON)"], ["course", "Course file"]];

/** @param {State} state @param {HTMLElement} panel @param {(paper: string) => void} download */
export function settings(state, panel, download) {
  state.on(["plan", "pen", "tab"], () => {
    if (!state.preview && !panel.hidden) refill(panel, [h("h2", {}, "Plan"), ...course(), ...ring(), ...lines(), ...papers()]);
  });

  /** @param {string} name @param {(plan: Plan) => void} edit */
  function put(name, edit) {
    const next = copy(state.history.present);
    edit(next);
    state.commit(name, next);
  }

  function course() {
    const { course: c } = state.plan;
    const off = !state.draws;
    const books = /** @type {Rulebook[]} */ (state.start.rulebooks);
    const book = books.find((b) => b.name === c.rulebook);
    const words = (/** @type {string[]} */ list) => list.map((word) => /** @type {[string, string]} */ ([word, word]));
    return [
      textField("title", c.title, { key: "title", off }, (v) => v && put("Title", (p) => (p.course.title = v))),
      choice("rulebook", c.rulebook, books.filter((b) => b.disciplines || b === book).map((b) => [b.name, b.title]), { key: "rulebook", off }, (v) => put("Rulebook", (p) => takeBook(p, v, books))),
      choice("discipline", c.discipline, words(Object.keys(book?.disciplines ?? { [c.discipline]: [] })), { key: "discipline", off }, (v) => put("Discipline", (p) => {
        const grades = book?.disciplines?.[v] ?? [];
        p.course.discipline = v;
        if (!grades.includes(p.course.grade)) p.course.grade = grades[0] ?? p.course.grade;
      })),
      choice("grade", c.grade, words(book?.disciplines?.[c.discipline] ?? [c.grade]), { key: "grade", off }, (v) => put("Grade", (p) => (p.course.grade = v))),
      h("fieldset", { class: "heights" }, h("legend", {}, "height classes"), ...(book?.heights ?? []).map(({ id }) =>
        tick(id, !c.heights || c.heights.includes(id), { key: `height ${id}`, off }, (on) => put("Height classes", (p) => takeHeight(p, book?.heights?.map((x) => x.id) ?? [], id, on))))),
      numberField("speed", c.speed_mps, { unit: "m/s", key: "speed", off }, (v) => put("Speed", (p) => {
        if (v === undefined) delete p.course.speed_mps;
        else p.course.speed_mps = v;
      })),
    ];
  }

  function ring() {
    const { ring: r } = state.plan;
    const off = !state.draws;
    const sides = r.size ? SIDES : (r.outline ?? []).map((_, i) => i);
    return [
      h("h3", {}, "Ring"),
      ...(r.size ? [0, 1].map((i) => numberField(i ? "depth" : "width", /** @type {[number, number]} */ (r.size)[i], { unit: "m", key: `size ${i}`, off }, (v) => v !== undefined && put("Ring size", (p) => {
        if (p.ring.size) p.ring.size[i] = v;
      }))) : []),
      cornersField(off),
      h("fieldset", { class: "heights" }, h("legend", {}, "sides that are walls"), ...sides.map((side) =>
        tick(typeof side === "number" ? `side ${side + 1}` : side, (r.solid ?? []).includes(side), { key: `wall ${side}`, off }, (on) => put("Walls", (p) => {
          const solid = new Set(p.ring.solid ?? []);
          if (on) solid.add(side);
          else solid.delete(side);
          p.ring.solid = sides.filter((one) => solid.has(one));
          if (!p.ring.solid.length) delete p.ring.solid;
        })))),
      tick("in a hall", r.indoor ?? false, { key: "indoor", off }, (on) => put("Hall", (p) => {
        if (on) p.ring.indoor = true;
        else delete p.ring.indoor;
      })),
      pointsField("entrance, its two ends", r.entrance ?? [], "entrance", off, (points) => put("Entrance", (p) => takeGate(p, "entrance", points))),
      pointsField("exit, its two ends", r.exit ?? [], "exit", off, (points) => put("Exit", (p) => takeGate(p, "exit", points))),
      ...blocked(off),
    ];
  }

  /** @param {boolean} off */
  function cornersField(off) {
    const { ring: r } = state.plan;
    const [x, y] = r.size ?? [0, 0];
    const points = r.outline ?? [[0, 0], [x, 0], [x, y], [0, y]];
    return pointsField("corners", /** @type {[number, number][]} */ (points), "corners", off, (next) => put("Ring corners", (p) => {
      delete p.ring.size;
      delete p.ring.solid;
      p.ring.outline = next;
    }));
  }

  /** @param {boolean} off */
  function blocked(off) {
    const places = state.plan.ring.blocked ?? [];
    const edit = (/** @type {number} */ i, /** @type {object} */ values) => put("Blocked place", (p) => Object.assign(/** @type {any[]} */ (p.ring.blocked)[i], values));
    return [
      ...places.map((place, i) => h("fieldset", { class: "blocked-place" }, h("legend", {}, `blocked: ${place.name}`),
        textField("what it is", place.name, { key: `blocked ${i} name`, off }, (v) => v && edit(i, { name: v })),
        ...(place.outline ? [pointsField("corners", place.outline, `blocked ${i} corners`, off, (next) => edit(i, { outline: next }))] : [
          pointsField("middle", [/** @type {[number, number]} */ (place.centre)], `blocked ${i} middle`, off, ([next]) => next && edit(i, { centre: next })),
          numberField("radius", place.radius, { unit: "m", key: `blocked ${i} radius`, off }, (v) => v && edit(i, { radius: v })),
        ]),
        h("button", { type: "button", "data-key": `blocked ${i} remove`, disabled: off, onclick: () => put("Take out a blocked place", (p) => {
          p.ring.blocked?.splice(i, 1);
          if (!p.ring.blocked?.length) delete p.ring.blocked;
        }) }, "Take out"))),
      h("p", { class: "buttons" }, h("button", { type: "button", "data-key": "blocked add", disabled: off, onclick: () => put("Add a blocked place", (p) => {
        const [x, y] = p.ring.size ?? [12, 12];
        p.ring.blocked = [...(p.ring.blocked ?? []), { name: "pillar", centre: [x / 2, y / 2], radius: 0.3 }];
      }) }, "Add a blocked place")),
    ];
  }

  function lines() {
    const off = !state.draws;
    const { sequence: q } = state.plan;
    const put2 = (/** @type {"start_line"|"finish_line"} */ key, /** @type {number|undefined} */ v) => put("Start and finish", (p) => {
      if (v) p.sequence[key] = v;
      else delete p.sequence[key];
    });
    return [
      numberField("start line before 1", q.start_line, { unit: "m", key: "start", placeholder: "0", off }, (v) => put2("start_line", v)),
      numberField("finish line after the last", q.finish_line, { unit: "m", key: "finish", placeholder: "0", off }, (v) => put2("finish_line", v)),
    ];
  }

  function papers() {
    return [h("h3", {}, "Papers"), h("p", { class: "buttons" },
      ...PAPERS.map(([name, words]) => h("button", { type: "button", "data-key": `paper ${name}`, onclick: () => download(name) }, words)))];
  }

  /** @param {string} label @param {[number, number][]} points @param {string} key @param {boolean} off @param {(points: [number, number][]) => void} change */
  function pointsField(label, points, key, off, change) {
    return textField(`${label} (x, y; …)`, points.map((p) => p.join(", ")).join("; "), { key, off }, (text) => {
      const next = text === "" ? [] : text.split(";").map((pair) => pair.split(",").map(Number));
      if (next.every((p) => p.length === 2 && p.every(Number.isFinite))) change(/** @type {[number, number][]} */ (next));
      else state.say(`Write ${label} like 0, 2; 0, 4.`, true);
    });
  }
}

/** @param {Plan} plan @param {"entrance"|"exit"} gate @param {[number, number][]} points */
function takeGate(plan, gate, points) {
  if (points.length === 2) plan.ring[gate] = [points[0], points[1]];
  else delete plan.ring[gate];
}

/** @param {Plan} plan @param {string} name @param {Rulebook[]} books */
function takeBook(plan, name, books) {
  const book = books.find((b) => b.name === name);
  const disciplines = book?.disciplines ?? {};
  plan.course.rulebook = name;
  if (!(plan.course.discipline in disciplines)) plan.course.discipline = Object.keys(disciplines)[0] ?? plan.course.discipline;
  const grades = disciplines[plan.course.discipline] ?? [];
  if (!grades.includes(plan.course.grade)) plan.course.grade = grades[0] ?? plan.course.grade;
  const known = new Set(book?.heights?.map((height) => height.id));
  const heights = (plan.course.heights ?? []).filter((height) => known.has(height));
  if (heights.length) plan.course.heights = heights;
  else delete plan.course.heights;
}

/** @param {Plan} plan @param {string[]} every @param {string} id @param {boolean} on */
function takeHeight(plan, every, id, on) {
  const chosen = new Set(plan.course.heights ?? every);
  if (on) chosen.add(id);
  else chosen.delete(id);
  const heights = every.filter((height) => chosen.has(height));
  if (heights.length === every.length || !heights.length) delete plan.course.heights;
  else plan.course.heights = heights;
}
