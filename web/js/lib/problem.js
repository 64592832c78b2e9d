// What can go wrong with a call, in words a person can act on.
import { timeWords } from "./days.js";

/** A call that did not succeed: the server's problem details (RFC 9457), or status 0 when the server was not reached. */
export class ApiProblem extends Error {
  /** @param {number} status @param {Api.Problem} problem @param {number} [retryAfter] seconds */
  constructor(status, problem, retryAfter) {
    super(problem.detail || problem.title || "Something went wrong.");
    this.name = "ApiProblem";
    this.status = status;
    this.kind = (problem.type || "").replace("/problems/", ""); // such as test-open
    this.title = problem.title || "";
    this.detail = problem.detail || "";
    this.errors = problem.errors || [];
    this.requestId = problem.request_id || "";
    this.changed = problem.changed; // what somebody did meanwhile, where the server says it
    this.retryAfter = retryAfter;
  }

  /** Whether the server was not reached at all. */
  get offline() { return this.status === 0; }

  /**
   * The faults by field, the field named as in the form: the parts of the location that only say where in the request it stood
   * ("body.record.") are taken off. Faults without a field are under "".
   * @param {...string} wrappers names the request wraps the form's fields in
   * @returns {Map<string, string>}
   */
  byField(...wrappers) {
    const faults = new Map();
    for (const { location = "", message } of this.errors) {
      const field = fieldOf(location, wrappers);
      const says = message.charAt(0).toUpperCase() + message.slice(1);
      faults.set(field, faults.has(field) ? `${faults.get(field)}; ${says}` : says);
    }
    return faults;
  }
}

/**
 * @param {string} location @param {string[]} wrappers
 * @returns {string}
 */
function fieldOf(location, wrappers) {
  const parts = location.split(".");
  if (parts[0] === "body") parts.shift();
  while (parts.length > 0 && wrappers.includes(parts[0])) parts.shift();
  return parts.join(".");
}

/**
 * What went wrong and what to do next.
 * @param {unknown} error
 * @returns {{title: string, next: string}}
 */
export function inWords(error) {
  if (!(error instanceof ApiProblem)) return { title: "This page could not be shown", next: "Reload the page. If it fails again, tell whoever runs Isthmus for you." };
  const ref = error.requestId ? ` Give them this number: ${error.requestId}.` : "";
  switch (error.status) {
    case 0: return { title: "No connection to Isthmus", next: "What you see may be old. Check the network, then try again." };
    case 401: return { title: "You are signed out", next: "Sign in again to go on." };
    case 403: return { title: "This is not yours to see or do", next: error.detail || "Ask your programme's director if you think it should be." };
    case 404: return { title: "There is nothing here", next: "It may belong to another programme, or the address may be mistyped." };
    case 412: return { title: error.changed ? meanwhileWords(error.changed) : "Someone changed this meanwhile", next: "Read the newer version, then decide." };
    case 429: return { title: "Too many attempts", next: waitWords(error.retryAfter) };
    default:
      if (error.status >= 500) return { title: "Isthmus failed to answer", next: `Try again in a minute. If it fails again, tell whoever runs it.${ref}` };
      return { title: error.title || "This was refused", next: error.detail };
  }
}

/** @type {Record<string, string>} */
const acts = { "case.edit": "changed the record", "case.submit": "submitted it", "case.return": "returned it", "case.sign-off": "signed it off", "case.withdraw": "withdrew it",
  "case.amend": "opened it for an amendment", "case.restore": "gave its amendment up" };

/** Who did what meanwhile, and when. @param {Api.Meanwhile} changed */
export const meanwhileWords = changed => `${changed.by_name || "Someone"} ${acts[changed.act] || "changed it"} meanwhile, ${timeWords(changed.at)}`;

/** @param {number} [seconds] */
export function waitWords(seconds) {
  if (!seconds) return "Wait a few minutes, then try again.";
  if (seconds < 90) return `Wait ${seconds} seconds, then try again.`;
  return `Wait ${Math.ceil(seconds / 60)} minutes, then try again.`;
}
