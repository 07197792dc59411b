/** The page: puts its parts together. */
import { Acts } from "./acts.js";
import { details } from "./details.js";
import { question, show } from "./dialogs.js";
import { Fence } from "./fence.js";
import { findings } from "./findings.js";
import { keys, showKeys } from "./keys.js";
import { Marks } from "./marks.js";
import { order } from "./order.js";
import { THINGS } from "./parts.js";
import { ringFields } from "./ringfields.js";
import { patience } from "./patience.js";
import { Pointer } from "./pointer.js";
import { ask, listen, WINDOW } from "./server.js";
import { settings } from "./settings.js";
import { Sheet } from "./sheet.js";
import { savedWords, State } from "./state.js";
import { store } from "./store.js";
import { byId, h, reword } from "./svg.js";
import { tabs } from "./tabs.js";
import { Tape } from "./tape.js";
import { View } from "./view.js";
import { walk } from "./walk.js";
import { capital, say } from "./words.js";

const status = byId("status", HTMLElement);
const dialog = byId("dialog", HTMLDialogElement);
const svg = /** @type {SVGSVGElement} */ (/** @type {unknown} */ (document.getElementById("sheet")));
const layer = (/** @type {string} */ id) => /** @type {SVGElement} */ (svg.querySelector(`#${id}`));

const state = new State(await ask("start"));
state.announce = (/** @type {string} */ text, alarm = false) => {
  status.textContent = text;
  status.classList.toggle("alarm", alarm);
};
const view = new View(svg);
const sheet = new Sheet(state, svg);
const acts = new Acts(state, sheet, view);
new Marks(state, layer("marks"));
const tape = new Tape(state, layer("tape"), view, (o) => sheet.middle(o));
const fence = new Fence(state, layer("fence"));
const choose = tabs(byId("tabs", HTMLElement), ["store", "findings", "walk", "order", "obstacle", "ring", "plan"], () => state.tell("tab"));
const panel = (/** @type {string} */ name) => byId(`panel-${name}`, HTMLElement);
store(state, panel("store"), (kind) => acts.place(kind));
const lead = findings(state, panel("findings"), view);
const pointer = new Pointer(state, sheet, view, layer("guides"), tape, acts, fence, (key) => {
  choose("findings");
  lead(key);
});
walk(state, panel("walk"), layer("walk"), view);
order(state, panel("order"));
details(state, panel("obstacle"), [
  { words: say("Turn right"), act: () => acts.turn(15) }, { words: say("Turn left"), act: () => acts.turn(-15) }, { words: say("Turn about"), act: () => acts.about() },
  { words: say("Duplicate"), act: () => acts.duplicate() }, { words: say("Number next"), act: () => [...state.selection].forEach((id) => acts.number(id)) },
  { words: say("Delete"), act: () => acts.remove() },
]);
ringFields(state, panel("ring"), (name) => {
  state.mode = "ring";
  state.tell("mode");
  fence.put(name, view.middle);
});
settings(state, panel("plan"), download, speak);
keys(state, acts, fence, svg, {
  cancel: () => {
    pointer.abandon();
    tape.clear();
    const placed = state.armed !== null; // what was placed last stays chosen, with its handles
    Object.assign(state, { armed: null, cursor: null, finding: null });
    state.select(placed ? state.selection : []);
    state.tell("mode");
  },
  help: () => showKeys((title, ...children) => show(dialog, title, ...children)),
  fields: () => {
    choose("obstacle");
    /** @type {HTMLInputElement|null} */ (panel("obstacle").querySelector("[data-key=x]"))?.select();
  },
  tape: (id) => tape.pass(id),
  zoom: (factor) => view.zoom(factor, view.middle),
  whole: () => view.fit(view.box),
  back: () => {
    sheet.focus();
    state.tell("tab"); // the panel shows what holds
  },
});

/** Whether what was drawn is in the file now. */
async function flushed() {
  try {
    return !state.draws || (await state.flush());
  } catch (error) {
    state.announce(/** @type {Error} */ (error).message, true);
    return false;
  }
}

