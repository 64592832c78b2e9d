// A role with its days: for an invitation, and for one more role of a member.
import { html } from "../lib/html.js";
import { has } from "../lib/session.js";
import { SelectField, TextField } from "./field.js";
import { ViewingForm } from "./viewing-form.js";

const everyday = [{ id: "trainee", name: "Trainee" }, { id: "faculty", name: "Faculty" }, { id: "coordinator", name: "Coordinator" }];
const overseeing = [{ id: "committee", name: "Committee" }, { id: "reviewer", name: "Reviewer (reads what you choose)" }, { id: "director", name: "Director" }];

/** The roles the person here may give. */
export const givable = () => (has("director") ? [...everyday, ...overseeing] : everyday);

/** A form's role before anything is chosen. */
export const emptyTerm = { role: "trainee", from: "", until: "", viewing: { trainees: /** @type {string[]} */ ([]), figures: "" } };

/** @param {{value: typeof emptyTerm, fault: (field: string) => string | undefined, onValue: (value: typeof emptyTerm) => void}} props */
export const RoleForm = ({ value, fault, onValue }) => html`
  <${SelectField} label="Role" name="role" value=${value.role} options=${givable()} fault=${fault("role")} onValue=${(/** @type {string} */ role) => onValue({ ...value, role })} />
  <${TextField} label="From (today when empty)" name="from" type="date" value=${value.from} fault=${fault("from")} onValue=${(/** @type {string} */ from) => onValue({ ...value, from })} />
  <${TextField} label=${value.role === "reviewer" ? "Last day (at most 90 days off)" : "Last day (open when empty)"} name="until" type="date" value=${value.until} fault=${fault("until")} onValue=${(/** @type {string} */ until) => onValue({ ...value, until })} />
  ${value.role === "reviewer" && html`<${ViewingForm} value=${value.viewing} fault=${fault} onValue=${(/** @type {typeof emptyTerm.viewing} */ viewing) => onValue({ ...value, viewing })} />`}`;
