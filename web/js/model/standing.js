// Standings: which requirement comes first, and where its marks stand on a small axis.

/** Worst first. @type {Api.State[]} */
const order = ["lapsed", "short", "not-enough-data", "on-course", "met"];

/** Requirements, those that need something first. @param {Api.RequirementStanding[]} lines */
export const worstFirst = lines => [...lines].sort((a, b) => order.indexOf(a.state) - order.indexOf(b.state) || nearness(b) - nearness(a));

/** How much of the target is reached, 0 to 1. @param {Api.RequirementStanding} line */
export const nearness = line => (line.target > 0 ? Math.min(1, line.value / line.target) : 1);

/** How many requirements are in each state. @param {Api.Standing} standing @returns {{state: Api.State, count: number}[]} */
export function tally(standing) {
  return order.toReversed().map(state => ({ state, count: standing.requirements.filter(line => line.state === state).length })).filter(one => one.count > 0);
}

/**
 * Where value, interval and target stand on an axis from 0 to 1 that always has room beyond the target.
 * @param {Api.RequirementStanding} line
 */
export function axis({ value, target, unit, interval: given }) {
  const interval = unit === "chart" ? undefined : given; // that of a chart is of its successes, not of its score
  const top = unit === "share" || unit === "phi" ? 1 : Math.max(target * 1.4, value * 1.05, interval?.high || 0, 1);
  const along = (/** @type {number} */ amount) => Math.min(1, Math.max(0, amount / top));
  return { value: along(value), target: along(target), low: interval && along(interval.low), high: interval && along(interval.high) };
}

/** Trainees, those who need action first; the server's order otherwise. @param {Api.CohortTrainee[]} trainees */
export const actionFirst = trainees => [...trainees.filter(one => one.attention), ...trainees.filter(one => !one.attention)];
