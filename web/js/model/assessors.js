// Which cases are behind a number of an assessor.

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
