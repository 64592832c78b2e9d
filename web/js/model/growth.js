// Growth across attempts: what comes first, the rows of shares with the plans behind them, and places in the small charts.
import { counted, percent, plain } from "../lib/numbers.js";
import { listed } from "../lib/words.js";

/** @typedef {{label: string, share: Api.GrowthShare}} ShareRow */

/**
 * The shares of a track worth a row, each with its label: halves only where both can be told, the latest tries only where one repeats another.
 * @param {Api.GrowthTrack} track @returns {ShareRow[]}
 */
export function shareRows({ n, change, first, earlier, later, latest, tests }) {
  const rows = [{ label: "First tries", share: first }];
  if (change !== "too-few-to-say") rows.push({ label: "Earlier half of these", share: earlier }, { label: "Later half of these", share: later });
  if (n > first.n + tests.n) rows.push({ label: "Latest try at each scenario", share: latest });
  rows.push({ label: "Tests", share: tests });
  return rows.filter(({ share }) => share.n > 0);
}

/** A share as people read it: '3 of 7, 43 % (16 to 75)', or that there are too few. @param {Api.GrowthShare} share */
export function shareWords({ hits, n, share, interval }) {
  if (!interval) return `${hits} of ${n}, too few for a share`;
  return `${hits} of ${n}, ${percent(share)} (${Math.round(interval.low * 100)} to ${Math.round(interval.high * 100)})`;
}

/** The points of a track behind a share, by time. @param {Api.GrowthTrack} track @param {Api.GrowthShare} share */
export const pointsOf = (track, share) => track.points.filter(point => share.plans.includes(point.plan));

/** Tracks with plans, those that need attention first: for an omission the most often made lately. @param {Api.OmissionGrowth[]} omissions */
export const madeFirst = omissions => omissions.filter(one => one.n > 0).sort((a, b) => lately(b) - lately(a) || b.n - a.n);

/** How often an omission was made in the latest tries; tests count where there was no practice. @param {Api.OmissionGrowth} one */
const lately = one => (one.latest.n > 0 ? one.latest.share : one.tests.share);

/** What the latest tries come to, in one sentence. @param {Api.Growth} growth */
export function inShort({ attempts, omissions }) {
  if (attempts === 0) return "No plan is graded yet: the first try at a scenario says most.";
  const still = madeFirst(omissions).filter(one => one.latest.hits > 0);
  if (still.length === 0) return "The latest try at each scenario makes none of the common omissions.";
  return `The latest try at each scenario still shows: ${listed(still.slice(0, 3).map(one => `${one.name.charAt(0).toLowerCase()}${one.name.slice(1)} (${one.latest.hits} of ${one.latest.n})`))}.`;
}

/** The medians by try: 'Median score: 1st try 72 (n 5), 2nd 90 (n 3)'. @param {Api.PatternGrowth["by_attempt"]} rounds */
export function medians(rounds) {
  if (rounds.length === 0) return "";
  return `Median score in practice: ${rounds.map(({ attempt, n, median_score }, i) => `${ordinal(attempt)}${i === 0 ? " try" : ""} ${plain(median_score)} (n ${n})`).join(", ")}.`;
}

/** @param {number} n */
export function ordinal(n) {
  const teen = n % 100 > 10 && n % 100 < 14;
  return `${n}${teen ? "th" : ["th", "st", "nd", "rd"][n % 10] || "th"}`;
}

/** What a trainee has handed in. @param {Api.Growth} growth */
export const handedIn = ({ attempts, scenarios }) => (attempts === 0 ? "No graded plan" : `${counted(attempts, "graded plan")} on ${counted(scenarios, "scenario")}`);

/**
 * Where the plans of a track stand in a chart of scores: across in order of time, up by score.
 * @param {Api.GrowthPoint[]} points @param {{left: number, right: number, top: number, bottom: number}} box
 */
export function scorePlaces(points, { left, right, top, bottom }) {
  const step = points.length > 1 ? (right - left) / (points.length - 1) : 0;
  return points.map((point, i) => ({
    point, x: round(points.length > 1 ? left + i * step : (left + right) / 2), y: round(bottom - (Math.min(100, Math.max(0, point.score)) / 100) * (bottom - top)),
  }));
}

/** @param {number} value */
const round = value => Math.round(value * 10) / 10;
