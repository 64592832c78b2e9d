// What sets of questions are called, and what is known of one: plain words and counts.

/** Topics whose words are more than their id without hyphens. @type {Record<string, string>} */
const names = { "af-mechanisms": "AF mechanisms", "follow-up": "follow-up" };

/** A topic in words, in the middle of a sentence. @param {string} topic */
export const topicWords = topic => names[topic] || topic.replaceAll("-", " ");

/** @param {string} topic */
export function TopicWords(topic) {
  const words = topicWords(topic);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** What an attempt is called. @param {{mode: string, title: string, test?: unknown}} quiz test: of one of the programme's own, which is called as its director called it */
export function quizName({ mode, title, test }) {
  if (test) return `Test: ${title}`;
  if (mode === "daily") return "Daily set";
  return `${mode === "test" ? "Test" : "Practice"}: ${topicWords(title).replace("All topics", "all topics")}`;
}

/** Whether anything was answered. @param {Api.QuizGiven | undefined} given */
export const answered = given => Boolean(given && ((given.chosen || []).length > 0 || given.number !== undefined || (given.path || []).length > 0));

/** Whether two answers are the same. @param {Api.QuizGiven} a @param {Api.QuizGiven} b */
export const sameGiven = (a, b) => a.number === b.number && (a.chosen || []).join() === (b.chosen || []).join() && (a.path || []).join() === (b.path || []).join();

/** The first question without an answer, or the first. @param {Api.Quiz} quiz @returns {number} its place, from 1 */
export const firstOpen = quiz => (quiz.places || []).find(one => !one.replied)?.place || 1;

/** Moves one option of an order by one. @param {string[]} order @param {string} label @param {number} by */
export function moved(order, label, by) {
  const from = order.indexOf(label), to = from + by;
  if (to < 0 || to >= order.length) return order;
  const next = [...order];
  [next[from], next[to]] = [next[to], next[from]];
  return next;
}

/** A number as somebody types it, with a point or a comma; nothing where it is none. @param {string} text */
export function numberIn(text) {
  const plain = text.trim().replace(",", ".");
  const value = Number(plain);
  return plain === "" || !Number.isFinite(value) ? undefined : value;
}
