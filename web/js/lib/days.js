// Days and times as people read them. The server's times are UTC; a calendar day has no time zone.

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** 2026-03-14 is 14 Mar 2026; 2026-03 is Mar 2026; 2026-W11 is week 11 of 2026. @param {string} [text] */
export function dayWords(text = "") {
  const day = /^(\d{4})-(\d\d)-(\d\d)/.exec(text);
  if (day) return `${Number(day[3])} ${months[Number(day[2]) - 1]} ${day[1]}`;
  const week = /^(\d{4})-W(\d\d)$/.exec(text);
  if (week) return `week ${Number(week[2])} of ${week[1]}`;
  const month = /^(\d{4})-(\d\d)$/.exec(text);
  return month ? `${months[Number(month[2]) - 1]} ${month[1]}` : text;
}

/** The day and time where the person is: 14 Mar 2026, 09:30. @param {string} [text] */
export function timeWords(text) {
  const time = new Date(text || "");
  if (Number.isNaN(time.getTime())) return "";
  return `${time.getDate()} ${months[time.getMonth()]} ${time.getFullYear()}, ${two(time.getHours())}:${two(time.getMinutes())}`;
}

/** The time of day where the person is: 09:30. @param {string} [text] */
export function clockWords(text) {
  const time = new Date(text || "");
  return Number.isNaN(time.getTime()) ? "" : `${two(time.getHours())}:${two(time.getMinutes())}`;
}

/** @param {number} days */
export function ageWords(days) {
  if (days <= 0) return "today";
  return days === 1 ? "1 day ago" : `${days} days ago`;
}

/** @param {string} quarter 2026-Q1 */
export const quarterWords = quarter => quarter.replace("-", " ");

/** The calendar day where the person is. @param {Date} [now] */
export const today = (now = new Date()) => `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;

/** The day, week (ISO 8601) or month of a day, as a programme keeps it. @param {"day" | "week" | "month"} precision @param {Date} [now] */
export function periodOf(precision, now = new Date()) {
  if (precision === "month") return today(now).slice(0, 7);
  if (precision !== "week") return today(now);
  const thursday = new Date(Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()));
  thursday.setUTCDate(thursday.getUTCDate() + 4 - (thursday.getUTCDay() || 7)); // a week belongs to the year of its Thursday
  const week = 1 + Math.floor((thursday.getTime() - Date.UTC(thursday.getUTCFullYear(), 0, 1)) / 604800000);
  return `${thursday.getUTCFullYear()}-W${two(week)}`;
}

/** @param {number} value */
const two = value => String(value).padStart(2, "0");

/**
 * The kind of field and the form of entry for a programme's date precision.
 * @param {"day" | "week" | "month"} precision
 */
export function dateEntry(precision) {
  if (precision === "week") return { type: "week", hint: "The week is enough, for example 2026-W11." };
  if (precision === "month") return { type: "month", hint: "The month is enough, for example 2026-03." };
  return { type: "date", hint: "" };
}
