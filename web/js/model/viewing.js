// What an external reviewer may see, in words.
import { listed } from "../lib/words.js";

/** @type {Record<string, string>} */
const figures = { rows: "the cohort's figures with each trainee's line, without names", counts: "the cohort's figures without names" };

/** @param {Api.Viewing} given */
export function viewingWords({ trainees, figures: chosen }) {
  const parts = trainees.length > 0 ? [`the records of ${listed(trainees.map(one => one.name))}`] : [];
  return listed(chosen ? [...parts, figures[chosen]] : parts);
}
