// Starts the browser's part: reads the session, then shows the page of the address.
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { html } from "./lib/html.js";
import { followLinks, navigate, place } from "./lib/navigate.js";
import { match, safeReturn } from "./lib/route.js";
import { has, loadSession, membership, session, sessionProblem } from "./lib/session.js";
import { withQuery } from "./lib/api.js";
import { AccountPage } from "./pages/account.js";
import { AuditPage } from "./pages/audit.js";
import { CaseFormPage } from "./pages/case-form.js";
import { CasePage } from "./pages/case.js";
import { CasesPage } from "./pages/cases.js";
import { CohortPage } from "./pages/cohort.js";
import { EvidencePage } from "./pages/evidence.js";
import { InboxPage } from "./pages/inbox.js";
import { Guard, NotFoundPage } from "./pages/not-found.js";
import { PeoplePage } from "./pages/people.js";
import { PlanPage } from "./pages/plan.js";
import { PlannerPage } from "./pages/planner.js";
import { PlansPage } from "./pages/plans.js";
import { ScenariosPage } from "./pages/scenarios.js";
import { SignInPage } from "./pages/sign-in.js";
import { SignOffPage } from "./pages/sign-off.js";
import { NewStandardPage, StandardPage, StandardsPage } from "./pages/standards.js";
import { StandingPage } from "./pages/standing.js";
import { TodayPage } from "./pages/today.js";
import { Frame, LiveRegion } from "./parts/frame.js";
import { Page } from "./parts/page.js";
import { Loading, Trouble } from "./parts/waiting.js";

/** @type {[pattern: string, page: any][]} The first that fits is shown. */
const routes = [
  ["/scenarios", ScenariosPage], ["/scenarios/:scenario", PlannerPage], ["/plans", PlansPage], ["/plans/:plan", PlanPage],
  ["/cases", CasesPage], ["/cases/new", CaseFormPage], ["/cases/:case", CasePage], ["/cases/:case/edit", CaseFormPage], ["/cases/:case/sign-off", SignOffPage],
  ["/inbox", InboxPage], ["/cohort", CohortPage], ["/standing", StandingPage],
  ["/trainees/:trainee/standing", StandingPage], ["/trainees/:trainee/standing/:requirement", EvidencePage],
  ["/standards", StandardsPage], ["/standards/new", NewStandardPage], ["/standards/:version", StandardPage],
  ["/audit", AuditPage], ["/people", PeoplePage], ["/account", AccountPage],
];

/** A person's first page is the one their role needs most. */
function firstPage() {
  if (has("trainee")) return TodayPage;
  if (has("director", "committee", "reviewer")) return CohortPage;
  if (has("faculty")) return InboxPage;
  return membership.value ? PeoplePage : AccountPage;
}

function App() {
  const { path, query } = place.value;
  const signedOut = session.value === null;
  useEffect(() => {
    if (signedOut && path !== "/sign-in") navigate(withQuery("/sign-in", { return: path === "/" ? "" : path + location.search }), { replace: true });
    if (session.value && path === "/sign-in") navigate(safeReturn(query.get("return")), { replace: true });
  }, [signedOut, path]);
  if (sessionProblem.value) return html`<${Page} title="Isthmus" kind="plain"><${Trouble} problem=${sessionProblem.value} again=${loadSession} /><//>`;
  if (session.value === undefined) return html`<main class="plain page"><h1 class="unseen">Isthmus</h1><${Loading} /></main>`;
  if (signedOut || path === "/sign-in") return html`<${SignInPage} /><${LiveRegion} />`;
  if (path === "/") return html`<${Frame}><${firstPage()} params=${{}} query=${query} /><//>`;
  for (const [pattern, page] of routes) {
    const params = match(pattern, path);
    if (params) return html`<${Frame}><${page} key=${`${path} ${membership.value?.programme}`} params=${params} query=${query} /><//>`;
  }
  return html`<${Frame}><${NotFoundPage} /><//>`;
}

const Root = () => html`<${Guard} path=${place.value.path}><${App} /><//>`;

followLinks();
const host = document.getElementById("app");
if (host) {
  host.textContent = "";
  render(html`<${Root} />`, host);
}
loadSession();
