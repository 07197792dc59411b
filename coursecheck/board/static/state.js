/** The state of the page: the plan with its history, what is chosen, and what the program last said of it. */
import { History } from "./history.js";
import { copy } from "./plan.js";
import { ask, Line, Newest, Refused, WINDOW } from "./server.js";
import { lengthWords } from "./units.js";
import { say } from "./words.js";

/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Answer} Answer */
/** @typedef {import("./types.js").Kind} Kind */
/** @typedef {"plan"|"preview"|"answer"|"selection"|"mode"|"pen"|"saved"|"tab"|"failed"} Topic */

export class State {
  /** @param {any} start as the program gives it */
  constructor(start) {
    this.start = start;
    /** @type {Kind[]} */
    this.kinds = start.kinds;
    /** @type {History<Plan>} */
    this.history = new History(start.plan);
    /** @type {Plan|null} what is seen while a gesture is under way */
    this.preview = null;
    /** @type {Answer|null} */
    this.answer = null;
    /** Whether the answer is on the newest plan, and no gesture is under way. */
    this.rests = false;
    /** @type {Set<string>} */
    this.selection = new Set();
    /** @type {string|null} the key of the finding that is shown */
    this.finding = null;
    this.mode = "draw";
    /** @type {string|null} the kind that the next press places */
    this.armed = null;
    this.numbering = true;
    /** @type {number|null} after which pass the next number goes; null for the end */
    this.cursor = null;
    this.draws = false;
    this.saved = savedWords(start.exists);
    this.shown = "";
    /** @type {{made: string[], solved: string[], fresh: Set<string>}} */
    this.change = { made: [], solved: [], fresh: new Set() };
    /** @type {Map<string, string>|null} the findings before the last change */
    this._before = null;
    /** @type {Map<string, string>|null} the findings of the last plan that was judged whole */
    this._judged = null;
    /** @type {Map<Topic, (() => void)[]>} */
    this._listeners = new Map();
    this._line = new Line();
    this._judging = new Newest(
      (rev, body) => this._judge(rev, body),
      (error) => this._notJudged(error),
      () => this._line.overtake(),
    );
    this._keeping = new Newest((rev, body) => this._keep(rev, body), (error) => this._notKept(error));
    /** @type {(text: string, alarm?: boolean) => void} */
    this.announce = () => {};
  }

  /** @returns {Plan} */
  get plan() {
    return this.preview ?? this.history.present;
  }

  /** @param {Topic[]} topics @param {() => void} hear */
  on(topics, hear) {
    for (const topic of topics) this._listeners.set(topic, [...(this._listeners.get(topic) ?? []), hear]);
  }

  /** @param {Topic[]} topics */
  tell(...topics) {
    const heard = new Set(topics.flatMap((topic) => this._listeners.get(topic) ?? []));
    for (const hear of heard) hear();
  }

  /** Shows a plan while a gesture is under way. @param {Plan} plan */
  show(plan) {
    this.preview = plan;
    this.judge(); // first, so that it is judged while it is painted
    this.tell("preview");
  }

  /** One step that is an edit of a copy. @param {string} name @param {(plan: Plan) => void} edit */
  edit(name, edit) {
    const next = copy(this.history.present);
    edit(next);
    this.commit(name, next);
  }

  /** "m" or "ft": how lengths are written. */
  get units() {
    return this.plan.course.units ?? "m";
  }

  /** A length in words. @param {number} metres */
  length(metres) {
    return lengthWords(metres, this.units);
  }

  /** Lets go of a gesture: everything is as before. */
  cancel() {
    if (!this.preview) return;
    this.preview = null;
    this.tell("plan");
    this.judge();
  }

  /** Ends a gesture: one step. @param {string} name @param {Plan} plan @param {string} merge */
  commit(name, plan, merge = "") {
    this.preview = null;
    if (!this.draws) {
      this.announce(say("This window only reads."), true);
      this.tell("plan");
      return;
    }
    if (this.history.take(name, plan, merge)) {
      this._remember();
      this._changed(name);
    } else this.tell("plan");
  }

  /** Takes the plan of the file as a step of its own; it is kept already. @param {string} name @param {Plan} plan @param {boolean} exists whether there is a file */
  adopt(name, plan, exists) {
    this.preview = null;
    this._remember();
    this.history.take(name, plan);
    this.saved = savedWords(exists);
    this.announce(`${name}.`);
    this.tell("plan", "selection", "saved");
    this.judge();
  }

  undo() {
    this._step(this.history.undo(), (step) => say("Undone: {step}", { step }), say("Nothing to undo."));
  }

  redo() {
    this._step(this.history.redo(), (step) => say("Done again: {step}", { step }), say("Nothing to do again."));
  }

  /** @param {string|null} name @param {(step: string) => string} words @param {string} nothing what is said where there was no step */
  _step(name, words, nothing) {
    this.preview = null;
    if (name === null) {
      this.announce(nothing);
      return;
    }
    this._remember();
    this._changed(words(name));
  }

