// Who was signed in on this device last, so that the application opens without a network. The server decides as soon as it is reached.
const name = "signed-in", going = "signing-out";

/** @param {Api.Session | null | undefined} session */
export function keepSession(session) {
  try { if (session) localStorage.setItem(name, JSON.stringify(session)); } catch { /* no room: it opens with a network only */ }
}

/** @returns {Api.Session | undefined} */
export function keptSession() {
  try { return JSON.parse(localStorage.getItem(name) || "null") || undefined; } catch { return undefined; }
}

export const forgetSession = () => localStorage.removeItem(name);

/** Notes that the session is to end as soon as the server is reached. */
export const leave = () => localStorage.setItem(going, "yes");

export const leaving = () => localStorage.getItem(going) !== null;

export const left = () => localStorage.removeItem(going);
