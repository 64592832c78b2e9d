// What a person is entering, kept on this device while they do: a reload, a lost page or an empty battery loses nothing.
import { useEffect, useRef, useState } from "preact/hooks";
import { database } from "../lib/database.js";
import { databaseHere } from "../lib/session.js";

/** How long after a change it is kept, in ms. */
const restMS = 300;

/** @template T @typedef {{body: T, at: string}} Kept at: when it was kept */

/**
 * The draft of a kind and id ("new" for one without). `kept` is what an earlier visit left, undefined while it is read, null where there is
 * nothing. `keep` notes a change, soon; `drop` forgets the draft: it is sent, or given up. Without a database nothing is kept.
 * @template T @param {string} kind @param {string} id
 * @returns {{kept: Kept<T> | null | undefined, keep: (body: T) => void, drop: () => Promise<void>}}
 */
export function useDraft(kind, id) {
  const name = databaseHere.value, key = `${kind} ${id}`;
  const [kept, setKept] = useState(/** @type {{of: string, what: Kept<T> | null} | undefined} */ (undefined));
  const pending = useRef(/** @type {{body: T} | null} */ (null));
  const timer = useRef(0);
  const write = () => {
    clearTimeout(timer.current);
    const one = pending.current;
    pending.current = null;
    if (one && name) database(name).then(db => db.put("drafts", { body: one.body, at: new Date().toISOString() }, key)).catch(() => {});
  };
  useEffect(() => {
    let wanted = true;
    const found = (/** @type {Kept<T> | undefined} */ what) => { if (wanted) setKept({ of: `${name} ${key}`, what: what || null }); };
    database(name).then(db => db.get("drafts", key)).then(found, () => found(undefined));
    const hidden = () => { if (document.visibilityState === "hidden") write(); };
    document.addEventListener("visibilitychange", hidden);
    return () => { wanted = false; document.removeEventListener("visibilitychange", hidden); write(); };
  }, [name, key]);
  return {
    kept: kept?.of === `${name} ${key}` ? kept.what : undefined,
    keep: body => { pending.current = { body }; clearTimeout(timer.current); timer.current = setTimeout(write, restMS); },
    drop: async () => { pending.current = null; clearTimeout(timer.current); await database(name).then(db => db.delete("drafts", key)).catch(() => {}); },
  };
}
