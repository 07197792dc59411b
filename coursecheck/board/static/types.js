/**
 * The words that the modules of the page share. Lengths are metres, bearings degrees clockwise from up the plan.
 *
 * @typedef {[number, number]} Point
 *
 * @typedef {{id: string, kind: string, at: Point, bearing: number, [size: string]: any}} Obstacle
 *
 * @typedef {object} Ring
 * @property {Point} [size]
 * @property {Point[]} [outline]
 * @property {(string|number)[]} [solid]
 * @property {[Point, Point]} [entrance]
 * @property {[Point, Point]} [exit]
 * @property {boolean} [indoor]
 * @property {{name: string, centre?: Point, radius?: number, outline?: Point[]}[]} [blocked]
 *
 * @typedef {object} Plan The tables of a course file, in metres.
 * @property {number} format
 * @property {{title: string, rulebook: string, discipline: string, grade: string, heights?: string[],
 *     speed_mps?: number, units?: string}} course
 * @property {Ring} ring
 * @property {Obstacle[]} obstacle
 * @property {{run: string[], start_line?: number, finish_line?: number}} sequence
 * @property {Object<string, number|{count: number, lengths: number[]}>} [store]
 *
 * @typedef {{name: string, title: string, default: number, unit: string, about: string, signed: boolean}} Size
 * @typedef {{name: string, title: string, sizes: Size[], symbol: string, bounds: number[]}} Kind
 * @typedef {{name: string, title: string, why_not?: string, disciplines?: Object<string, string[]>,
 *     heights?: {id: string, title: string}[]}} Rulebook
 *
 * @typedef {{drawing: string, outline: Point[], centre: Point, exit: Point, sizes: Object<string, number>,
 *     sides: Point[]}} Symbol How obstacles of a kind and its sizes are drawn, points as (along, right) of the bearing.
 * @typedef {{symbol: string, numbers: string[]}} Drawn The key of a symbol; the numbers taken forwards and in reverse.
 *
 * @typedef {{key: string, outcome: string, state: string, severity: string, gravity: string, title: string,
 *     place: string, lines: {heights: string, figures: string}[], rule: string, waived: string|null,
 *     obstacles: string[], witness: {type: string, points: Point[]}|null}} Finding
 *
 * @typedef {object} Walk What a height class will find the course like to run.
 * @property {string} height
 * @property {string} start
 * @property {{number: number, title: string, words: string, cone: Point[], way: Point[], handlers: Object<string, Point[]>}[]} legs
 * @property {Object<string, string>} handlers with the word for each
 * @property {{leg: number, sentence: string, doubt: string, obstacles: string[], witness: {type: string, points: Point[]}|null}[]} remarks
 * @property {string} advice
 *
 * @typedef {object} Answer What the server says of a plan.
 * @property {string} shown
 * @property {string[]} classes
 * @property {boolean} legal
 * @property {string} verdict
 * @property {string} reason
 * @property {{height: string, length: string|null, sct: string, mct: string}[]} lengths
 * @property {string[]} notes
 * @property {Finding[]} findings
 * @property {{topic: string, about: string}[]} uncovered
 * @property {number[]} legs from landing to take-off, in metres
 * @property {number[]} along how far along the line each pass begins
 * @property {string} ring
 * @property {number[]} box
 * @property {string[]} lines
 * @property {Object<string, Drawn>} obstacles
 * @property {Object<string, Symbol>} symbols
 */
export {};
