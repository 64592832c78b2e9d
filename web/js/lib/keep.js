// Small conveniences kept on the device for the person signed in: what was chosen last. Never anything about a patient.
import { forgetAllUnsaved } from "./unsaved.js";

const names = ["last-case", "last-site", "last-supervisor", "last-operation", "last-approach"];

/** @param {string} name @returns {string} */
export const kept = name => localStorage.getItem(name) || "";

/** @param {string} name @param {string} value */
export const keep = (name, value) => localStorage.setItem(name, value);

export function forgetKept() {
  names.forEach(name => localStorage.removeItem(name));
  forgetAllUnsaved();
}
