// A role with its days: for an invitation, and for one more role of a member.
import { html } from "../lib/html.js";
import { has } from "../lib/session.js";
import { SelectField, TextField } from "./field.js";

const everyday = [{ id: "trainee", name: "Trainee" }, { id: "faculty", name: "Faculty" }, { id: "coordinator", name: "Coordinator" }];
const overseeing = [{ id: "committee", name: "Committee" }, { id: "reviewer", name: "Reviewer (reads every record)" }, { id: "director", name: "Director" }];

/** The roles the person here may give. */
export const givable = () => (has("director") ? [...everyday, ...overseeing] : everyday);

/** @param {{value: {role: string, from: string, until: string}, fault: (field: string) => string | undefined, onValue: (value: {role: string, from: string, until: string}) => void}} props */
export const RoleForm = ({ value, fault, onValue }) => html`
  <${SelectField} label="Role" name="role" value=${value.role} options=${givable()} fault=${fault("role")} onValue=${(/** @type {string} */ role) => onValue({ ...value, role })} />
  <${TextField} label="From (today when empty)" name="from" type="date" value=${value.from} fault=${fault("from")} onValue=${(/** @type {string} */ from) => onValue({ ...value, from })} />
  <${TextField} label="Last day (open when empty)" name="until" type="date" value=${value.until} fault=${fault("until")} onValue=${(/** @type {string} */ until) => onValue({ ...value, until })} />`;
