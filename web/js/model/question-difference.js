// What differs between two versions of a question, part by part, and a version put together from choices between them.
import { counted, plain } from "../lib/numbers.js";
import { listed, Word, word } from "../lib/words.js";
import { hasOptions, kindName, rulesOf, withOptions } from "./question-draft.js";
import { TopicWords } from "./quiz.js";
import { settled } from "./scenario-difference.js";

/** @typedef {{key: string, name: string, mine: string[], theirs: string[], changed: "mine" | "theirs" | "both"}} QuestionDifference in lines of words */
/** @typedef {{key: string, name: string, value: unknown, lines: string[]}} Part */

/** What an answer is made of. Of two kinds it is one part: options of the one and a number of the other are no question. */
const answer = /** @type {const} */ (["kind", "options", "key", "number", "map", "rule", "keep_order"]);

/** @param {Api.QuestionText} item @param {string} id */
const textOf = (item, id) => (item.options || []).find(one => one.id === id)?.text || id;

/** @param {Api.QuestionOption} one */
const optionLines = one => [one.text, one.feedback && `Said to it: ${one.feedback}`].filter(Boolean);

/** The key, and of an order the place of each. @param {Api.QuestionText} item */
const keyLines = item => (item.key || []).map((id, i) => (item.kind === "ordering" ? `${i + 1}. ${textOf(item, id)}` : textOf(item, id)));

/** @param {Api.QuestionNumber} [number] */
const numberLines = number => (number ? [`${[plain(number.value, 3), number.unit].filter(Boolean).join(" ")}, give or take ${plain(number.tolerance, 3)}`, ...(number.misses || []).map(one => `To ${plain(one.value, 3)}: ${one.feedback}`)] : []);

/** A drawing, told from another by where it begins. @param {Api.Vec[]} path */
const drawing = path => (path.length === 0 ? "none" : `${counted(path.length, "point")}, from ${path[0].map(part => plain(part, 2)).join(" ")}`);

/** What a drawing on the map is marked by. @param {Api.QuestionTask} map @returns {string[]} */
export function taskLines(map) {
  const round = (/** @type {string} */ says, /** @type {string[][] | undefined} */ list) => (list?.length ? `${says} the circuit round ${list.map(one => listed(one.map(word))).join("; and round ")}` : "");
  const { near, effect } = map;
  return [`${Word(map.chamber)}, ${map.draw === "point" ? "a place" : `a ${map.draw}`}`, near && `within ${near.within_mm} mm of the right one`, effect?.isolates?.length && `must isolate: ${listed(effect.isolates.map(word))}`,
    round("must close", effect?.closes), round("must leave", effect?.leaves), effect?.clear?.length && `must stay ${listed(effect.clear.map(one => `${one.least_mm} mm from the ${word(one.structure)}`))}`, effect?.most_mm && `at most ${effect.most_mm} mm long`,
    map.shown.lesions.length > 0 && `there already: ${listed(map.shown.lesions.map(one => word(one.lesion || "a drawn one")))}`].filter(one => typeof one === "string" && one !== "").map(String);
}

/** @param {Api.QuestionTask} [map] @returns {string[]} */
const mapLines = map => (map ? [...taskLines(map), `right: ${drawing(map.key)}`, ...(map.misses || []).map(one => `wrong: ${drawing(one.path)}. ${one.feedback}`)] : []);

/** @param {Api.QuestionText} item */
const ruleLines = item => [rulesOf(item.kind).find(one => one.id === (item.rule || ""))?.name || item.rule || ""].filter(Boolean);

/** The answer in parts. @param {Api.QuestionText} item @returns {Part[]} */
function answerParts(item) {
  const options = item.options || [], order = options.map(one => one.id);
  return [
    ...options.map((one, i) => ({ key: `option:${one.id}`, name: `Option ${i + 1}`, value: one, lines: optionLines(one) })),
    { key: "key", name: item.kind === "ordering" ? "Right order" : "Right answer", value: item.key, lines: keyLines(item) },
    { key: "order", name: "Order the options are shown in", value: item.keep_order ? order : undefined, lines: item.keep_order ? order.map(id => textOf(item, id)) : ["by chance"] },
    { key: "number", name: "Number", value: item.number, lines: numberLines(item.number) },
    { key: "map", name: "On the map", value: item.map, lines: mapLines(item.map) },
    { key: "rule", name: "Marking", value: item.rule, lines: ruleLines(item) },
  ];
}

