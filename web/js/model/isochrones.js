// How a beat from the sinus node spreads over one chamber, as drawn: regions activated up to a time and lines of equal time, found by
// marching over the triangles of the tissue. Between the corners of a triangle time is linear.

/** @typedef {import("./chamber-map.js").ChamberMap} ChamberMap */
/** @typedef {[from: number, to: number]} Stretch from one place to another; a place is a node, or n + a * n + b for the crossing of the edge from a to b */

/** Lines of equal time stand this far apart, in ms. */
export const stepMS = 20;

export class Isochrones {
  /** @param {Api.Isochrones} facts @param {Pick<ChamberMap, "place">} map */
  constructor({ nodes, triangles, times_ms }, map) {
    this.times = Float64Array.from(times_ms);
    this.places = nodes.map(node => map.place(node));
    this.triangles = triangles.filter(corners => corners.every(node => times_ms[node] >= 0)).map(corners => this.#turned(corners));
    this.rims = rimsOf(this.triangles);
    this.sorted = this.times.filter(time => time >= 0).sort();
  }

  /** The time in ms at which the last place reached is activated; 0 where none is. */
  get latest() { return this.sorted[this.sorted.length - 1] || 0; }

  /** The place activated last, or undefined. @returns {[number, number] | undefined} */
  get latestPlace() { return this.sorted.length > 0 ? this.places[this.times.indexOf(this.latest)] : undefined; }

  /** The share of the chamber's tissue activated by a time; the nodes lie evenly spread. @param {number} ms */
  share(ms) {
    let low = 0, high = this.sorted.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.sorted[middle] <= ms) low = middle + 1;
      else high = middle;
    }
    return this.times.length > 0 ? low / this.times.length : 0;
  }

  /** The tissue activated by a time, as SVG path data to fill by the even-odd rule. @param {number} ms */
  by(ms) { return this.#region(ms, 1); }

  /** The tissue activated after a time, likewise. @param {number} ms */
  after(ms) { return this.#region(ms, -1); }

  /** The line of equal time, as SVG path data. @param {number} ms */
  line(ms) { return this.#chains(ms).map(chain => pathData(chain.places, chain.closed)).join(""); }

  /**
   * Where the time of a line is best written: on its longest piece, away from places already taken.
   * @param {number} ms @param {[number, number][]} taken @param {(place: [number, number]) => boolean} [fits] whether words may stand there at all
   * @returns {[number, number] | undefined}
   */
  labelPlace(ms, taken, fits = () => true) {
    const longest = this.#chains(ms).reduce((best, one) => (one.places.length > best.length ? one.places : best), /** @type {[number, number][]} */ ([]));
    const room = (/** @type {[number, number]} */ [x, y]) => Math.min(60, ...taken.map(([tx, ty]) => Math.hypot((x - tx) / 1.6, y - ty)));
    const inner = longest.slice(2, -2).filter(fits);
    if (inner.length < 4) return undefined; // too short a line to be worth words
    const best = inner.reduce((best, one) => (room(one) > room(best) ? one : best), inner[inner.length >> 1]);
    return room(best) > 15 ? best : undefined;
  }

  /** The whole steps reached, latest first, each with the tissue activated by its end: painted in this order the earlier ones lie on top. */
  steps() {
    const count = Math.ceil(this.latest / stepMS);
    return Array.from({ length: count }, (_, i) => count - 1 - i).map(step => ({ step, d: this.by(Math.min((step + 1) * stepMS, this.latest)) }));
  }

  /** The times of the lines between the steps, in ms. */
  levels() { return Array.from({ length: Math.max(0, Math.ceil(this.latest / stepMS) - 1) }, (_, i) => (i + 1) * stepMS); }

  /** The corners in the order in which all triangles turn the same way on the map. @param {[number, number, number]} corners @returns {[number, number, number]} */
  #turned([a, b, c]) {
    const [p, q, r] = [this.places[a], this.places[b], this.places[c]];
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]) < 0 ? [a, c, b] : [a, b, c];
  }

  /** Where an edge crosses a time, numbered the same from both of its ends. @param {number} a @param {number} b */
  #crossing(a, b) {
    const n = this.times.length;
    return a < b ? n + a * n + b : n + b * n + a;
  }

  /** The place of a number at a time. @param {number} place @param {number} ms @returns {[number, number]} */
  #at(place, ms) {
    const n = this.times.length;
    if (place < n) return this.places[place];
    const a = Math.floor((place - n) / n), b = (place - n) % n;
    const t = (ms - this.times[a]) / (this.times[b] - this.times[a]);
    const [x, y] = this.places[a], [tx, ty] = this.places[b];
    return [x + (tx - x) * t, y + (ty - y) * t];
  }

  /** The front at a time, one stretch a triangle it crosses, with what is within on the same side all along. @param {number} ms @param {1 | -1} side 1 for what is activated by then @returns {Stretch[]} */
  #front(ms, side) {
    /** @type {Stretch[]} */
    const stretches = [];
    for (const corners of this.triangles) {
      let from = -1, to = -1;
      for (let k = 0; k < 3; k++) {
        const a = corners[k], b = corners[(k + 1) % 3];
        const early = this.times[a] <= ms;
        if (early === this.times[b] <= ms) continue;
        if (early === (side === 1)) from = this.#crossing(a, b); // the border leaves the side here
        else to = this.#crossing(a, b);
      }
      if (from >= 0) stretches.push([from, to]);
    }
    return stretches;
  }

  /** @param {number} ms @param {1 | -1} side */
  #region(ms, side) {
    const border = this.#front(ms, side);
    for (const [a, b] of this.rims) {
      const from = (this.times[a] <= ms) === (side === 1), to = (this.times[b] <= ms) === (side === 1);
      if (from && to) border.push([a, b]);
      else if (from) border.push([a, this.#crossing(a, b)]);
      else if (to) border.push([this.#crossing(a, b), b]);
    }
    return joined(border).map(({ chain }) => pathData(chain.map(place => this.#at(place, ms)), true)).join("");
  }

  /** @param {number} ms @returns {{places: [number, number][], closed: boolean}[]} */
  #chains(ms) {
    return joined(this.#front(ms, 1)).map(({ chain, closed }) => ({ places: chain.map(place => this.#at(place, ms)), closed }));
  }
}

/** Both chambers, with the words for a time. */
export class Activation {
  /** @param {Api.ActivationMap} answer @param {ChamberMap[]} maps */
  constructor(answer, maps) {
    this.caution = answer.caution;
    this.chambers = answer.chambers.map((facts, i) => ({ chamber: facts.chamber, isochrones: new Isochrones(facts, maps.find(map => map.shape.chamber === facts.chamber) || maps[i]) }));
  }

  /** @param {Api.Chamber} chamber */
  of(chamber) { return this.chambers.find(one => one.chamber === chamber)?.isochrones; }

  /** When the last place of both chambers is activated, in ms. */
  get latest() { return Math.max(0, ...this.chambers.map(one => one.isochrones.latest)); }

  /** '60 ms: left atrium 48 %, right atrium 91 % activated' @param {number} ms */
  short(ms) {
    const parts = this.chambers.map(({ chamber, isochrones }) => `${chamber.replace("-", " ")} ${Math.round(isochrones.share(ms) * 100)}\u00a0%`);
    return `${Math.round(ms)}\u00a0ms: ${parts.join(", ")} activated`;
  }

  /** As it is spoken: 'at 60 ms: 48 % of the left atrium and 91 % of the right atrium activated' @param {number} ms */
  words(ms) {
    const parts = this.chambers.map(({ chamber, isochrones }) => `${Math.round(isochrones.share(ms) * 100)}\u00a0% of the ${chamber.replace("-", " ")}`);
    return `at ${Math.round(ms)}\u00a0ms: ${parts.join(" and ")} activated`;
  }
}

/** The edges that only one triangle has, as that triangle turns. @param {[number, number, number][]} triangles @returns {Stretch[]} */
function rimsOf(triangles) {
  /** @type {Map<number, Stretch>} */
  const alone = new Map();
  const most = 1 << 20;
  for (const corners of triangles) {
    for (let k = 0; k < 3; k++) {
      const a = corners[k], b = corners[(k + 1) % 3];
      if (!alone.delete(b * most + a)) alone.set(a * most + b, [a, b]);
    }
  }
  return [...alone.values()];
}

/** Stretches joined end to end into the longest chains. @param {Stretch[]} stretches @returns {{chain: number[], closed: boolean}[]} */
function joined(stretches) {
  /** @type {Map<number, number[]>} */
  const ways = new Map();
  const arriving = new Set();
  for (const [from, to] of stretches) {
    const there = ways.get(from);
    if (there) there.push(to);
    else ways.set(from, [to]);
    arriving.add(to);
  }
  /** @type {{chain: number[], closed: boolean}[]} */
  const chains = [];
  const walk = (/** @type {number} */ start) => {
    const chain = [start];
    for (let next = ways.get(start)?.pop(); next !== undefined; next = ways.get(next)?.pop()) {
      if (next === start) return chains.push({ chain, closed: true });
      chain.push(next);
    }
    return chains.push({ chain, closed: false });
  };
  for (const start of ways.keys()) if (!arriving.has(start)) walk(start); // open chains from their beginning
  for (const [start, to] of ways) while (to.length > 0) walk(start);
  return chains;
}

/** @param {[number, number][]} places @param {boolean} closed */
function pathData(places, closed) {
  let d = "";
  for (let i = 0; i < places.length; i++) d += `${i === 0 ? "M" : "L"}${Math.round(places[i][0] * 10) / 10} ${Math.round(places[i][1] * 10) / 10}`;
  return closed ? `${d}Z` : d;
}
