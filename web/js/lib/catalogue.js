// The shape and the catalogue of the atria, read once per size of the atria.
import { withQuery } from "./api.js";
import { read as readOrKept } from "./reference.js";

/** @type {Map<string, Promise<Api.Atrium>>} */
const read = new Map();

/**
 * @param {number} [leftMM] left atrial diameter, normal where not given @param {number} [rightMM]
 * @returns {Promise<Api.Atrium>}
 */
export function catalogue(leftMM, rightMM) {
  const path = withQuery("/atrium", { left_atrium_diameter_mm: leftMM || undefined, right_atrium_diameter_mm: rightMM || undefined });
  const known = read.get(path);
  if (known) return known;
  const asked = readOrKept(path).then(({ data }) => /** @type {Api.Atrium} */ (data));
  read.set(path, asked);
  asked.catch(() => read.delete(path));
  return asked;
}
