// Reading beforehand what a case or a plan is entered with, so that it is there without a network.
import { withQuery } from "./api.js";
import { catalogue } from "./catalogue.js";
import { databaseHere, has } from "./session.js";
import { database } from "./database.js";
import { read } from "./reference.js";

/** How old what was read may be before it is read again, in ms: half a day. */
const freshMS = 12 * 3600 * 1000;

/** Scenarios read at most. */
const most = 60;

/** Reads what is not fresh, one thing after another, so that nothing a person asked for waits. A network that goes away ends it.
 * @param {string} base the path of the programme */
export async function readyOffline(base) {
  const name = databaseHere.peek();
  const stale = async (/** @type {string} */ path) => {
    const row = await database(name).then(db => db.get("reference", path));
    return !row || Date.now() - Date.parse(row.at) > freshMS;
  };
  const fetched = async (/** @type {string} */ path) => {
    if (databaseHere.peek() !== name) throw new Error("somebody else is here");
    if (await stale(path)) await read(path);
  };
  try {
    await catalogue();
    if (!has("trainee", "faculty", "director")) return;
    for (const path of ["", "/people?role=faculty"]) await fetched(base + path);
    if (!has("trainee")) return;
    await fetched(`${base}/case-patterns`);
    const list = /** @type {{data: Api.Page<Api.ScenarioItem>}} */ (await read(withQuery(`${base}/scenarios`, { limit: 100 })));
    for (const item of list.data.items.slice(0, most)) await fetched(`${base}/scenarios/${encodeURIComponent(item.id)}`);
  } catch { /* what is there is there */ }
}
