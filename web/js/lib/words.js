// Words for ids that the catalogue of the API does not name.

/** @type {Record<string, string>} */
const table = {
  "paroxysmal": "paroxysmal", "persistent": "persistent", "long-standing-persistent": "long-standing persistent", "permanent": "permanent",
  "draft": "draft", "submitted": "waiting for sign-off", "returned": "returned to you", "signed-off": "signed off", "withdrawn": "withdrawn",
  "primary": "primary surgeon", "assistant": "assistant", "observer": "observer",
  "critical": "critical", "major": "major", "minor": "minor", "remark": "remark",
  "scope": "scope", "completeness": "completeness of lines", "safety": "safety", "delivery": "energy and delivery", "aftercare": "verification and aftercare",
  "met": "met", "on-course": "on course", "short": "short", "lapsed": "lapsed", "not-enough-data": "not enough data",
  "harmless": "harmless: too short to hold a wave", "possible": "possible in a remodelled atrium", "can-sustain": "can sustain flutter",
  "by-itself": "ended by itself", "by-cardioversion": "ended by cardioversion", "does-not-end": "does not end",
  "by-stroke-risk": "then by stroke risk", "stop-if-sinus-rhythm": "then stop if in sinus rhythm", "stop": "then stop",
  "closed": "closed, no flow", "residual-flow": "residual flow", "stump": "stump left", "not-checked": "not checked",
  "target": "meets the programme's target", "minimum": "meets the acceptable minimum", "below": "below the acceptable minimum",
  "beyond": "beyond what is needed", "not-applicable": "not judged",
  "none": "none", "pulmonary-vein-isolation": "vein isolation", "box": "box", "left-atrial": "left atrial", "biatrial": "biatrial", "no-ablation": "no ablation",
  "left-appendage": "left appendage",
  "free-off-drugs": "free off drugs", "free-on-drugs": "free, on a drug", "recurred": "arrhythmia again", "not-judged": "not judged",
  "age-75-or-over": "age 75 or over", "age-65-to-74": "age 65 to 74", "stroke-or-embolism": "stroke or embolism",
};

/** The word for an id; an id without one is its own words. @param {string} [id] */
export const word = (id = "") => table[id] || id.replaceAll("-", " ");

/** The same with a capital. @param {string} [id] */
export const Word = id => capital(word(id));

/** @param {string} text */
export const capital = text => text.charAt(0).toUpperCase() + text.slice(1);

/** One of 'a', 'a and b', 'a, b and c'. @param {string[]} items */
export function listed(items) {
  if (items.length < 2) return items.join("");
  return `${items.slice(0, -1).join(", ")} and ${items[items.length - 1]}`;
}

/** The name an id has in a list of the catalogue. @param {{id: string, name: string}[] | undefined} list @param {string} [id] */
export const named = (list, id = "") => list?.find(item => item.id === id)?.name || word(id);

/** @param {Api.Level[] | undefined} list @param {number} level */
export const levelName = (list, level) => list?.find(item => item.level === level)?.name || String(level);
