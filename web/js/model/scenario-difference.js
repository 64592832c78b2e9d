// What differs between two versions of a scenario, field by field, and a version put together from choices between them.
import { whole } from "./scenario-draft.js";

/**
 * @typedef {{key: string, field: string, title?: string, mine: unknown, theirs: unknown, changed: "mine" | "theirs" | "both"}} Difference
 * key: the same in both versions; field: where it stands in the form ('patient.age'); title: of the answer it belongs to; mine and theirs: undefined where
 * one version does not have it; changed: who departed from the version both began with
 */

/** What the server writes itself, and what an edition keeps: nothing to choose. */
const kept = new Set(["id", "version", "status"]);

/** @param {unknown} value */
const isPart = value => typeof value === "object" && value !== null && !Array.isArray(value);

/** What is nothing in one version and left out in the other is the same. @param {unknown} value @param {string} [name] */
export const settled = (value, name) => JSON.stringify(sorted(value, name)) ?? "";

/** @param {unknown} value @param {string} [name] of the field @returns {unknown} */
function sorted(value, name = "") {
  if (name.endsWith("ablate")) return value ?? undefined; // the one field where no is an answer and nothing is none
  if (value === null || value === "" || value === false || value === 0) return undefined;
  if (Array.isArray(value)) return value.length > 0 ? value.map(one => sorted(one) ?? null) : undefined;
  if (!isPart(value)) return value;
  const parts = Object.entries(/** @type {object} */ (value)).map(([part, one]) => [part, sorted(one, part)]).filter(([, one]) => one !== undefined).sort(([a], [b]) => (String(a) < String(b) ? -1 : 1));
  return parts.length > 0 ? Object.fromEntries(parts) : undefined;
}

/** The answers of a kind by their title; a title that is there twice is numbered. @param {{title: string}[]} answers @returns {Map<string, any>} */
function byTitle(answers) {
  const found = new Map();
  for (const answer of answers) {
    let name = answer.title.trim(), again = 2;
    while (found.has(name)) name = `${answer.title.trim()} (${again++})`;
    found.set(name, answer);
  }
  return found;
}

/** A scenario as flat fields; answers that are in all versions are compared part by part, the others whole.
 * @param {Api.ScenarioText} scenario @param {Set<string>} shared @returns {Map<string, {field: string, title?: string, value: unknown}>} */
function flat(scenario, shared) {
  /** @type {Map<string, {field: string, title?: string, value: unknown}>} */
  const fields = new Map();
  const walk = (/** @type {string} */ field, /** @type {any} */ value, /** @type {string} */ key, /** @type {string | undefined} */ title) => {
    if (!isPart(value) || /(left_appendage|aftercare|told)$/.test(field)) fields.set(key, { field, title, value });
    else for (const name of Object.keys(value)) walk(field ? `${field}.${name}` : name, value[name], key ? `${key}.${name}` : name, title);
  };
  const { expert, flawed, ...rest } = whole(scenario);
  for (const [name, value] of Object.entries(rest)) if (!kept.has(name)) walk(name, value, name, undefined);
  for (const [kind, answers] of /** @type {[string, any[]][]} */ ([["expert", expert], ["flawed", flawed]])) {
    for (const [title, answer] of byTitle(answers)) {
      const key = `${kind}:${title}`, field = `${kind}[${answers.indexOf(answer)}]`;
      if (shared.has(key)) walk(field, answer, key, title);
      else fields.set(key, { field, title, value: answer });
    }
  }
  return fields;
}

/** @param {Api.ScenarioText} scenario */
const answerKeys = scenario => new Set([...byTitle(scenario.expert || [])].map(([title]) => `expert:${title}`).concat([...byTitle(scenario.flawed || [])].map(([title]) => `flawed:${title}`)));

/**
 * What differs between mine and theirs, in the order of the form.
 * @param {Api.ScenarioText} mine @param {Api.ScenarioText} theirs @param {Api.ScenarioText} [base] the version both began with: who changed what is then known
 * @returns {Difference[]}
 */
export function differences(mine, theirs, base) {
  const known = answerKeys(theirs);
  const shared = new Set([...answerKeys(mine)].filter(key => known.has(key)));
  const [ours, others, began] = [mine, theirs, base || theirs].map(one => flat(one, shared));
  return [...new Set([...ours.keys(), ...others.keys()])].flatMap(key => {
    const [a, b, from] = [ours, others, began].map(fields => settled(fields.get(key)?.value, key));
    if (a === b) return [];
    const at = ours.get(key) || others.get(key);
    /** @type {Difference["changed"]} */
    const changed = a === from ? "theirs" : b === from ? "mine" : "both";
    return [{ key, field: at?.field || key, title: at?.title, mine: ours.get(key)?.value, theirs: others.get(key)?.value, changed }];
  });
}

/** The choice nothing is lost by: a field only the other one changed is theirs, every other is mine. @param {Pick<Difference, "key" | "changed">[]} list @returns {Map<string, "mine" | "theirs">} */
export const firstChoices = list => new Map(list.map(({ key, changed }) => [key, changed === "theirs" ? "theirs" : "mine"]));

/**
 * My version with their value wherever theirs is chosen. Answers only they have come after mine.
 * @param {Api.ScenarioText} mine @param {Api.ScenarioText} theirs @param {Difference[]} list @param {Map<string, "mine" | "theirs">} choices
 * @returns {Api.ScenarioText}
 */
export function chosen(mine, theirs, list, choices) {
  const next = /** @type {any} */ (structuredClone(whole(mine)));
  const places = byKey(next);
  /** @type {Set<unknown>} */
  const gone = new Set();
  for (const { key, title, theirs: value } of list) {
    if (choices.get(key) !== "theirs") continue;
    const kind = title === undefined ? "" : key.slice(0, key.indexOf(":")), owner = `${kind}:${title}`;
    if (!kind) put(next, key.split("."), value);
    else if (key !== owner) put(places.get(owner), key.slice(owner.length + 1).split("."), value);
    else if (places.has(owner)) gone.add(places.get(owner));
    else next[kind].push(structuredClone(value));
  }
  for (const kind of ["expert", "flawed"]) next[kind] = next[kind].filter((/** @type {unknown} */ one) => !gone.has(one));
  return { ...next, id: theirs.id, version: theirs.version, status: theirs.status };
}

/** The answers of a scenario by the keys differences name them with. @param {Api.ScenarioText} scenario @returns {Map<string, any>} */
const byKey = scenario => new Map(/** @type {("expert" | "flawed")[]} */ (["expert", "flawed"]).flatMap(kind => [...byTitle(scenario[kind])].map(([title, answer]) => [`${kind}:${title}`, answer])));

/** @param {any} into @param {string[]} path @param {unknown} value */
function put(into, path, value) {
  const last = path[path.length - 1];
  let at = into;
  for (const name of path.slice(0, -1)) at = at[name] ??= {};
  if (value === undefined) delete at[last];
  else at[last] = structuredClone(value);
}
