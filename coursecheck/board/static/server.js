/** Talking to the program: judging with the newest plan only, keeping, and hearing what happens to the file. */

import { say } from "./words.js";

/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").Answer} Answer */

/** This window, among those that show the same board. */
export const WINDOW = [...crypto.getRandomValues(new Uint8Array(12))].map((b) => b.toString(16).padStart(2, "0")).join("");

export class Refused extends Error {
  /** @param {number} status @param {string} message */
  constructor(status, message) {
    super(message);
    this.status = status;
  }
}

/** @param {string} path @param {object} [body] sent where it is given @returns {Promise<any>} */
export async function ask(path, body) {
  const options = body
    ? { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) }
    : {};
  const response = await fetch(`api/${path}`, options).catch(() => {
    throw new Error(say("the program does not answer"));
  });
  const answer = await response.json().catch(() => ({ error: response.statusText }));
  if (!response.ok) throw new Refused(response.status, answer.error ?? say("refused"));
  return answer;
}

/** Sends the newest of what it is given; one request at a time, older ones that wait are dropped. */
export class Newest {
  /**
   * @param {(rev: number, body: any) => Promise<void>} send
   * @param {(error: Error) => void} failed
   */
  constructor(send, failed) {
    this._send = send;
    this._failed = failed;
    this._waiting = null;
    this._busy = false;
    this.rev = 0;
  }

  /** Whether something is under way. */
  get busy() {
    return this._busy;
  }

  /** @param {any} body */
  async push(body) {
    this.rev += 1;
    this._waiting = { rev: this.rev, body };
    if (this._busy) return;
    this._busy = true;
    while (this._waiting) {
      const { rev, body: next } = this._waiting;
      this._waiting = null;
      try {
        await this._send(rev, next);
      } catch (error) {
        this._failed(/** @type {Error} */ (error));
      }
    }
    this._busy = false;
  }
}

/** @param {(event: any) => void} hear @param {(connected: boolean) => void} connection */
export function listen(hear, connection) {
  const source = new EventSource(`api/events?window=${WINDOW}`);
  source.onmessage = (message) => hear(JSON.parse(message.data));
  source.onopen = () => connection(true);
  source.onerror = () => connection(false);
}
