// Starts the browser's part: reads the session, then shows the page of the address.
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { html } from "./lib/html.js";
import { followLinks, navigate, place } from "./lib/navigate.js";
import { match, safeReturn } from "./lib/route.js";
import { readyOffline } from "./lib/ready-offline.js";
import { at, databaseHere, has, loadSession, membership, session, sessionProblem } from "./lib/session.js";
import { withQuery } from "./lib/api.js";
import { keepApplication } from "./lib/worker.js";
import { CasesPage } from "./pages/cases.js";
import { CohortPage } from "./pages/cohort.js";
import { InboxPage } from "./pages/inbox.js";
import { Guard, NotFoundPage } from "./pages/not-found.js";
import { PlansPage } from "./pages/plans.js";
import { ScenariosPage } from "./pages/scenarios.js";
import { SignInPage } from "./pages/sign-in.js";
import { StandingPage } from "./pages/standing.js";
import { TodayPage } from "./pages/today.js";
import { Frame, LiveRegion } from "./parts/frame.js";
import { lazy } from "./parts/lazy.js";
import { startOutbox } from "./parts/outbox.js";
import { Page } from "./parts/page.js";
import { Loading, Trouble } from "./parts/waiting.js";

// Pages nobody starts with come when they are opened.
const CaseFormPage = lazy("Case", () => import("./pages/case-form.js").then(m => m.CaseFormPage));
const CasePage = lazy("Case", () => import("./pages/case.js").then(m => m.CasePage));
const CaseVersionsPage = lazy("Versions of a case", () => import("./pages/case-versions.js").then(m => m.CaseVersionsPage));
const ImportPage = lazy("Import cases", () => import("./pages/import.js").then(m => m.ImportPage));
const EvidencePage = lazy("Evidence", () => import("./pages/evidence.js").then(m => m.EvidencePage));
const OutcomesPage = lazy("Outcomes", () => import("./pages/outcomes.js").then(m => m.OutcomesPage));
const OutcomeCasesPage = lazy("Cases behind a figure", () => import("./pages/outcome-cases.js").then(m => m.OutcomeCasesPage));
const CurvesPage = lazy("Learning curves", () => import("./pages/curves.js").then(m => m.CurvesPage));
const AccountPage = lazy("Account", () => import("./pages/account.js").then(m => m.AccountPage));
const UnsubscribePage = lazy("Mail of what waits for you", () => import("./pages/unsubscribe.js").then(m => m.UnsubscribePage));
const PeoplePage = lazy("People", () => import("./pages/people.js").then(m => m.PeoplePage));
const RosterPage = lazy("Import a roster", () => import("./pages/roster.js").then(m => m.RosterPage));
const MemberPage = lazy("Member", () => import("./pages/member.js").then(m => m.MemberPage));
const InvitationPage = lazy("Invitation", () => import("./pages/invitation.js").then(m => m.InvitationPage));
const MeetingsPage = lazy("Meetings", () => import("./pages/meetings.js").then(m => m.MeetingsPage));
const NewMeetingPage = lazy("New meeting", () => import("./pages/meetings.js").then(m => m.NewMeetingPage));
const MeetingPage = lazy("Meeting", () => import("./pages/meeting.js").then(m => m.MeetingPage));
const DecisionPage = lazy("Decision", () => import("./pages/decision.js").then(m => m.DecisionPage));
const PracticePage = lazy("Practice", () => import("./pages/practice.js").then(m => m.PracticePage));
const AssessorsPage = lazy("Assessors", () => import("./pages/assessors.js").then(m => m.AssessorsPage));
const GrowthPage = lazy("Growth", () => import("./pages/growth.js").then(m => m.GrowthPage));
const PlanPage = lazy("Graded plan", () => import("./pages/plan.js").then(m => m.PlanPage));
const PlannerPage = lazy("Scenario", () => import("./pages/planner.js").then(m => m.PlannerPage));
const SittingPage = lazy("Test", () => import("./pages/sitting.js").then(m => m.SittingPage));
const KnowledgePage = lazy("Knowledge", () => import("./pages/knowledge.js").then(m => m.KnowledgePage));
const QuizPage = lazy("Questions", () => import("./pages/quiz.js").then(m => m.QuizPage));
const SignOffPage = lazy("Sign off", () => import("./pages/sign-off.js").then(m => m.SignOffPage));
const AgreementPage = lazy("Two accounts", () => import("./pages/agreement.js").then(m => m.AgreementPage));
const TrayPage = lazy("Tray", () => import("./pages/tray.js").then(m => m.TrayPage));
const OverridesPage = lazy("Overrides", () => import("./pages/overrides.js").then(m => m.OverridesPage));
const ExportsPage = lazy("Exports", () => import("./pages/exports.js").then(m => m.ExportsPage));
const AuditPage = lazy("Audit", () => import("./pages/audit.js").then(m => m.AuditPage));
const StandardPage = lazy("Standard", () => import("./pages/standards.js").then(m => m.StandardPage));
const StandardsPage = lazy("Standards", () => import("./pages/standards.js").then(m => m.StandardsPage));
const StandardDifferencesPage = lazy("Two versions compared", () => import("./pages/standards.js").then(m => m.StandardDifferencesPage));
const NewStandardPage = lazy("New version of the standard", () => import("./pages/standard-new.js").then(m => m.NewStandardPage));
const CaseMixPage = lazy("Case mix and rotations", () => import("./pages/case-mix.js").then(m => m.CaseMixPage));
const SimulationsPage = lazy("Simulations", () => import("./pages/simulations.js").then(m => m.SimulationsPage));
const SimulationPage = lazy("Simulation", () => import("./pages/simulations.js").then(m => m.SimulationPage));
const NewSimulationPage = lazy("Try a standard", () => import("./pages/simulation-new.js").then(m => m.NewSimulationPage));
const ReviewPage = lazy("Your review", () => import("./pages/review.js").then(m => m.ReviewPage));
const VerifyPage = lazy("Check a report", () => import("./pages/verify.js").then(m => m.VerifyPage));
const WaitingPage = lazy("Waiting to be sent", () => import("./pages/waiting.js").then(m => m.WaitingPage));
const QuestionsPage = lazy("Questions", () => import("./pages/questions.js").then(m => m.QuestionsPage));
const NewQuestionPage = lazy("New question", () => import("./pages/questions-new.js").then(m => m.NewQuestionPage));
const ImportQuestionsPage = lazy("Import questions", () => import("./pages/questions-new.js").then(m => m.ImportQuestionsPage));
const QuestionPage = lazy("Question", () => import("./pages/question.js").then(m => m.QuestionPage));
const KnowledgeCohortPage = lazy("Knowledge of the trainees", () => import("./pages/knowledge-cohort.js").then(m => m.KnowledgeCohortPage));
const ItemAnalysisPage = lazy("How questions work", () => import("./pages/item-analysis.js").then(m => m.ItemAnalysisPage));
const TestsPage = lazy("Tests", () => import("./pages/tests.js").then(m => m.TestsPage));
const TestPage = lazy("Test", () => import("./pages/test.js").then(m => m.TestPage));
const TestPanelPage = lazy("Panel", () => import("./pages/test-panel.js").then(m => m.TestPanelPage));
const LibraryPage = lazy("Library", () => import("./pages/library.js").then(m => m.LibraryPage));
const NewScenarioPage = lazy("New scenario", () => import("./pages/library-new.js").then(m => m.NewScenarioPage));
const ImportScenarioPage = lazy("Import a scenario", () => import("./pages/library-new.js").then(m => m.ImportScenarioPage));
const EditionPage = lazy("Scenario", () => import("./pages/edition.js").then(m => m.EditionPage));
const EditionVersionPage = lazy("Scenario", () => import("./pages/edition.js").then(m => m.EditionVersionPage));
const EditionFilePage = lazy("File", () => import("./pages/edition-file.js").then(m => m.EditionFilePage));
const ScopePoliciesPage = lazy("Scope policies", () => import("./pages/scope-policies.js").then(m => m.ScopePoliciesPage));
const ScopePolicyPage = lazy("Scope policy", () => import("./pages/scope-policies.js").then(m => m.ScopePolicyPage));
const NewScopePolicyPage = lazy("New version of the scope policy", () => import("./pages/scope-policy-new.js").then(m => m.NewScopePolicyPage));