/** @param {string} paper */
async function download(paper) {
  if (await flushed()) h("a", { href: `api/papers/${paper}`, download: true }).click();
}

/** The page again, in another language: its code is the last part of the address. @param {string} code */
async function speak(code) {
  if (await flushed()) location.pathname = location.pathname.replace(/(\/[a-z]{2})?\/$/, `/${code}/`);
}

const on = (/** @type {string} */ id, /** @type {() => void} */ act) => byId(id, HTMLElement).addEventListener("click", act);
on("undo", () => state.undo());
on("redo", () => state.redo());
on("nearer", () => view.zoom(1.25, view.middle));
on("farther", () => view.zoom(0.8, view.middle));
on("whole", () => view.fit(view.box));
on("print", () => window.print());
on("keys", () => showKeys((title, ...children) => show(dialog, title, ...children)));
const shown = byId("shown", HTMLSelectElement);
shown.addEventListener("change", () => {
  state.shown = shown.value;
  state.judge();
});
for (const radio of document.querySelectorAll("[name=mode]")) {
  // Not "change": a press on the one that is chosen lets go of what was to be placed, for a telephone has no Esc.
  radio.addEventListener("click", () => {
    state.mode = /** @type {HTMLInputElement} */ (radio).value;
    state.armed = null;
    if (state.mode === "ring") choose("ring");
    if (state.mode !== "number") state.cursor = null;
    state.tell("mode");
  });
}

state.on(["mode", "pen", "plan"], () => {
  for (const radio of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("[name=mode]"))) radio.checked = radio.value === state.mode;
  svg.dataset.mode = state.armed ? "place" : state.mode;
  reword(byId("hint", HTMLElement), capital(hint()));
});
function hint() {
  if (!state.draws) return say("This window only reads: the file is open for drawing elsewhere.");
  if (state.armed && state.mode === "ring") return say("Press where the {thing} shall be. Esc, or Ring pressed again, ends.", { thing: THINGS[state.armed] });
  if (state.armed) return say("Press where the {kind} shall stand and drag the way it shall be run. Esc, or Draw pressed again, ends.", { kind: state.kind(state.armed).title });
  if (state.mode === "number") return say("Press the obstacles in the order of the course.");
  if (state.mode === "ring") return say("Drag sides, corners and gates; press a side for a wall; press it twice for one more corner.");
  if (state.mode === "measure") return say("Press two or more points to measure between them; points on the line are measured along it too.");
  return state.plan.obstacle.length ? "" : say("An empty ring. Choose from the store, then press on the sheet.");
}
state.on(["plan", "saved", "pen"], () => {
  const { past, future } = state.history;
  button("undo", say("Undo"), (step) => say("Undo: {step}", { step }), past.at(-1)?.name);
  button("redo", say("Redo"), (step) => say("Redo: {step}", { step }), future.at(-1)?.name);
  Object.assign(byId("title", HTMLElement), { textContent: state.plan.course.title, title: state.plan.course.title });
  document.title = say("{title}, drawing board", { title: state.plan.course.title });
  const { discipline, grade, rulebook } = state.plan.course;
  byId("subject", HTMLElement).textContent = `${state.start.name}, ${rulebook}, ${discipline} ${grade}`;
  byId("saved", HTMLElement).textContent = state.draws ? state.saved : say("reads only");
});
/** @param {string} id @param {string} words @param {(step: string) => string} named @param {string|undefined} step */
function button(id, words, named, step) {
  const node = byId(id, HTMLButtonElement);
  node.disabled = !step || !state.draws;
  node.textContent = step ? named(step) : words;
  node.title = step ? named(step) : "";
}
patience(state, byId("stamp", HTMLElement));
let seen = "";
state.on(["answer"], () => {
  const answer = state.answer;
  if (!answer) return;
  reword(byId("verdict", HTMLElement), answer.verdict);
  reword(byId("reason", HTMLElement), answer.reason);
  byId("stamp", HTMLElement).dataset.legal = String(answer.legal);
  if (state.rests) {
    if (seen && seen !== answer.verdict) state.announce(`${status.textContent} ${say("The plan is now {verdict}.", { verdict: answer.verdict })}`, status.classList.contains("alarm"));
    seen = answer.verdict;
  }
  const key = answer.classes.join(" ");
  if (shown.dataset.classes !== key) {
    shown.dataset.classes = key;
    shown.replaceChildren(...answer.classes.map((name) => h("option", { value: name }, name)));
  }
  shown.value = answer.shown;
  // Never under a hand that is dragging: what it holds would run away from it.
  if (!view.fitted || (state.rests && String(answer.box) !== String(view.box))) view.fit(answer.box);
});

