// What of the map a finding is about, so that one leads to the other.

/**
 * The keys of the things on the map that a finding is about: itself, its lesion, circuit, gap or structure.
 * @param {Api.Finding} finding @param {number} index @param {Api.Result} result
 * @returns {Set<string>}
 */
export function keysOf(finding, index, result) {
  const { place, code } = finding;
  const keys = new Set([`finding:${index}`]);
  const near = structureOf(finding, result);
  if (near) keys.add(`structure:${near}`);
  if (!place) return keys;
  if (place.lesion !== undefined) keys.add(`lesion:${place.lesion}`);
  if (place.circuit !== undefined) keys.add(`circuit:${place.chamber}:${place.circuit}`);
  if (code === "gap") {
    const gaps = (place.chamber === "left-atrium" ? result.left_atrium : result.right_atrium).gaps;
    const at = gaps.findIndex(gap => (place.lesion === undefined || gap.lesion === place.lesion) && apart(gap.at, place.at) < 0.02);
    if (at >= 0) keys.add(`gap:${place.chamber}:${at}`);
  }
  return keys;
}

/** The findings about any of the keys, by index. @param {Api.Finding[]} findings @param {Set<string>} keys @param {Api.Result} result @returns {number[]} */
export const findingsAbout = (findings, keys, result) => findings.flatMap((finding, index) => {
  const own = keysOf(finding, index, result);
  return [...keys].some(key => own.has(key)) ? [index] : [];
});

/** Codes that name their structure in another way than near-av-node does. @type {Record<string, string>} */
const structures = { "sinus-to-av-broken": "av-node", "sick-sinus-node-at-risk": "sinus-node", "posterior-wall-heat": "oesophagus" };

/** The structure a finding is about, by its code and chamber; empty where there is none. @param {Api.Finding} finding @param {Api.Result} result */
function structureOf({ code, place }, result) {
  const named = /^near-(.+)$/.exec(code)?.[1] || "";
  const id = structures[code] || (named === "phrenic-nerve" ? `${place?.chamber === "left-atrium" ? "left" : "right"}-phrenic-nerve` : named);
  return result.hazards.some(hazard => hazard.structure === id) || code in structures ? id : "";
}

/** @param {Api.Vec} a @param {Api.Vec} b on the unit sphere */
const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
