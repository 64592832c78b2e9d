// Lambert's azimuthal equal-area projection of a chamber about the point opposite its valve (J. H. Lambert, 1772): the valve's annulus
// becomes the rim of a disc and areas stay true. The model computes the same; testdata/projection.json holds both to it.
import { dot, unit } from "./sphere.js";

export class Projection {
  /** @param {{centre: Api.Vec, right: Api.Vec, up: Api.Vec}} frame unit vectors at right angles */
  constructor({ centre, right, up }) {
    this.centre = unit(centre);
    this.right = unit(right);
    this.up = unit(up);
  }

  /**
   * The place of a direction on the map of the unit sphere: x to the viewer's right, y up, at most 2 from the centre, which is the
   * distance of the point opposite the centre.
   * @param {Api.Vec} direction
   * @returns {[number, number]}
   */
  point(direction) {
    const v = unit(direction);
    const scale = Math.sqrt(2 / Math.max(1 + dot(v, this.centre), 1e-9));
    return [scale * dot(v, this.right), scale * dot(v, this.up)];
  }

  /**
   * The direction of a place on the map.
   * @param {number} x @param {number} y
   * @returns {Api.Vec}
   */
  direction(x, y) {
    const squared = Math.min(x * x + y * y, 4);
    const across = Math.sqrt(1 - squared / 4), along = 1 - squared / 2;
    const { centre: c, right: r, up: u } = this;
    const part = (/** @type {0 | 1 | 2} */ i) => across * (x * r[i] + y * u[i]) + along * c[i];
    return unit([part(0), part(1), part(2)]);
  }

  /** How far from the centre the circle at this angle from it lies. @param {number} angle radians */
  static radius(angle) { return 2 * Math.sin(angle / 2); }
}
