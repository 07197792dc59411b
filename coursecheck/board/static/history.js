/**
 * Undo and redo: one step a gesture, each with its name, as many as there are.
 *
 * @template T
 */
export class History {
  /** @param {T} present */
  constructor(present) {
    this.present = present;
    /** @type {{name: string, state: T}[]} */
    this.past = [];
    /** @type {{name: string, state: T}[]} */
    this.future = [];
    this._merge = "";
    this._at = 0;
  }

  /**
   * Takes a new state.
   * @param {string} name what the gesture did
   * @param {T} state
   * @param {string} merge gestures of the same sort on the same things that follow quickly are one step; "" never
   * @param {number} now milliseconds
   */
  take(name, state, merge = "", now = Date.now()) {
    if (JSON.stringify(state) === JSON.stringify(this.present)) return false;
    const joins = merge && merge === this._merge && now - this._at < 1000 && this.past.length > 0;
    if (joins) this.past[this.past.length - 1].name = name;
    else this.past.push({ name, state: this.present });
    this.present = state;
    this.future = [];
    this._merge = merge;
    this._at = now;
    return true;
  }

  /** @returns {string|null} the name of the step that was undone */
  undo() {
    const step = this.past.pop();
    if (!step) return null;
    this.future.push({ name: step.name, state: this.present });
    this.present = step.state;
    this._merge = "";
    return step.name;
  }

  /** @returns {string|null} the name of the step that was done again */
  redo() {
    const step = this.future.pop();
    if (!step) return null;
    this.past.push({ name: step.name, state: this.present });
    this.present = step.state;
    this._merge = "";
    return step.name;
  }
}