listen(hear, (connected) => {
  if (!connected) state.announce(say("The program does not answer. What was drawn until now is in its journal; what is drawn now is kept nowhere. Start it again."), true);
});

const READS = say("The file is open for drawing elsewhere; this window only reads.");

/** @param {any} event */
async function hear(event) {
  if (event.type === "pen") {
    if (event.draws && status.textContent === READS) state.announce(say("This window draws now."));
    state.draws = event.draws;
    if (!event.draws) state.announce(READS);
    else if (state.start.restored) restore();
    state.tell("pen", "plan");
  } else if (event.type === "saved") {
    if (state.draws) state.isSaved(event.rev);
    else await reread();
  } else if (event.type === "not-saved") {
    state.saved = say("not saved");
    state.announce(say("Not saved: {why}", { why: event.why }), true);
    state.tell("saved");
  } else if (event.type === "changed") {
    if (state.draws) changedOutside(event.gone);
    else await reread();
  }
}

/** A window that reads shows what the one that draws has saved. */
async function reread() {
  state.start = await ask("start");
  state.saved = savedWords(state.start.exists);
  state.history.present = state.start.plan;
  state.tell("plan");
  state.judge();
}

function restore() {
  const { plan, changed } = state.start.restored;
  state.start.restored = null;
  const take = async () => state.commit(say("Restore what was not saved"), plan);
  if (!changed) {
    take();
    return;
  }
  question(dialog, say("Work that was not saved"), say("The board was ended before it could save, and the file has been changed since. Restore what was drawn?"), [
    { words: say("Restore it"), act: take },
    {
      words: say("Forget it"),
      act: async () => {
        await ask("settle", { window: WINDOW, choice: "discard" });
      },
    },
  ]);
}

/** @param {boolean} gone whether there is no file any more */
function changedOutside(gone) {
  state.saved = gone ? say("gone from the disk") : say("changed on disk");
  state.tell("saved");
  const [title, text] = gone ? [say("The file is gone"), say("Somebody else has deleted or moved the file. Shall what is drawn here be written again?")]
    : [say("The file was changed"), say("Somebody else has changed the file on the disk. Which plan shall go on?")];
  question(dialog, title, text, [
    {
      words: gone ? say("Begin with an empty ring") : say("Take the one on the disk"),
      act: async () => {
        const { plan } = await ask("settle", { window: WINDOW, choice: "theirs" });
        state.adopt(say("Read the file again"), plan, !gone);
      },
    },
    {
      words: gone ? say("Write it again") : say("Keep mine"),
      act: async () => {
        await ask("settle", { window: WINDOW, choice: "ours", rev: state.rev, plan: state.history.present });
      },
    },
  ]);
}

state.tell("plan", "selection", "mode", "pen");
await state.judge();
if (state.start.conflict) changedOutside(state.start.gone);
svg.dataset.ready = "true";

// The words of all rulebooks take a moment to read, and only this panel asks for them.
byId("tab-plan", HTMLElement).addEventListener("focus", async () => {
  state.start.rulebooks = await ask("rulebooks");
  state.tell("pen");
}, { once: true });
