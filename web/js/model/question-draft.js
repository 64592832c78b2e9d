// A question being written: what an empty one is, what belongs to each kind, and the names of its fields.

/** The kinds, in the order they are offered. @type {{id: Api.QuestionKind, name: string}[]} */
export const kinds = [
  { id: "single-best", name: "Single best answer" }, { id: "several", name: "Several answers" }, { id: "numeric", name: "A number" },
  { id: "ordering", name: "Put in order" }, { id: "map", name: "On the map" },
];

export const difficulties = [{ id: "easy", name: "Easy" }, { id: "middling", name: "Middling" }, { id: "hard", name: "Hard" }];

/** The rules of marking a kind can have. @param {string} kind */
export const rulesOf = kind => [
  { id: "", name: "All or nothing" },
  ...(kind === "several" ? [{ id: "half-from-half", name: "Half a point from half of the right ones" }, { id: "share", name: "A share for each right one" }] : []),
  ...(kind === "ordering" ? [{ id: "pairs", name: "By pairs that stand right, less those that stand wrong" }] : []),
];

export const kindName = (/** @type {string} */ kind) => kinds.find(one => one.id === kind)?.name || "No kind yet";

/** Whether a kind is answered by options. @param {string} kind */
export const hasOptions = kind => kind === "single-best" || kind === "several" || kind === "ordering";

/** Ids of options, in the order they are made. @param {Api.QuestionOption[]} options */
export function nextID(options) {
  for (let i = 1; ; i++) if (!options.some(one => one.id === `o${i}`)) return `o${i}`;
}

/** @param {Api.QuestionOption[]} options @returns {Api.QuestionOption[]} */
export const withOption = options => [...options, { id: nextID(options), text: "", feedback: "" }];

const three = () => withOption(withOption(withOption([])));

/** @param {string} id @param {string} author @returns {Api.QuestionText} */
export const emptyQuestion = (id, author) => withKind({ id, version: 1, topic: "", status: "draft", author, kind: "", difficulty: "middling", stem: "", rationale: "", source: "" }, "single-best");

/** The question as another kind: what belongs to it comes, what does not goes. @param {Api.QuestionText} item @param {Api.QuestionKind} kind @returns {Api.QuestionText} */
export function withKind(item, kind) {
  const { options, key, number, map, rule: _, keep_order: kept, ...rest } = item;
  /** @type {Api.QuestionText} */
  const next = { ...rest, kind };
  if (hasOptions(kind)) {
    next.options = options || three();
    next.key = kind === "ordering" ? next.options.map(one => one.id) : (key || []).slice(0, kind === "single-best" ? 1 : undefined);
    if (kept && kind !== "ordering") next.keep_order = true;
  }
  if (kind === "numeric") next.number = number || { value: 0, tolerance: 0, unit: "" };
  if (kind === "map") next.map = map || { chamber: "left-atrium", draw: "point", shown: { lesions: [] }, near: { within_mm: 8 }, key: [] };
  return next;
}

/** The question with other options; the key keeps to those there are, and of an order it is the options as they stand.
 * @param {Api.QuestionText} item @param {Api.QuestionOption[]} options @returns {Api.QuestionText} */
export function withOptions(item, options) {
  const there = new Set(options.map(one => one.id));
  return { ...item, options, key: item.kind === "ordering" ? options.map(one => one.id) : (item.key || []).filter(id => there.has(id)) };
}

/** Makes an option right or wrong; of a single best answer the others are wrong then. @param {Api.QuestionText} item @param {string} id @param {boolean} right */
export function withRight(item, id, right) {
  const others = (item.key || []).filter(one => one !== id);
  if (item.kind === "single-best") return { ...item, key: right ? [id] : others };
  return { ...item, key: (item.options || []).map(one => one.id).filter(one => (one === id ? right : others.includes(one))) };
}

/** An option moved by one. @template T @param {T[]} list @param {number} from @param {number} by @returns {T[]} */
export function movedBy(list, from, by) {
  const to = from + by;
  if (to < 0 || to >= list.length) return list;
  const next = [...list];
  [next[from], next[to]] = [next[to], next[from]];
  return next;
}

/** The ends of names of fields in words. @type {Record<string, string>} */
const parts = { text: "text", feedback: "feedback", value: "number", path: "drawing", id: "id" };

/** A field in words: options[1].text is 'Option 2, text'. @param {string} field */
export function fieldInWords(field) {
  field = field.replace(/^option_(\d+)_(\w+)$/, (_, place, part) => `options[${Number(place) - 1}].${part}`); // a column of a table
  const nested = /^(options|number\.misses|map\.misses|map\.effect\.closes|map\.effect\.leaves|map\.effect\.clear|key|not_with)\[(\d+)\](?:\.(\w+))?/.exec(field);
  const names = { "options": "Option", "number.misses": "Wrong number", "map.misses": "Wrong drawing", "map.effect.closes": "Circuit to close", "map.effect.leaves": "Circuit to leave", "map.effect.clear": "Distance to keep", "key": "Right answer", "not_with": "Not beside" };
  if (nested) return `${names[/** @type {keyof typeof names} */ (nested[1])]} ${Number(nested[2]) + 1}${nested[3] ? `, ${parts[nested[3]] || nested[3]}` : ""}`;
  const plain = /** @type {Record<string, string>} */ ({
    stem: "Question", rationale: "Why", source: "Source", topic: "Topic", kind: "Kind", difficulty: "Difficulty", options: "Options", key: "Right answer", rule: "Marking", number: "Number",
    "number.value": "Right number", "number.tolerance": "Tolerance", "number.unit": "Unit", map: "Map", "map.key": "Drawing that is right", "map.near.within_mm": "Distance that counts", "map.effect": "What it must do", "map.effect.most_mm": "Greatest length", author: "Author", id: "Id",
  });
  return plain[field] || field.replaceAll("_", " ").replaceAll(".", ", ");
}

/** Faults as lines, each saying where it stands. @param {Api.CheckFault[]} faults @returns {{field: string, says: string}[]} */
export const faultLines = faults => faults.map(({ field, message }) => ({ field, says: field ? `${fieldInWords(field)}: ${message}` : message }));

/** Questions with every word of a text somewhere. @param {Api.QuestionHead[]} heads @param {{status: string, topic: string, kind: string, text: string}} wanted */
export function matchingQuestions(heads, { status, topic, kind, text }) {
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  return heads.filter(head => (!status || head.status === status) && (!topic || head.topic === topic) && (!kind || head.kind === kind) &&
    words.every(one => `${head.stem} ${(head.options || []).join(" ")} ${head.id} ${head.topic} ${head.author_name} ${head.reviewer_name || ""}`.toLowerCase().includes(one)));
}
