// Common lesion sets to begin a case from: the case is then adjusted to what was done.

const veins = ["left-pulmonary-vein-isolation", "right-pulmonary-vein-isolation"];
const box = [...veins, "roof-line", "floor-line"];
const left = [...box, "mitral-isthmus-line", "coronary-sinus-lesion", "left-appendage-line"];
const biatrial = [...left, "intercaval-line", "free-wall-line", "right-appendage-line"];

/** @type {{id: string, name: string, lesions: string[]}[]} */
export const presets = [
  { id: "pulmonary-vein-isolation", name: "Vein isolation", lesions: veins },
  { id: "box", name: "Box", lesions: box },
  { id: "left-atrial", name: "Left atrial", lesions: left },
  { id: "biatrial", name: "Biatrial", lesions: biatrial },
];

/**
 * The lesions of a preset; what was already entered of a lesion stays.
 * @param {string[]} ids @param {Api.Lesion[]} entered
 * @returns {Api.Lesion[]}
 */
export const fromPreset = (ids, entered) => ids.map(id => entered.find(one => one.lesion === id) || presetLesion(id));

/** Cold where the line meets an annulus, heat elsewhere: common practice, no source. @param {string} id @returns {Api.Lesion} */
function presetLesion(id) {
  const cold = ["mitral-isthmus-line", "coronary-sinus-lesion", "right-appendage-line"].includes(id);
  return { lesion: id, energy: cold ? "cryo" : "bipolar-rf", applications: cold ? 1 : 2, block: veins.includes(id) ? "exit" : "not-tested" };
}

/** The preset the lesions amount to exactly, if any. @param {Api.Lesion[]} lesions */
export function presetOf(lesions) {
  const ids = lesions.map(lesion => lesion.lesion || "").sort().join();
  return presets.find(preset => [...preset.lesions].sort().join() === ids)?.id || "";
}
