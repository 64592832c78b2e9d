// A scenario of the library as a list shows it: what can be done with it next, and by whom.

/** Whether it waits for a review this person may give. @param {Api.Life} head @param {string} me */
export const waitsForMe = (head, me) => head.status === "in-review" && !head.authors.includes(me) && head.may.includes("approve");

/** What a person does next with it, in the words of a link. @param {Api.Life} head @param {string} me */
export function nextStep(head, me) {
  if (waitsForMe(head, me)) return "Review it";
  if (head.status === "in-review") return head.authors.includes(me) ? "Waits for another's review" : "In review";
  if (head.status === "draft" && head.may.includes("edit")) return head.authors.includes(me) ? "Go on writing" : "Read or write in it";
  if (head.may.includes("revise")) return head.status === "retired" ? "Read, or revise to bring back" : "Read or revise";
  return "Read";
}

/** Why an act is not to be done, in words; empty when it may. The server refuses the same. @param {Api.Life} head @param {string} act @param {string} me */
export function whyNot(head, act, me) {
  if (act === "approve" && head.authors.includes(me)) return "You wrote in this version: another member of faculty reviews it.";
  if (head.may.includes(act)) return "";
  return "Not for your role.";
}

/** What waits for this person first, then what is being worked on. @type {(head: Api.Life, me: string) => number} */
export const rank = (/** @type {Api.Life} */ head, /** @type {string} */ me) => {
  if (waitsForMe(head, me)) return 0;
  if (head.status === "draft" && head.authors.includes(me)) return 1;
  return head.status === "in-review" ? 2 : head.status === "draft" ? 3 : head.status === "live" ? 4 : 5;
};

/** What waits for this person first, then what is being worked on, then the rest; in each by title. @param {Api.Edition[]} heads @param {string} me @returns {Api.Edition[]} */
export const inOrder = (heads, me) => [...heads].sort((a, b) => rank(a, me) - rank(b, me) || a.title.localeCompare(b.title, "en"));

/** @param {Api.Edition[]} heads @param {string} status @param {string} text every word of it must be somewhere @returns {Api.Edition[]} */
export function matching(heads, status, text) {
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  const all = (/** @type {Api.Edition} */ head) => [head.title, head.id, head.author_name, head.reviewer_name, head.pattern, head.operation].join(" ").replaceAll("-", " ").toLowerCase();
  return heads.filter(head => (!status || head.status === status) && words.every(word => all(head).includes(word)));
}