  /** @param {string} name */
  _changed(name) {
    const ids = new Set(this.plan.obstacle.map((o) => o.id));
    this.selection = new Set([...this.selection].filter((id) => ids.has(id)));
    if (this.cursor !== null) this.cursor = Math.min(this.cursor, this.plan.sequence.run.length);
    this.announce(`${name}.`);
    this.saved = say("to save");
    this.tell("plan", "selection", "saved");
    this._keeping.push({ plan: this.history.present });
    this.judge();
  }

  _remember() {
    this._before ??= this._judged;
  }

  /** Has the plan judged. */
  judge() {
    document.body.dataset.judging = "true";
    return this._judging.push({ plan: this.plan, shown: this.shown });
  }

  /** @param {number} rev @param {{plan: Plan, shown: string}} body */
  async _judge(rev, body) {
    const news = await this._line.ask(body);
    if (news.overtaken) return;
    const answer = (this.answer = news.whole || !this.answer ? news : withNews(this.answer, news));
    this.shown = answer.shown;
    const newest = rev === this._judging.rev;
    this.rests = newest && !this.preview;
    if (this.rests) this._compare(titles(answer));
    this.tell("answer");
    document.body.getBoundingClientRect(); // laid out now, while the next frame is waited for: it has only to be painted
    if (newest) delete document.body.dataset.judging;
  }

  /** @param {Error} error */
  _notJudged(error) {
    delete document.body.dataset.judging;
    this.tell("failed");
    this.announce(say("Not judged: {why}", { why: error.message }), true);
  }

  /** What the last change made and what it solved. @param {Map<string, string>} now */
  _compare(now) {
    const before = this._before;
    this._judged = now;
    if (!before) return;
    const gone = [...before.keys()].filter((key) => !now.has(key));
    const fresh = new Set([...now.keys()].filter((key) => !before.has(key)));
    for (const key of fresh) {
      // What an obstacle put in or taken out before it has only given other numbers is neither new nor solved.
      const as = gone.findIndex((other) => subject(other) === subject(key));
      if (as < 0) continue;
      gone.splice(as, 1);
      fresh.delete(key);
    }
    const words = (/** @type {Map<string, string>} */ all, /** @type {Iterable<string>} */ keys) => [...keys].map((key) => all.get(key) ?? "");
    this.change = { made: words(now, fresh), solved: words(before, gone), fresh };
    this._before = null;
  }

  /** @param {number} rev @param {any} body */
  async _keep(rev, body) {
    await ask("keep", { window: WINDOW, rev, ...body });
  }

  /** The file holds a state; what is newer is still to be saved. @param {number} rev */
  isSaved(rev) {
    if (rev === this._keeping.rev) this.saved = say("saved");
    this.tell("saved");
  }

  /** The number of the newest state. */
  get rev() {
    return this._keeping.rev;
  }

  /** @param {Error} error */
  _notKept(error) {
    if (error instanceof Refused && error.status === 422) {
      this.undo();
      this.history.future.pop(); // it is no plan: nobody wants it back
      this.tell("plan");
    } else {
      this.saved = say("not saved");
      this.tell("saved");
    }
    this.announce(say("Not kept: {why}", { why: error.message }), true);
  }

  /** Saves at once. */
  async flush() {
    const answer = await ask("keep", { window: WINDOW, rev: this.rev, plan: this.history.present, now: true });
    return answer.saved;
  }

  /** @param {Iterable<string>} ids */
  select(ids) {
    this.selection = new Set(ids);
    this.tell("selection");
  }

  /** @param {string} name */
  kind(name) {
    return /** @type {Kind} */ (this.kinds.find((kind) => kind.name === name));
  }
}

/** What is said of a file that holds all that was drawn. @param {boolean} exists whether there is one yet */
export function savedWords(exists) {
  return exists ? say("saved") : say("no file yet");
}

/** An answer with what the next one said anew; symbols that are not drawn any more go. @param {Answer} before @param {Answer} news @returns {Answer} */
function withNews(before, news) {
  const obstacles = { ...before.obstacles, ...news.obstacles };
  const symbols = { ...before.symbols, ...news.symbols };
  const used = news.symbols ? new Set(Object.values(obstacles).map((drawn) => drawn.symbol)) : null;
  return { ...before, ...news, obstacles, symbols: used ? Object.fromEntries(Object.entries(symbols).filter(([key]) => used.has(key))) : symbols };
}

/** @param {Answer} answer @returns {Map<string, string>} */
function titles(answer) {
  return new Map(answer.findings.map((f) => [f.key, say("{title}, {place} ({state})", { title: f.title, place: f.place, state: f.state })]));
}

/** The key of a finding without the numbers of its passes. @param {string} key */
function subject(key) {
  return key.split(" ").filter((_, i) => i !== 2).join(" ");
}
