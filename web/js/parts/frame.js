// What surrounds every page: skip link, name, navigation by role, who is signed in, the live region, the edge of the network.
import { announced } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { place } from "../lib/navigate.js";
import { membership, session } from "../lib/session.js";
import { QueueNote } from "./queue-note.js";

/** Which places a role goes to, those of every day first; the first is also what the bare address shows. @type {{path: string, name: string, roles: string[]}[]} */
const places = [
  { path: "/", name: "Today", roles: ["trainee"] },
  { path: "/review", name: "Your review", roles: ["reviewer"] },
  { path: "/cohort", name: "Cohort", roles: ["director", "committee"] },
  { path: "/inbox", name: "Inbox", roles: ["faculty"] },
  { path: "/scenarios", name: "Scenarios", roles: ["trainee", "faculty", "director"] },
  { path: "/cases", name: "Cases", roles: ["trainee", "faculty", "director"] },
  { path: "/standing", name: "My standing", roles: ["trainee"] },
  { path: "/practice", name: "Practice", roles: ["director", "committee"] },
  { path: "/outcomes", name: "Outcomes", roles: ["director", "committee"] },
  { path: "/assessors", name: "Assessors", roles: ["director", "faculty"] },
  { path: "/meetings", name: "Meetings", roles: ["director", "committee", "coordinator"] },
  { path: "/people", name: "People", roles: ["director", "coordinator"] },
  { path: "/knowledge", name: "Knowledge", roles: ["trainee"] },
  { path: "/follow-up", name: "Follow-up", roles: ["trainee", "faculty", "director", "coordinator"] },
  { path: "/library", name: "Library", roles: ["faculty", "director"] },
  { path: "/questions", name: "Questions", roles: ["faculty", "director"] },
  { path: "/tests", name: "Tests", roles: ["faculty", "director"] },
  { path: "/knowledge-cohort", name: "Knowledge", roles: ["faculty", "director", "committee"] },
  { path: "/item-analysis", name: "How questions work", roles: ["faculty", "director"] },
  { path: "/import", name: "Import", roles: ["coordinator"] },
  { path: "/standards", name: "Standards", roles: ["faculty", "director", "coordinator", "committee", "reviewer"] },
  { path: "/scope-policies", name: "Policies", roles: ["faculty", "director"] },
  { path: "/settings", name: "Settings", roles: ["director"] },
  { path: "/overrides", name: "Overrides", roles: ["director"] },
  { path: "/exports", name: "Exports", roles: ["director"] },
  { path: "/audit", name: "Audit", roles: ["director"] },
];

/** How many places stand in a line, at most; with more, the rest opens. */
const inLine = 8;

/** The places the person may go to, each once. @param {string[]} roles */
export const placesFor = roles => places.filter(one => one.roles.some(role => roles.includes(role)));

/** @param {{children?: unknown}} props */
export function Frame({ children }) {
  const path = place.value.path;
  const roles = membership.value?.roles || [];
  const goes = placesFor(roles);
  const here = (/** @type {string} */ to) => (path === to || (path === "/" && to === goes[0]?.path) || (to !== "/" && path.startsWith(`${to}/`)) ? "page" : undefined);
  const link = (/** @type {{path: string, name: string}} */ one) => html`<a href=${one.path} aria-current=${here(one.path)}>${one.name}</a>`;
  const many = goes.length > inLine, line = many ? goes.slice(0, inLine - 1) : goes, rest = many ? goes.slice(inLine - 1) : [];
  return html`
    <a class="skip" href="#main" onClick=${skip}>Skip to the content</a>
    <header class="top">
      <a class="name" href="/">Isthmus</a>
      <nav aria-label="Main">${line.map(link)}${rest.length > 0 && html`<details class="more" key=${path}><summary class=${rest.some(one => here(one.path)) ? "here" : ""}>More</summary><div>${rest.map(link)}</div></details>`}</nav>
      <a class="who" href="/account" aria-current=${here("/account")}>${session.value?.person.name}</a>
    </header>
    <${QueueNote} />
    ${children}
    <${LiveRegion} />`;
}

export const LiveRegion = () => html`<div class="unseen" aria-live="polite">${announced.value}</div>`;

/** @param {Event} event */
function skip(event) {
  event.preventDefault();
  const heading = document.querySelector("main h1");
  if (heading instanceof HTMLElement) heading.focus();
}
