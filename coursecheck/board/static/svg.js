/** Making elements. Text from a file only ever becomes text. */

const SVG = "http://www.w3.org/2000/svg";
const OPENED = "open"; // by the hand of the user

/** @param {string} name @param {Object<string, string|number>} attributes @param {(Node|string)[]} children */
export function s(name, attributes = {}, ...children) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  node.append(...children);
  return /** @type {SVGElement} */ (node);
}

/** @param {string} name @param {Object<string, any>} attributes handlers as onclick @param {(Node|string)[]} children */
export function h(name, attributes = {}, ...children) {
  const node = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else if (value === true) node.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, String(value));
  }
  node.append(...children);
  return node;
}

/** The elements of a drawing of the program. It is SVG that the program escaped. @param {string} markup @returns {Node[]} */
function parsed(markup) {
  const read = new DOMParser().parseFromString(`<svg xmlns="${SVG}">${markup}</svg>`, "image/svg+xml");
  return [...read.documentElement.childNodes].map((node) => document.importNode(node, true));
}

/** Puts a drawing of the program into a group. @param {SVGElement} group @param {string} markup */
export function draw(group, markup) {
  group.replaceChildren(...parsed(markup));
}

/**
 * Puts a drawing into a group that holds an older one: only what differs is drawn anew.
 * @param {SVGElement} group @param {string[]} before the elements that it holds @param {string[]} now
 */
export function redraw(group, before, now) {
  const held = [...group.childNodes];
  for (const old of held.slice(now.length)) old.remove();
  const fresh = now.flatMap((part, i) => (part === before[i] ? [] : [i]));
  if (!fresh.length) return;
  const nodes = parsed(fresh.map((i) => now[i]).join(""));
  fresh.forEach((i, n) => (held[i] ? liken(held[i], nodes[n]) : group.append(nodes[n])));
}

/**
 * Makes an element like a model; what is the same stays, so that it is neither laid out nor painted anew.
 * Handlers stay as they are, too, and what was opened stays open.
 * @param {Node} node is replaced where it is of another kind @param {Node} model is used up @returns {Node} what stands there now
 */
export function liken(node, model) {
  if (node.nodeName !== model.nodeName) {
    /** @type {ChildNode} */ (node).replaceWith(model);
    return model;
  }
  if (node instanceof Element && model instanceof Element) {
    for (const name of node.getAttributeNames()) if (!model.hasAttribute(name) && name !== OPENED) node.removeAttribute(name);
    for (const name of model.getAttributeNames()) {
      const value = /** @type {string} */ (model.getAttribute(name));
      if (node.getAttribute(name) !== value) node.setAttribute(name, value);
    }
    likenChildren(node, [...model.childNodes]);
  } else if (node.nodeValue !== model.nodeValue) node.nodeValue = model.nodeValue;
  return node;
}

/** Makes the children of an element like some models, see `liken`. @param {Element} node @param {Node[]} models */
export function likenChildren(node, models) {
  const held = [...node.childNodes];
  models.forEach((model, i) => (held[i] ? liken(held[i], model) : node.append(model)));
  for (const old of held.slice(models.length)) old.remove();
}

/** Changes words where they are others. @param {Element} node @param {string} words */
export function reword(node, words) {
  if (node.textContent !== words) node.textContent = words;
}

/**
 * Fills a list: what has the key of something that stood there stays that element, and is made like a new one where
 * it is to be made of something else than that was, see `liken`.
 * @param {Element} list @param {{key: string, from?: string, make: () => Element}[]} items keys are unique @returns {Element[]}
 */
export function fill(list, items) {
  const held = new Map([...list.children].map((node) => [node.getAttribute("data-held"), node]));
  const nodes = items.map(({ key, from = "", make }) => {
    const old = held.get(key);
    if (old && madeOf.get(old) === from) return old;
    const fresh = make();
    fresh.setAttribute("data-held", key);
    const node = old ? /** @type {Element} */ (liken(old, fresh)) : fresh;
    madeOf.set(node, from);
    return node;
  });
  if (nodes.length !== list.children.length || nodes.some((node, i) => node !== list.children[i])) list.replaceChildren(...nodes);
  return nodes;
}

/** @type {WeakMap<Element, string>} what the elements of lists were last made of */
const madeOf = new WeakMap();

/** @param {[number, number][]} points of the plan @returns {string} for points= */
export function corners(points) {
  return points.map(([x, y]) => `${x},${-y}`).join(" ");
}

/** @template {Element} T @param {string} id @param {new () => T} type @returns {T} */
export function byId(id, type) {
  const node = document.getElementById(id);
  if (!(node instanceof type)) throw new Error(`the page has no ${id}`);
  return node;
}
