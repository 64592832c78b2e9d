// The atria as the API describes them: shapes, catalogue, and the words for what is in them.
import { named } from "../lib/words.js";
import { ChamberMap } from "./chamber-map.js";

/** Short forms of the trade for openings too small for their name. @type {Record<string, string[]>} */
const short = {
  "left-superior-vein": ["LSPV"], "left-inferior-vein": ["LIPV"], "right-superior-vein": ["RSPV"], "right-inferior-vein": ["RIPV"],
  "superior-vena-cava": ["superior", "cava"], "inferior-vena-cava": ["inferior", "cava"], "coronary-sinus-ostium": ["CS"],
  "left-appendage-stump": ["appendage"],
};

export class Atrium {
  /** @param {Api.Atrium} facts */
  constructor(facts) {
    this.facts = facts;
    const largest = Math.max(...facts.chambers.map(ChamberMap.rimMM));
    this.maps = facts.chambers.map(chamber => new ChamberMap(chamber, largest));
  }

  /** The same with one chamber alone: what is offered to draw in lies in it. @param {Api.Chamber} chamber */
  only(chamber) { return new Atrium({ ...this.facts, chambers: this.facts.chambers.filter(shape => shape.chamber === chamber) }); }

  /** @param {string} [id] @returns {Api.CatalogueLesion | undefined} */
  lesion(id) { return this.facts.lesions.find(lesion => lesion.id === id); }

  /** The names of a set's lesions; drawn ones are numbered among themselves. @param {Api.Lesion[]} lesions @returns {string[]} */
  namesOf(lesions) {
    let drawn = 0;
    return lesions.map(({ lesion }) => (lesion ? this.lesion(lesion)?.name || named(undefined, lesion) : `Drawn ${++drawn}`));
  }

  /** The name of a site or neighbour of the atria, as within a sentence. @param {string} id */
  structureName(id) {
    const site = this.facts.chambers.flatMap(chamber => chamber.sites).find(one => one.site === id);
    return site?.name || this.facts.neighbours?.find(one => one.id === id)?.name || named(undefined, id);
  }

  /** The catalogue by chamber, in its order. */
  byChamber() {
    return this.facts.chambers.map(({ chamber, name }) => ({ chamber, name, lesions: this.facts.lesions.filter(lesion => lesion.chamber === chamber) }));
  }

  /** The geometry of a lesion: its own path, or the standard one. @param {Api.Lesion} lesion @returns {Api.DrawnLesion | undefined} */
  geometry(lesion) {
    const standard = this.lesion(lesion.lesion);
    if (standard) return { lesion: standard.id, chamber: standard.chamber, path: standard.path, closed: standard.closed };
    return lesion.chamber && lesion.path ? { chamber: lesion.chamber, path: lesion.path, closed: Boolean(lesion.closed) } : undefined;
  }
}

/** The lines of an opening's label. @param {Api.Opening} opening @returns {string[]} */
export const labelLines = opening => short[opening.obstacle] || opening.name.split(" ");

/** The short forms used on the map, with what they stand for. @param {Api.ChamberShape} shape */
export const shortForms = shape => shape.openings
  .filter(opening => /^[A-Z]+$/.test(short[opening.obstacle]?.[0] || ""))
  .map(opening => ({ short: short[opening.obstacle][0], name: opening.name }));