const SettingsPage = lazy("Settings of the programme", () => import("./pages/settings.js").then(m => m.SettingsPage));
const NewSettingsPage = lazy("Change the settings", () => import("./pages/settings-new.js").then(m => m.NewSettingsPage));
const FollowUpsPage = lazy("Follow-up", () => import("./pages/follow-ups.js").then(m => m.FollowUpsPage));
const CaseFollowUpPage = lazy("Follow-up", () => import("./pages/case-follow-up.js").then(m => m.CaseFollowUpPage));

/** @type {[pattern: string, page: any][]} The first that fits is shown. */
const routes = [
  ["/scenarios", ScenariosPage], ["/scenarios/:scenario", PlannerPage], ["/sittings/:sitting", SittingPage], ["/knowledge", KnowledgePage], ["/quizzes/:attempt", QuizPage], ["/plans", PlansPage], ["/plans/:plan", PlanPage],
  ["/import", ImportPage], ["/cases", CasesPage], ["/cases/new", CaseFormPage], ["/cases/:case", CasePage], ["/cases/:case/edit", CaseFormPage], ["/cases/:case/sign-off", SignOffPage],
  ["/cases/:case/versions", CaseVersionsPage],
  ["/follow-up", FollowUpsPage], ["/cases/:case/follow-up", CaseFollowUpPage],
  ["/inbox", InboxPage], ["/inbox/tray", TrayPage], ["/agreement", AgreementPage], ["/trainees/:trainee/agreement", AgreementPage], ["/cohort", CohortPage], ["/review", ReviewPage], ["/outcomes", OutcomesPage], ["/outcomes/cases", OutcomeCasesPage], ["/standing", StandingPage],
  ["/curves", CurvesPage], ["/trainees/:trainee/curves", CurvesPage],
  ["/meetings", MeetingsPage], ["/meetings/new", NewMeetingPage], ["/meetings/:meeting", MeetingPage], ["/decisions/:decision", DecisionPage],
  ["/practice", PracticePage], ["/assessors", AssessorsPage],
  ["/growth", GrowthPage], ["/trainees/:trainee/growth", GrowthPage],
  ["/trainees/:trainee/standing", StandingPage], ["/trainees/:trainee/standing/:requirement", EvidencePage],
  ["/standards", StandardsPage], ["/standards/new", NewStandardPage], ["/standards/:version", StandardPage], ["/standards/:version/differences", StandardDifferencesPage],
  ["/case-mix", CaseMixPage], ["/simulations", SimulationsPage], ["/simulations/new", NewSimulationPage], ["/simulations/:simulation", SimulationPage],
  ["/questions", QuestionsPage], ["/questions/new", NewQuestionPage], ["/questions/import", ImportQuestionsPage], ["/questions/:question", QuestionPage],
  ["/item-analysis", ItemAnalysisPage], ["/knowledge-cohort", KnowledgeCohortPage],
  ["/tests", TestsPage], ["/tests/:test", TestPage], ["/tests/:test/panel", TestPanelPage],
  ["/library", LibraryPage], ["/library/new", NewScenarioPage], ["/library/import", ImportScenarioPage], ["/library/:edition", EditionPage],
  ["/library/:edition/file", EditionFilePage], ["/library/:edition/versions/:version", EditionVersionPage],
  ["/scope-policies", ScopePoliciesPage], ["/scope-policies/new", NewScopePolicyPage], ["/scope-policies/:version", ScopePolicyPage],
  ["/settings", SettingsPage], ["/settings/new", NewSettingsPage], ["/exports", ExportsPage], ["/audit", AuditPage], ["/overrides", OverridesPage], ["/people", PeoplePage], ["/people/roster", RosterPage], ["/people/:person", MemberPage], ["/waiting", WaitingPage], ["/verify", VerifyPage], ["/account", AccountPage],
];

