// Words that the privacy screen stops, and a person's reasons for keeping them.
import { ApiProblem } from "../lib/problem.js";

/** @typedef {{field: string, kind: string, excerpt: string, says: string, keepable: boolean}} Stopped */

/**
 * What a refused request was stopped for.
 * @param {unknown} error
 * @returns {Stopped[]} field as an override has to name it: record.note, keep, reason
 */
export function stoppedIn(error) {
  if (!(error instanceof ApiProblem)) return [];
  return error.errors.filter(one => one.kind && one.excerpt).map(one => ({
    field: (one.location || "").replace(/^body\./, ""), kind: one.kind || "", excerpt: one.excerpt || "", keepable: one.keepable === true,
    says: one.message.replace(/^".*?": /, "").replace(/; if it names no patient.*$/, ""),
  }));
}

/** What is wrong with the reasons that came with a refused request. @param {unknown} error @returns {string[]} */
export function reasonsAmiss(error) {
  if (!(error instanceof ApiProblem)) return [];
  return error.errors.filter(one => one.location?.startsWith("body.overrides")).map(one => one.message.charAt(0).toUpperCase() + one.message.slice(1));
}

/** @param {{field: string, kind: string, excerpt: string}} a @param {{field: string, kind: string, excerpt: string}} b */
const same = (a, b) => a.field === b.field && a.kind === b.kind && a.excerpt === b.excerpt;

/** The reason given for keeping something; undefined when nobody asked to keep it. @param {Api.Override[]} overrides @param {Stopped} stopped */
export const reasonFor = (overrides, stopped) => overrides.find(one => same(one, stopped))?.reason;

/** The overrides with this reason for one of them. @param {Api.Override[]} overrides @param {Stopped} stopped @param {string} reason @returns {Api.Override[]} */
export function withReason(overrides, { field, kind, excerpt }, reason) {
  const one = { field, kind, excerpt, reason };
  return overrides.some(other => same(other, one)) ? overrides.map(other => (same(other, one) ? one : other)) : [...overrides, one];
}

/** The overrides to send: those of words that are still in their text. @param {Api.Override[]} overrides @param {Record<string, string | undefined>} texts by field */
export const needed = (overrides, texts) => overrides.filter(one => texts[one.field]?.includes(one.excerpt)).map(one => ({ ...one, reason: one.reason.trim() }));

/** A text without some words of it, and without the gap they leave. @param {string} text @param {string} excerpt */
export const without = (text, excerpt) => text.replace(excerpt, "").replace(/ {2,}/g, " ").replace(/ ([.,;:])/g, "$1").trim();

/**
 * What the preview of a case finds in its note, other than what was kept there when the case was saved.
 * @param {Api.CasePreview | undefined} preview @param {string} [saved] the note as the server has it @returns {Stopped[]}
 */
export const fromPreview = (preview, saved = "") => (preview?.identifiers || []).filter(one => !(one.keepable && saved.includes(one.excerpt)))
  .map(({ field, kind, excerpt, reason, keepable }) => ({ field: `record.${field}`, kind, excerpt, says: reason, keepable }));