/** The answer as one part. @param {Api.QuestionText} item @returns {Part} */
const wholeAnswer = item => ({
  key: "answer", name: "Kind and answer", value: answer.map(name => item[name]),
  lines: [kindName(item.kind), ...(item.options || []).map(one => one.text), ...keyLines(item).map(one => `Right: ${one}`), ...numberLines(item.number), ...mapLines(item.map)],
});

/** @param {Api.QuestionText} item @param {boolean} sameKind @returns {Part[]} in the order of the form */
function partsOf(item, sameKind) {
  const plainly = (/** @type {"stem" | "topic" | "difficulty" | "rationale" | "source"} */ key, /** @type {string} */ name, /** @type {(text: string) => string} */ says = text => text) => ({
    key, name, value: item[key], lines: item[key] ? [says(item[key])] : [] });
  return [
    plainly("stem", "Question"), ...(sameKind ? answerParts(item) : [wholeAnswer(item)]), plainly("topic", "Topic", TopicWords), plainly("difficulty", "Difficulty", Word), plainly("rationale", "Why it is right"),
    plainly("source", "Source"), { key: "not_with", name: "Never in one form with", value: item.not_with, lines: item.not_with || [] },
  ];
}

/** What differs, in the order of the form; base is what both began with. @param {Api.QuestionText} mine @param {Api.QuestionText} theirs @param {Api.QuestionText} [base] @returns {QuestionDifference[]} */
export function questionDifferences(mine, theirs, base = theirs) {
  const sameKind = mine.kind === theirs.kind;
  const [ours, others, began] = [mine, theirs, base].map(item => new Map(partsOf(item, sameKind).map(part => [part.key, part])));
  return [...new Set([...ours.keys(), ...others.keys()])].flatMap(key => {
    const [a, b, from] = [ours, others, began].map(parts => settled(parts.get(key)?.value));
    if (a === b) return [];
    const own = ours.get(key), other = others.get(key);
    return [{ key, name: (own || other)?.name || key, mine: own?.lines || [], theirs: other?.lines || [], changed: a === from ? "theirs" : b === from ? "mine" : "both" }];
  });
}

/**
 * Mine with their part wherever theirs is chosen. Options only they have come after mine; the key keeps to the options there are.
 * @param {Api.QuestionText} mine @param {Api.QuestionText} theirs @param {QuestionDifference[]} list @param {Map<string, "mine" | "theirs">} choices @returns {Api.QuestionText}
 */
export function chosenQuestion(mine, theirs, list, choices) {
  const took = new Set(list.filter(({ key }) => choices.get(key) === "theirs").map(({ key }) => key));
  const next = /** @type {any} */ (structuredClone(mine)), from = /** @type {any} */ (theirs);
  const put = (/** @type {string} */ name) => { if (from[name] === undefined) delete next[name]; else next[name] = structuredClone(from[name]); };
  for (const name of ["stem", "topic", "difficulty", "rationale", "source", "not_with", "key", "number", "map", "rule"]) if (took.has(name)) put(name);
  if (took.has("order")) put("keep_order");
  for (const name of took.has("answer") ? answer : []) put(name);
  const settledOn = { ...next, id: theirs.id, version: theirs.version, status: theirs.status, author: theirs.author };
  if (took.has("answer") || !hasOptions(mine.kind)) return settledOn;
  return withOptions(settledOn, optionsOf(mine, theirs, took));
}

/** @param {Api.QuestionText} mine @param {Api.QuestionText} theirs @param {Set<string>} took @returns {Api.QuestionOption[]} */
function optionsOf(mine, theirs, took) {
  const [own, other] = [mine, theirs].map(item => new Map((item.options || []).map(one => [one.id, one])));
  const ids = [...new Set([...own.keys(), ...other.keys()])];
  const rank = mine.kind === "ordering" && took.has("key") ? theirs.key || [] : took.has("order") ? [...other.keys()] : ids;
  const place = (/** @type {string} */ id) => (rank.includes(id) ? rank.indexOf(id) : rank.length);
  return ids.sort((a, b) => place(a) - place(b)).flatMap(id => (took.has(`option:${id}`) ? other : own).get(id) || []);
}
