// One chamber as a flat map: directions become places in a square drawing, millimetres keep their scale between the chambers.
import { Projection } from "./projection.js";
import { roomInside } from "./room.js";
import { angle, circle, fine, radians, towards, unit } from "./sphere.js";

/** The drawing's size in its own units; the rim of the larger chamber has radius `rim`. */
export const drawing = { width: 340, height: 356, x: 170, y: 188, rim: 158 };

const valves = ["mitral-annulus", "tricuspid-annulus"];

export class ChamberMap {
  /** @param {Api.ChamberShape} shape @param {number} largestRimMM the rim of the larger chamber, flattened */
  constructor(shape, largestRimMM) {
    this.shape = shape;
    this.projection = new Projection(shape.projection);
    this.scale = (drawing.rim / largestRimMM) * shape.radius_mm;
    this.valve = shape.openings.find(opening => valves.includes(opening.obstacle));
    this.rim = this.scale * Projection.radius(Math.PI - radians(this.valve?.radius_deg || 0));
  }

  /** The radius of a chamber's rim on the flat map, in mm. @param {Api.ChamberShape} shape */
  static rimMM(shape) {
    const valve = shape.openings.find(opening => valves.includes(opening.obstacle));
    return shape.radius_mm * Projection.radius(Math.PI - radians(valve?.radius_deg || 0));
  }

  /** The openings other than the valve, which is the rim. */
  get openings() { return this.shape.openings.filter(opening => opening !== this.valve); }

  /** The direction in the middle of the map, opposite the valve. */
  get middle() { return this.projection.centre; }

  /** @param {Api.Vec} direction @returns {[number, number]} */
  place(direction) {
    const [x, y] = this.projection.point(direction);
    return [round(drawing.x + this.scale * x), round(drawing.y - this.scale * y)];
  }

  /** The direction of a place in the drawing. @param {number} x @param {number} y @returns {Api.Vec} */
  direction(x, y) { return this.projection.direction((x - drawing.x) / this.scale, (drawing.y - y) / this.scale); }

  /**
   * The place reached by going straight up, down, left or right as the map is seen; the way is measured on the surface.
   * @param {Api.Vec} at @param {number} right @param {number} up one of them 1 or -1, the other 0 @param {number} mm
   * @returns {Api.Vec}
   */
  moved(at, right, up, mm) {
    const [x, y] = this.projection.point(at), step = 1e-3;
    return towards(at, this.projection.direction(x + right * step, y + up * step), mm / this.shape.radius_mm);
  }

  /** A path on the surface as SVG path data. @param {Api.Vec[]} path @param {boolean} closed */
  path(path, closed) {
    if (path.length === 0) return "";
    return this.#data(fine(path, closed), closed);
  }

  /** A circuit's path as SVG path data: only its stretches in this chamber, in pieces where it leaves. @param {Api.Site[]} sites */
  circuit(sites) {
    const here = sites.filter(site => site.chamber === this.shape.chamber);
    if (here.length === sites.length) return this.path(here.map(site => site.at), true);
    /** @type {Api.Vec[][]} */
    const pieces = [];
    sites.forEach((site, i) => {
      if (site.chamber !== this.shape.chamber) return;
      const continues = i > 0 && sites[i - 1].chamber === this.shape.chamber;
      if (continues) pieces[pieces.length - 1].push(site.at);
      else pieces.push([site.at]);
    });
    return pieces.filter(piece => piece.length > 1).map(piece => this.path(piece, false)).join("");
  }

  /** An opening's edge as SVG path data. @param {{centre: Api.Vec, radius_deg: number}} opening */
  opening({ centre, radius_deg }) { return this.#data(circle(centre, radians(radius_deg)), true); }

  /** Rings as one path with holes. @param {Api.Vec[][]} rings */
  rings(rings) { return rings.filter(ring => ring.length > 2).map(ring => this.#data(ring, true)).join(""); }

  /**
   * The place a tag would stand best along a path: the site farthest from the places already taken.
   * @param {Api.Vec[]} path @param {[number, number][]} taken
   * @returns {[number, number]}
   */
  tagPlace(path, taken) {
    const places = path.map(at => this.place(at)).filter(([x, y]) => x > 44 && x < drawing.width - 44 && y > 30 && y < drawing.height - 16);
    const room = (/** @type {[number, number]} */ [x, y]) => Math.min(90, ...taken.map(([tx, ty]) => Math.hypot((x - tx) / 1.8, y - ty)));
    const choices = places.length > 0 ? places : [/** @type {[number, number]} */ ([drawing.x, drawing.y])];
    return choices.reduce((best, one) => (room(one) > room(best) ? one : best));
  }

  /** The places that have words already: the openings and the sites. @returns {[number, number][]} */
  labelled() {
    const sites = this.shape.sites.map(site => this.place(site.at)).map(([x, y]) => /** @type {[number, number]} */ (x > drawing.x ? [x, y + 14] : [x + 36, y]));
    return [...this.openings.map(opening => this.place(opening.centre)), ...sites];
  }

  /** Places along a path, close enough together to keep words off it. @param {Api.Vec[]} path @param {boolean} closed */
  along(path, closed) { return path.length > 0 ? fine(path, closed, 0.16).map(at => this.place(this.#onTissue(at))) : []; }

  /** The place inside an island where its name has most room, or undefined. @param {Api.Vec[][]} outline @param {[number, number][]} taken */
  roomIn(outline, taken) { return roomInside(outline.map(ring => ring.map(at => this.place(at))), taken); }

  /** @param {Api.Vec[]} points @param {boolean} closed */
  #data(points, closed) {
    const places = points.map(point => this.place(this.#onTissue(point)).join(" "));
    return `M${places.join("L")}${closed ? "Z" : ""}`;
  }

  /** Points inside the valve are moved to just inside its annulus: beyond the rim the map has nothing. @param {Api.Vec} point @returns {Api.Vec} */
  #onTissue(point) {
    if (!this.valve) return point;
    const centre = unit(this.valve.centre), edge = radians(this.valve.radius_deg) * 0.97;
    const v = unit(point), away = angle(v, centre);
    if (away >= edge || away < 1e-6) return v;
    const along = Math.cos(edge), across = Math.sin(edge) / Math.sin(away), cos = Math.cos(away);
    const part = (/** @type {0 | 1 | 2} */ i) => centre[i] * along + (v[i] - centre[i] * cos) * across;
    return [part(0), part(1), part(2)];
  }
}

/** @param {number} value */
const round = value => Math.round(value * 10) / 10;
