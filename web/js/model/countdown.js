// The time left of a test, by the server's clock: the browser's own may be wrong, or be set while the test runs.

/** What the time is at the server, told from a steady clock of the browser that nobody sets. */
export class ServerClock {
  /** @param {string} serverTime what the server said @param {number} steadyMS what the steady clock showed then, in ms */
  constructor(serverTime, steadyMS) { this.ahead = Date.parse(serverTime) - steadyMS; }

  /** @param {string} endsAt @param {number} steadyMS now @returns {number} ms, 0 when the time is up */
  left(endsAt, steadyMS) { return Math.max(0, Date.parse(endsAt) - this.ahead - steadyMS); }
}

/** How much is left, in words: '2 h 05 min', '12 min 05 s', '45 s'. @param {number} ms */
export function leftWords(ms) {
  const seconds = Math.ceil(ms / 1000), minutes = Math.floor(seconds / 60);
  const two = (/** @type {number} */ value) => String(value).padStart(2, "0");
  if (minutes >= 60) return `${Math.floor(minutes / 60)} h ${two(minutes % 60)} min`;
  return minutes > 0 ? `${minutes} min ${two(seconds % 60)} s` : `${seconds} s`;
}

/** The minutes before the end at which the time left is spoken. */
const marks = [5, 1];

/** What is to be spoken when the time left has gone from one value to the next; nothing at other moments. @param {number} beforeMS @param {number} nowMS */
export function spoken(beforeMS, nowMS) {
  if (nowMS === 0 && beforeMS > 0) return "The time is up.";
  const passed = marks.filter(mark => beforeMS > mark * 60_000 && nowMS <= mark * 60_000 && nowMS > 0);
  const last = passed[passed.length - 1];
  return last ? `${last} ${last === 1 ? "minute" : "minutes"} left.` : "";
}
