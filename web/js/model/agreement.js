// What of two accounts is counted, and which cases are behind each count.

/** @typedef {"steps" | "claimed_more" | "claimed_less" | "roles" | "events"} Of */

/** @type {{id: Of, name: string, unit: string, differ: string}[]} differ: what the cases behind the number have in common */
export const ofs = [
  { id: "steps", name: "Steps told alike", unit: "step", differ: "Steps told differently" },
  { id: "claimed_more", name: "Steps in which the trainee claims more", unit: "step", differ: "The trainee claims more" },
  { id: "claimed_less", name: "Steps in which the trainee claims less", unit: "step", differ: "The trainee claims less" },
  { id: "roles", name: "Roles that stand after sign-off", unit: "case", differ: "Another role after sign-off" },
  { id: "events", name: "Events agreed", unit: "case", differ: "Events not agreed" },
];

/** The steps of a case that are behind a count. @param {Api.AccountsDiffer} one @param {Of} of */
export const stepsBehind = (one, of) => one.steps.filter(step => (of === "claimed_more" ? step.claimed > 0 : of === "claimed_less" ? step.claimed < 0 : true));

/** The cases behind a count, of one quarter or of all. @param {Api.AccountsDiffer[]} differing @param {Of} of @param {string} [quarter] */
export const behind = (differing, of, quarter) => differing.filter(one => (!quarter || one.quarter === quarter)
  && (of === "roles" ? one.role_claimed !== one.role_seen : of === "events" ? !one.events_agreed : stepsBehind(one, of).length > 0));
