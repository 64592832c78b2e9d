// A drawn lesion that does what a named one does, by the name of that one.

/**
 * What a drawn lesion amounts to: 'does the work of the roof line'; empty where it does no named lesion's work, or no result tells.
 * @param {import("./atrium.js").Atrium} atrium @param {Api.Result | undefined} result @param {Api.Lesion[]} lesions the set the result is of @param {number} index
 */
export function workOf(atrium, result, lesions, index) {
  const drawn = result?.lesions.length === lesions.length ? result.lesions[index] : undefined;
  const name = drawn && !lesions[index].lesion && atrium.lesion(drawn.recognised)?.name;
  return name ? `does the work of the ${name.charAt(0).toLowerCase()}${name.slice(1)}` : "";
}
