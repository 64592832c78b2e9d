// Two versions of a question side by side, part by part; in a conflict with the choice at each.
import { html } from "../lib/html.js";
import { chosenQuestion, questionDifferences } from "../model/question-difference.js";
import { ChangesTable, ChooseBetween } from "./choose-between.js";

/**
 * @param {{mine: Api.QuestionText, theirs: Api.QuestionDetail, base: Api.QuestionText, busy: boolean, onChosen: (merged: Api.QuestionText) => void}} props
 * base: what both began with
 */
export function QuestionConflict({ mine, theirs, base, busy, onChosen }) {
  const list = questionDifferences(mine, theirs.item, base);
  return html`<${ChooseBetween} what="question" by=${theirs.head.authors.length === 1 ? theirs.head.author_name : ""} list=${list} busy=${busy}
    onChosen=${(/** @type {import("./choose-between.js").Choices} */ choices) => onChosen(chosenQuestion(mine, theirs.item, list, choices))} />`;
}

/** What a version changed in the one before it. @param {{now: Api.QuestionText, before: Api.QuestionText}} props */
export const QuestionChanges = ({ now, before }) => html`<${ChangesTable} now=${now.version} before=${before.version} list=${questionDifferences(now, before)} />`;
