// Acts on a path being drawn, and on the points of a drawn lesion of a plan.

/** @typedef {{chamber?: Api.Chamber, path: Api.Vec[], closed: boolean}} Draft */
/** @typedef {{lesions: Api.Lesion[]}} HasLesions */

/** @param {boolean} closed @returns {Draft} */
export const emptyDraft = closed => ({ path: [], closed });

/** The next points of a draft: one, or all of a stretch drawn in one pull; its first one chooses the chamber. @param {Api.Chamber} chamber @param {Api.Vec[]} stretch @returns {import("./history.js").Act<Draft>} */
export const placeStretch = (chamber, stretch) => ({
  says: stretch.length === 1 ? "place the point" : "draw the stretch",
  apply: draft => (stretch.length === 0 || (draft.chamber && draft.chamber !== chamber) ? draft : { ...draft, chamber, path: [...draft.path, ...stretch] }),
});

/** @template {HasLesions} D @param {D} document @param {number} index @param {(path: Api.Vec[]) => Api.Vec[]} change @returns {D} */
const withPath = (document, index, change) => ({
  ...document, lesions: document.lesions.map((lesion, i) => (i === index && lesion.path ? { ...lesion, path: change(lesion.path) } : lesion)),
});

/**
 * Moves a point; steps with the arrow keys undo as one.
 * @template {HasLesions} D @param {number} index @param {number} point @param {Api.Vec} at @param {string} name @param {boolean} [stepwise]
 * @returns {import("./history.js").Act<D>}
 */
export const movePoint = (index, point, at, name, stepwise = false) => ({
  says: `move point ${point + 1} of ${name}`,
  merge: stepwise ? `move ${index} ${point}` : undefined,
  apply: document => withPath(document, index, path => path.map((old, i) => (i === point ? at : old))),
});

/** @template {HasLesions} D @param {number} index @param {number} point @param {Api.Vec} at @param {string} name @returns {import("./history.js").Act<D>} */
export const addPoint = (index, point, at, name) => ({
  says: `add point ${point + 1} to ${name}`,
  apply: document => withPath(document, index, path => path.toSpliced(point, 0, at)),
});

/** A line keeps two points and a ring three. @template {HasLesions} D @param {number} index @param {number} point @param {string} name
 * @returns {import("./history.js").Act<D>} */
export const deletePoint = (index, point, name) => ({
  says: `delete point ${point + 1} of ${name}`,
  apply: document => {
    const lesion = document.lesions[index];
    if ((lesion?.path?.length || 0) <= (lesion?.closed ? 3 : 2)) return document;
    return withPath(document, index, path => path.toSpliced(point, 1));
  },
});

/** A named lesion becomes a drawn one on its standard path, made as before. @template {HasLesions} D @param {number} index @param {Api.CatalogueLesion} standard
 * @returns {import("./history.js").Act<D>} */
export const adjustLesion = (index, standard) => ({
  says: `adjust ${standard.name}`,
  apply: document => ({
    ...document,
    lesions: document.lesions.map((lesion, i) => {
      if (i !== index) return lesion;
      const { lesion: _, ...made } = lesion;
      return { ...made, chamber: standard.chamber, path: standard.path, closed: standard.closed };
    }),
  }),
});
