// The only caller of fetch.
import { ApiProblem } from "./problem.js";

/** @typedef {{body?: unknown, revision?: number, key?: string, signal?: AbortSignal}} CallOptions */

/** Called when the server says that the session has ended, and with whether each call reached it; set by the session and by what waits to be
 * sent. @type {{signedOut: () => void, reached: (it: boolean) => void}} */
export const listeners = { signedOut() {}, reached() {} };

/** @template T @param {string} path @param {{signal?: AbortSignal}} [options] @returns {Promise<T>} */
export const get = (path, options) => call("GET", path, options);

/** Creates or acts. `key` is the idempotency key, made once per form so that a resend never makes a second object.
 * @template T @param {string} path @param {unknown} [body] @param {CallOptions} [options] @returns {Promise<T>} */
export const post = (path, body, options) => call("POST", path, { ...options, body });

/** @template T @param {string} path @param {unknown} body @param {CallOptions} [options] @returns {Promise<T>} */
export const put = (path, body, options) => call("PUT", path, { ...options, body });

/** @template T @param {string} path @returns {Promise<T>} */
export const remove = path => call("DELETE", path);

/**
 * @template T
 * @param {string} method @param {string} path @param {CallOptions} [options]
 * @returns {Promise<T>}
 */
async function call(method, path, { body, revision, key, signal } = {}) {
  const headers = new Headers({ Accept: "application/json" });
  if (body !== undefined) headers.set("Content-Type", "application/json");
  if (revision !== undefined) headers.set("If-Match", `"${revision}"`);
  if (key) headers.set("Idempotency-Key", key);
  const init = { method, headers, signal, body: body === undefined ? undefined : JSON.stringify(body) };
  const answer = await fetch(`/api${path}`, /** @type {RequestInit} */ (init)).catch(error => {
    if (error.name === "AbortError") throw error;
    listeners.reached(false);
    throw new ApiProblem(0, { title: "No connection" }); // navigator.onLine lies; the failed call does not
  });
  listeners.reached(true);
  if (answer.ok && answer.status === 204) return /** @type {T} */ (undefined);
  if (answer.ok) return answer.headers.get("Content-Type")?.includes("json") ? answer.json() : /** @type {any} */ (answer.text()); // a file
  const problem = await answer.json().catch(() => ({}));
  if (answer.status === 401 && path !== "/session") listeners.signedOut();
  throw new ApiProblem(answer.status, problem, Number(answer.headers.get("Retry-After")) || undefined);
}

/**
 * A path with its query; empty values are left out.
 * @param {string} path @param {Record<string, string | number | undefined | null>} query
 */
export function withQuery(path, query) {
  const pairs = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) if (value !== undefined && value !== null && value !== "") pairs.set(name, String(value));
  const text = pairs.toString();
  return text ? `${path}?${text}` : path;
}
