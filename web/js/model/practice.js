// What is behind a number of the director's view: which share it belongs to, and the operations, plans or cases it counts.

/** Every share of a side that can be opened, with words for what its hits are. @param {Api.Practice} side @param {(id: string) => string} word @returns {Map<string, {share: Api.PracticeShare, says: string}>} */
export function sharesOf(side, word) {
  /** @type {Map<string, {share: Api.PracticeShare, says: string}>} */
  const shares = new Map();
  const put = (/** @type {Api.PracticeShare} */ share, /** @type {string} */ says) => shares.set(share.of, { share, says });
  put(side.less, "less than the policy asks for");
  put(side.below, "less than the least the policy accepts");
  for (const pattern of side.patterns) {
    const name = pattern.pattern ? word(pattern.pattern) : "unknown pattern";
    put(pattern.less, `${name}: less than the policy asks for`);
    for (const scope of pattern.scopes) put(scope, `${name}: ${word(scope.of.slice(scope.of.lastIndexOf(":") + 1))}`);
  }
  for (const period of [...side.quarters, ...side.sites]) {
    put(period.less, `${quarterWords(period.name)}: less than the policy asks for`);
    put(period.below, `${quarterWords(period.name)}: less than the least the policy accepts`);
  }
  for (const step of side.steps) {
    put(step.left_out, `${step.name}: left out`);
    for (const lesion of step.lesions) put(lesion.left_out, `${lesion.name}: left out`);
  }
  return shares;
}

/** A quarter as people read it; any other name stays. @param {string} name */
export const quarterWords = name => (/^\d{4}-Q[1-4]$/.test(name) ? name.replace("-", " ") : name);

/**
 * The items behind a share, those of its hits or all it is a share of, in their order.
 * @template {{id: string}} T
 * @param {T[]} items @param {Api.PracticeShare} share @param {boolean} [all]
 */
export const behind = (items, share, all = false) => items.filter(item => (all ? share.all : share.ids).includes(item.id));

/** The lists behind an assessor's numbers. @type {{id: "signed" | "returned" | "commented" | "late" | "steps", name: string}[]} */
export const assessorLists = [
  { id: "signed", name: "Signed" }, { id: "returned", name: "Returned" }, { id: "commented", name: "Without something to keep and to change" },
  { id: "late", name: "Late recall" }, { id: "steps", name: "Steps told differently" },
];

/** The ids of one of these lists. @param {Api.AssessorRow} row @param {string} of */
export function casesOf(row, of) {
  if (of === "returned" || of === "commented" || of === "late" || of === "steps") return row[of].cases ?? [];
  return row.cases;
}
