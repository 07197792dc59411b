/** The plan as a whole: words of the title block, rulebook, start and finish, and the papers. */
import { choice, lengthField, numberField, refill, textField, tick } from "./fields.js";
import { h } from "./svg.js";
import { LANGUAGE, say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Rulebook} Rulebook */

const PAPERS = [["all", say("All papers (ZIP)")], ["report", say("Report (HTML)")], ["plan", say("Plan (SVG)")], ["result", say("Result (JSON)")], ["course", say("Course file")]];

/** @param {State} state @param {HTMLElement} panel @param {(paper: string) => void} download @param {(code: string) => void} speak */
export function settings(state, panel, download, speak) {
  state.on(["plan", "pen", "tab"], () => {
    if (!state.preview && !panel.hidden) refill(panel, [h("h2", {}, say("Plan")), ...course(), ...lines(), ...papers(), ...page()]);
  });

  const put = (/** @type {string} */ name, /** @type {(plan: Plan) => void} */ edit) => state.edit(name, edit);

  function course() {
    const { course: c } = state.plan;
    const off = !state.draws;
    const books = /** @type {Rulebook[]} */ (state.start.rulebooks);
    const book = books.find((b) => b.name === c.rulebook);
    const words = (/** @type {string[]} */ list) => list.map((word) => /** @type {[string, string]} */ ([word, word]));
    return [
      textField(say("title"), c.title, { key: "title", needed: true, off }, (v) => put(say("Title"), (p) => (p.course.title = v))),
      choice(say("rulebook"), c.rulebook, books.filter((b) => b.disciplines || b === book).map((b) => [b.name, b.title]), { key: "rulebook", off }, (v) => put(say("Rulebook"), (p) => takeBook(p, v, books))),
      choice(say("discipline"), c.discipline, words(Object.keys(book?.disciplines ?? { [c.discipline]: [] })), { key: "discipline", off }, (v) => put(say("Discipline"), (p) => {
        const grades = book?.disciplines?.[v] ?? [];
        p.course.discipline = v;
        if (!grades.includes(p.course.grade)) p.course.grade = grades[0] ?? p.course.grade;
      })),
      choice(say("grade"), c.grade, words(book?.disciplines?.[c.discipline] ?? [c.grade]), { key: "grade", off }, (v) => put(say("Grade"), (p) => (p.course.grade = v))),
      h("fieldset", { class: "heights" }, h("legend", {}, say("height classes")), ...(book?.heights ?? []).map(({ id }) =>
        tick(id, !c.heights || c.heights.includes(id), { key: `height ${id}`, off }, (on) => put(say("Height classes"), (p) => takeHeight(p, book?.heights?.map((x) => x.id) ?? [], id, on))))),
      numberField(say("speed"), c.speed_mps, { unit: "m/s", key: "speed", off }, (v) => put(say("Speed"), (p) => {
        if (v === undefined) delete p.course.speed_mps;
        else p.course.speed_mps = v;
      })),
      choice(say("lengths are given in"), state.units, [["m", say("metres")], ["ft", say("feet")]], { key: "units", off }, (v) => put(say("Lengths in {unit}", { unit: v }), (p) => {
        if (v === "m") delete p.course.units;
        else p.course.units = v;
      })),
    ];
  }

  function lines() {
    const off = !state.draws;
    const { sequence: q } = state.plan;
    const put2 = (/** @type {"start_line"|"finish_line"} */ key, /** @type {number|undefined} */ v) => put(say("Start and finish"), (p) => {
      if (v) p.sequence[key] = v;
      else delete p.sequence[key];
    });
    return [
      lengthField(say("start line before 1"), q.start_line, { units: state.units, key: "start", placeholder: "0", off }, (v) => put2("start_line", v)),
      lengthField(say("finish line after the last"), q.finish_line, { units: state.units, key: "finish", placeholder: "0", off }, (v) => put2("finish_line", v)),
    ];
  }

  function papers() {
    return [h("h3", {}, say("Papers")), h("p", { class: "buttons" },
      ...PAPERS.map(([name, words]) => h("button", { type: "button", "data-key": `paper ${name}`, onclick: () => download(name) }, words)))];
  }

  function page() {
    const languages = /** @type {[string, string][]} */ (Object.entries(state.start.languages));
    return [h("h3", {}, say("This page")), choice(say("language"), LANGUAGE, languages, { key: "language" }, speak)];
  }
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
