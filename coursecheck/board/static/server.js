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

/**
 * The line to the program on which plan after plan is judged. It asks one thing at a time, and is opened anew when it
 * was broken off. A request of its own for each plan would take the browser longer than drawing what is answered.
 */
export class Line {
  constructor() {
    /** @type {WebSocket|null} */
    this._socket = null;
  }

  /** @param {object} body @returns {Promise<any>} what is new against the answer before; whole on a line that is new */
  async ask(body) {
    const socket = await this._opened();
    socket.send(JSON.stringify(body));
    const answer = JSON.parse((await heard(socket, "message")).data);
    if (answer.error !== undefined) throw new Error(answer.error);
    return answer;
  }

  /** Has the program leave off: a newer question waits. What is asked is answered with `overtaken` alone, mostly. */
  overtake() {
    if (this._socket?.readyState === WebSocket.OPEN) this._socket.send("overtaken");
  }

  /** @returns {Promise<WebSocket>} */
  async _opened() {
    if (this._socket?.readyState === WebSocket.OPEN) return this._socket;
    const socket = new WebSocket(new URL("api/judging", location.href.replace(/^http/, "ws")));
    await heard(socket, "open");
    this._socket = socket;
    return socket;
  }
}

/** The next of such events of a socket. @param {WebSocket} socket @param {"open"|"message"} event @returns {Promise<any>} */
function heard(socket, event) {
  return new Promise((done, failed) => {
    socket[`on${event}`] = done;
    socket.onclose = () => failed(new Error(say("the program does not answer")));
  });
}

const LATE_MS = 500; // until then a little late is better than nothing at all while the hand moves on

/**
 * Sends the newest of what it is given; one request at a time, older ones that wait are dropped, and one that takes
 * long is overtaken.
 */
export class Newest {
  /**
   * @param {(rev: number, body: any) => Promise<void>} send
   * @param {(error: Error) => void} failed
   * @param {() => void} [overtake] has what is under way end soon
   */
  constructor(send, failed, overtake = () => {}) {
    this._send = send;
    this._failed = failed;
    this._overtake = overtake;
    this._waiting = null;
    this._busy = false;
    this._late = false;
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
    if (this._busy) return this._hurry();
    this._busy = true;
    while (this._waiting) {
      const { rev, body: next } = this._waiting;
      this._waiting = null;
      const timer = setTimeout(() => {
        this._late = true;
        this._hurry();
      }, LATE_MS);
      try {
        await this._send(rev, next);
      } catch (error) {
        this._failed(/** @type {Error} */ (error));
      }
      clearTimeout(timer);
      this._late = false;
    }
    this._busy = false;
  }

  _hurry() {
    if (!this._late || !this._waiting) return;
    this._late = false;
    this._overtake();
  }
}

/** @param {(event: any) => void} hear @param {(connected: boolean) => void} connection */
export function listen(hear, connection) {
  const source = new EventSource(`api/events?window=${WINDOW}`);
  source.onmessage = (message) => hear(JSON.parse(message.data));
  source.onopen = () => connection(true);
  source.onerror = () => connection(false);
}
