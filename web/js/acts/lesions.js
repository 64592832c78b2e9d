// Acts on the lesions of a plan or of a case: both hold them the same way.

/** @typedef {{lesions: Api.Lesion[]}} HasLesions */

/**
 * @template {HasLesions} D
 * @param {Api.Lesion} lesion @param {string} name
 * @returns {import("./history.js").Act<D>}
 */
export const addLesion = (lesion, name) => ({
  says: `add ${name}`,
  apply: document => ({ ...document, lesions: [...document.lesions, lesion] }),
});

/**
 * @template {HasLesions} D
 * @param {number} index @param {string} name
 * @returns {import("./history.js").Act<D>}
 */
export const removeLesion = (index, name) => ({
  says: `remove ${name}`,
  apply: document => ({ ...document, lesions: document.lesions.filter((_, i) => i !== index) }),
});

/**
 * @template {HasLesions} D
 * @param {number} index @param {Partial<Api.Lesion>} change @param {string} name
 * @returns {import("./history.js").Act<D>}
 */
export const changeLesion = (index, change, name) => ({
  says: `change ${name}`,
  merge: `lesion ${index} ${Object.keys(change).join()}`,
  apply: document => ({ ...document, lesions: document.lesions.map((lesion, i) => (i === index ? { ...lesion, ...change } : lesion)) }),
});

/**
 * @template {HasLesions} D
 * @param {Api.Lesion[]} lesions @param {string} name
 * @returns {import("./history.js").Act<D>}
 */
export const replaceLesions = (lesions, name) => ({
  says: `choose ${name}`,
  apply: document => ({ ...document, lesions }),
});