/** A person's first page is the one their role needs most. */
function firstPage() {
  if (has("trainee")) return TodayPage;
  if (has("director", "committee")) return CohortPage;
  if (has("reviewer")) return ReviewPage;
  if (has("faculty")) return InboxPage;
  return membership.value ? PeoplePage : AccountPage;
}

function App() {
  const { path, query } = place.value;
  const signedOut = session.value === null;
  useEffect(() => {
    if (signedOut && path !== "/sign-in" && path !== "/invitation" && path !== "/unsubscribe") navigate(withQuery("/sign-in", { return: path === "/" ? "" : path + location.search }), { replace: true });
    if (session.value && path === "/sign-in") navigate(safeReturn(query.get("return")), { replace: true });
  }, [signedOut, path]);
  if (sessionProblem.value) return html`<${Page} title="Isthmus" kind="plain"><${Trouble} problem=${sessionProblem.value} again=${loadSession} /><//>`;
  if (session.value === undefined) return html`<main class="plain page"><h1 class="unseen">Isthmus</h1><${Loading} /></main>`;
  if (path === "/unsubscribe") return html`<${UnsubscribePage} /><${LiveRegion} />`;
  if (path === "/invitation") return html`<${InvitationPage} /><${LiveRegion} />`; // who is invited may have no account yet
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
startOutbox();
loadSession().then(keepApplication);
databaseHere.subscribe(name => { if (name) setTimeout(() => readyOffline(at("")), 3000); }); // after what the first page asks for
