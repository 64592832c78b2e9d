// What the API sends and takes, as the browser's part sees it.
declare namespace Api {
  type Vec = [number, number, number];
  type Chamber = "left-atrium" | "right-atrium";
  interface Named { id: string; name: string }
  interface Level { level: number; name: string }
  interface Page<T> { items: T[]; next?: string; caution?: string }
  interface ImportFault { sheet?: string; cell: string; column?: string; message: string }
  interface ImportCheck {
    file_hash: string; header: string[]; fields: { id: string; explains: string; required: boolean }[]; mapping: Record<string, string>; rows: number;
    faults: ImportFault[]; likely: ImportFault[]; twice: number;
  }
  interface ImportItem {
    id: string; by: string; by_name: string; own: boolean; submit: boolean; file_hash: string; state: "waiting" | "done" | "failed" | "undone"; total: number; ready: number;
    message?: string; created_at: string; closed_at?: string; revision: number; may: string[];
  }
  interface Fault { location?: string; message: string; kind?: string; excerpt?: string; keepable?: boolean }
  interface Override { field: string; kind: string; excerpt: string; reason: string }
  interface CaseBody { record: CaseRecord; overrides?: Override[] }
  interface KeptOverride {
    id: string; object: string; object_id: string; case?: string; field: string; kind: string; reason: string; by: string; by_name: string; at: string;
    seen_by?: string; seen_by_name?: string; seen_at?: string; may: string[];
  }
  interface Problem { type?: string; title?: string; status?: number; detail?: string; errors?: Fault[]; request_id?: string; changed?: Meanwhile }
  /** What somebody did to a case meanwhile. */
  interface Meanwhile { act: string; by_name: string; at: string; status: string; version: number; revision: number }

  interface Membership { programme: string; programme_name: string; roles: string[] }
  interface Session { person: { id: string; name: string; email: string }; memberships: Membership[]; version: string; caution: string }
  interface AgreementShare { hits: number; n: number; share: number | null; low: number | null; high: number | null; cases?: string[] }
  interface StepAccount { step: string; trainee: string; supervisor: string; agreed: boolean; claimed: number }
  interface AccountsDiffer {
    case: string; trainee: string; operated_on: string; operation: string; signed_at: string; quarter: string; steps: StepAccount[];
    role_claimed: string; role_seen: string; events_agreed: boolean;
  }
  interface AgreementShares { cases: number; steps: AgreementShare; claimed_more: AgreementShare; claimed_less: AgreementShare; roles: AgreementShare; events: AgreementShare }
  interface AgreementCounts extends AgreementShares {
    periods: { quarter: string; cases: number; steps: AgreementShare }[]; differing: AccountsDiffer[]; level: number; method: string; assumptions: string; caution: string;
  }
  interface Agreement extends AgreementCounts { trainee: { id: string; name: string } }
  interface ProgrammeAgreement extends AgreementCounts { trainees: (AgreementShares & { trainee: { id: string; name: string } })[] }
  interface Phrase { text: string; used: number }
  interface Phrases { keep: Phrase[]; change: Phrase[] }
  interface Settings { sites: string[]; date_precision: "day" | "week" | "month"; late_recall_days: number; signing_minutes?: number; small_cells?: number; role_rule?: RoleRule; follow_up?: FollowUpRule }
  interface RoleAccount { of: "trainee" | "supervisor"; role: string; reason: string; rule: RoleRule; says: string; steps: { step: string; performed_by: string; key: boolean; counts: boolean }[] }
  interface SettingsLine { field: string; title: string; says: string }
  interface SettingsChange { field: string; title: string; before: string; after: string; added: string[]; removed: string[] }
  interface SettingsExample { field: string; situation: string; before: string; before_why: string; after: string; after_why: string }
  interface SettingsPreview { says: SettingsLine[]; changes: SettingsChange[]; examples: SettingsExample[] }
  interface SettingsView { version: number; settings: Settings; reason?: string; created_by?: string; created_by_name?: string; created_at: string; says: SettingsLine[]; changes: SettingsChange[] }
  interface RoleRule { version: number; key_steps: string[]; share_of_steps: number; help_counts: boolean }
  interface CasePattern { id: string; name: string; record: CaseRecord; created_at: string }
  interface Programme { id: string; name: string; settings: Settings }
  interface DigestChoices { rhythm: "off" | "daily" | "weekly"; weekday: string; hour: number; zone: string; quiet_from: number; quiet_until: number }
  interface Digest { choices: DigestChoices; offered: boolean; next_at?: string; last_day?: string; message?: string }
  interface Term { role: string; from: string; until?: string }
  interface Member {
    id: string; name: string; email: string; roles: Term[]; rotations: { id: string; site: string; from: string; until?: string }[]; deactivated_at?: string; may: boolean; viewing?: Viewing;
  }
  interface Viewing { trainees: { id: string; name: string }[]; figures?: "counts" | "rows"; until?: string; ended: boolean }
  interface Reading { at: string; object: string; id: string; trainee?: { id: string; name: string } }
  interface CohortFigures {
    on: string; limit: number; trainees?: number; headline: string[]; rows?: { name: string; lines: CohortLine[] }[]; caution: string;
    requirements: { id: string; says: string; kind: string; target: number; unit: string; states?: { state: State; count?: number }[] }[];
  }
  interface Invitation { id: string; email: string; name: string; roles: Term[]; invited_by_name: string; created_at: string; expires_at: string; may: boolean; link?: string }
  interface RosterReport {
    people: { line: number; email: string; name: string; does: "invite" | "give" | "nothing"; roles: Term[]; says?: string; link?: string }[];
    faults: { file: string; line?: number; column?: string; message: string }[]; done: boolean;
  }
  interface Invited { programme_name: string; email: string; name: string; roles: Term[]; expires_at: string; has_account: boolean }
  interface Person { id: string; name: string; roles: string[] }
  interface Token { id: string; name: string; token?: string; created_at: string; expires_at: string; revoked_at?: string }

  interface Opening { obstacle: string; name: string; centre: Vec; radius_deg: number }
  interface ChamberShape {
    chamber: Chamber; name: string; radius_mm: number;
    projection: { centre: Vec; right: Vec; up: Vec };
    openings: Opening[]; sites: { site: string; name: string; at: Vec }[];
  }
  interface CatalogueLesion { id: string; name: string; chamber: Chamber; closed: boolean; path: Vec[]; needs_open_atrium?: boolean }
  interface Atrium {
    model: string; chambers: ChamberShape[]; lesions: CatalogueLesion[]; neighbours?: Neighbour[];
    energies: Named[]; block_tests: Named[]; appendage_states: Named[]; appendage_methods: Named[];
    performers: Named[]; help_levels: Level[]; supervision_levels: Level[];
    operations: Named[]; approaches: Named[]; urgencies: Named[]; left_atrium_bands: Named[]; events: Named[]; reasons: Named[]; scopes: Named[];
    steps: Named[]; pacing_wires: Named[]; follow_up: FollowUpLists;
    authoring: Authoring; caution: string;
  }
  interface Authoring {
    asks: string[]; primaries: string[]; urgencies: string[]; approaches: string[]; mitral_regurgitations: string[]; stroke_risk_items: string[];
    earlier_ablations: string[]; patterns: string[]; scopes: string[]; reasons: string[]; letters: string[]; codes: { code: string; part: string; severity: Finding["severity"] }[];
  }

  interface Lesion { lesion?: string; chamber?: Chamber; path?: Vec[]; closed?: boolean; energy?: string; applications?: number; block?: string }
  interface Site { chamber: Chamber; at: Vec }
  interface Circuit { round: string[]; name: string; length_mm: number; verdict: "harmless" | "possible" | "can-sustain"; through_coronary_sinus?: boolean; path: Site[] }
  interface Gap { lesion: number; at: Vec; width_mm: number; nearest: string; leaves_open?: string[] }
  interface Island { name: string; area_cm2: number; wanted: boolean; outline: Vec[][] }
  interface ChamberResult { independent_circuits: number; isolated_percent: number; circuits: Circuit[]; gaps: Gap[]; islands: Island[] }
  interface DrawnLesion { lesion?: string; recognised?: string; chamber: Chamber; path: Vec[]; closed: boolean }
  interface Result {
    model: string; scope: string; left_atrium: ChamberResult; right_atrium: ChamberResult;
    sinus_to_av_node: boolean; veins_isolated: string[]; posterior_wall_isolated: boolean; wavelength_mm: number;
    between_atria: Circuit[]; lesions: DrawnLesion[]; caution: string;
    activation: { left_atrium: ChamberActivation; right_atrium: ChamberActivation; av_node_ms: number | null; velocity_m_s?: number; delay_ms: { left_atrium: number | null; right_atrium: number | null } };
    trigger_cover_percent: number; substrate_left: { left_percent: number; right_percent: number; left_before_percent: number; right_before_percent: number };
    economy: { total_mm: number; shortest_mm: number; ratio: number | null }; hazards: Hazard[];
  }
  interface ChamberActivation { latest_ms: number | null; latest_at: Site | null; area_reached_percent: number }
  interface Hazard { lesion: number; structure: string; distance_mm: number; at?: Vec }
  interface Isochrones { chamber: Chamber; nodes: Vec[]; triangles: [number, number, number][]; times_ms: number[] }
  interface ActivationMap { chambers: Isochrones[]; caution: string }
  interface Neighbour { id: string; name: string; chamber: Chamber; path: Vec[]; source: string }

  interface Derivation { pattern: string; rule: string; source: string }
  interface History { continuous_months: number; longest_episode_days: number; ends: string; rhythm_control_pursued: boolean }
  interface Patient {
    age: number; af: History; left_atrium_mm: number; right_atrium_mm?: number; ejection_fraction: number; mitral_regurgitation: string;
    stroke_risk_items: string[]; earlier_ablation?: string; pacemaker?: boolean; sinus_node_disease?: boolean; thrombus_on_imaging?: boolean;
  }
  interface Operation {
    primary: string; urgency: string; approach: string; on_bypass: boolean; left_atrium_opened: boolean; tricuspid_work: boolean; redo_chest?: boolean;
  }
  interface Scenario {
    id: string; version: number; title: string; status: string; author: string; vignette: string; patient: Patient; operation: Operation;
    asks: string[]; minutes_limit?: number; notes?: { text: string; source: string }[];
  }
  interface ScenarioItem { id: string; version: number; title: string; pattern: string; operation: string; my_attempts: number; my_best_letter?: string }
  interface Wavelength { conduction_velocity_m_s: number; refractory_period_ms: number; source?: string }
  interface ScenarioDetail { scenario: Scenario; pattern: Derivation; attempts: PlanItem[]; wavelength?: Wavelength }

  interface Answer { title: string; why: string; plan: Plan }
  interface FlawedAnswer { title: string; letter: string; codes: string[]; plan: Plan }
  interface Defensible { scope?: string; finding?: string; why: string }
  interface ScenarioText extends Scenario {
    minutes_limit?: number; expert: Answer[]; flawed: FlawedAnswer[]; alternatives: Defensible[]; notes: { text: string; source: string }[];
  }
  interface CheckFault { field: string; line?: number; column?: number; message: string }
  interface AnswerCheck {
    title: string; kind: "expert" | "flawed"; letter: string; wanted: string; score: number; codes: string[]; missing_codes: string[]; ok: boolean;
    findings?: { code: string; part: string; severity: Finding["severity"]; what: string; points: number }[];
  }
  interface Check { faults: CheckFault[]; answers: AnswerCheck[]; pattern?: Derivation; policy: string; policy_version: number; caution: string }
  /** Where a scenario or a question of the programme stands. */
  interface Life {
    id: string; status: string; version: number; live_version: number; authors: string[]; author?: string; author_name: string; reviewer?: string;
    reviewer_name?: string; updated_at?: string; revision: number; source: "starter" | "own"; may: string[];
  }
  interface Edition extends Life { title: string; pattern?: string; operation: string }
  interface LifeAct { kind: string; by: string; by_name: string; at: string; reason?: string; version: number }
  interface EditionDetail { head: Edition; scenario: ScenarioText; faults: CheckFault[]; pattern?: Derivation; acts: LifeAct[] }
  interface EditionVersion { version: number; status: string; title: string; author_name: string; reviewer_name?: string; live_from?: string; reason?: string }
  interface EditionVersionDetail extends EditionVersion { scenario: ScenarioText }

  interface Conditions {
    patterns?: string[]; primary?: string[]; urgency?: string[]; left_atrium_opened?: boolean; tricuspid_work?: boolean; redo_chest?: boolean; left_atrium_below_mm?: number;
    left_atrium_above_mm?: number; mitral_regurgitation_at_most?: string; thrombus?: boolean; sinus_node_disease?: boolean; pacemaker?: boolean;
  }
  interface PolicyRow {
    id: string; says: string; when: Conditions; target: string; minimum?: string; also?: string[]; reasons?: string[]; may_decline?: string[]; cap_when_ablated?: string; evidence: Evidence[];
  }
  interface Expectation { scopes: string[]; when: Conditions; sinus_rhythm_percent: Range; pacemaker_percent: Range; evidence: Evidence[] }
  interface ScopePolicy {
    id: string; version: number; title: string; wavelength: { conduction_velocity_m_s: number; refractory_period_ms: number; source: string }; weights: Record<string, number>;
    letters: { letter: string; at_least: number }[];
    caps: { at_minimum: string; below_minimum: string; critical: string; floor_when_safe?: string; findings?: Record<string, string> };
    closing: { points: number; shares: Record<string, number> }; hazards: { structure: string; energies?: string[]; within_mm: number; source: string }[];
    deductions: Record<string, number>; told: { widest_sinus_rhythm: number; widest_pacemaker: number; expect: Expectation[] }; rows: PolicyRow[];
  }
  interface ScopePolicyItem {
    version: number; id: string; title: string; source: "own" | "starter"; in_force_from?: string; in_force: boolean; created_by?: string; created_by_name?: string; created_at?: string;
  }
  interface ScopePolicyDetail extends ScopePolicyItem { policy: ScopePolicy; yaml?: string }
  interface PreviewedAnswer {
    scenario: string; title: string; answer: string; kind: "expert" | "flawed"; wanted: string; before: { letter: string; score: number }; after: { letter: string; score: number };
  }
  interface PolicyPreview { in_force: string; in_force_version: number; changed: PreviewedAnswer[]; graded: number; done: number; of: number; next?: string; caution: string }

  interface Appendage { state: string; method?: string; clot_first?: boolean; flow_check?: boolean }
  interface Aftercare { anticoagulation_months: number; anticoagulation_then: string; monitoring_months: number[]; monitoring_hours: number }
  /** In percent; null while it is not filled in. */
  interface Range { low: number | null; high: number | null }
  interface Told { sinus_rhythm_percent: Range; pacemaker_percent: Range }
  interface Plan {
    ablate: boolean | null; reason?: string; lesions: Lesion[]; left_appendage: Appendage; aftercare?: Aftercare;
    steps?: string[]; pacing_wires?: string; told?: Told; note?: string;
  }
  type Mode = "practice" | "test";
  interface PlanItem {
    mode: Mode; practised_before?: number;
    id: string; trainee: string; trainee_name: string; scenario: string; scenario_title: string; attempt: number; submitted_at: string;
    letter: string; score: number; unsafe: boolean; pattern: string;
  }
  interface SittingItem {
    id: string; trainee: string; trainee_name: string; scenario_id: string; scenario_title: string; scenario_version: number; attempt: number; practised_before: number;
    started_at: string; ends_at?: string; closed_at?: string; server_time: string; status: "open" | "submitted" | "ended"; plan_id?: string;
  }
  interface Sitting extends SittingItem { scenario: ScenarioDetail; plan?: Plan; saved_at?: string; faults?: { field: string; message: string }[]; revision: number; caution: string }
  interface PlanDetail {
    mode: Mode; practised_before?: number;
    id: string; programme: string; trainee: string; trainee_name: string; scenario: string; scenario_title: string; scenario_version: number;
    attempt: number; submitted_at: string; plan: Plan; grade: Grade;
  }
  interface Place { chamber: Chamber; at: Vec; lesion?: number; circuit?: number }
  interface Evidence { for: boolean; text: string; source: string }
  interface Finding {
    code: string; part: string; severity: "critical" | "major" | "minor" | "remark"; what: string; why: string; source: string; points: number;
    place?: Place; evidence?: Evidence[];
  }
  interface Grade {
    scenario: string; scenario_version: number; policy: string; policy_version: number; model: string; score: number; letter: string;
    cap?: string; cap_reason?: string; floor?: string; unsafe: boolean; pattern: string; pattern_rule: string; target_scope: string; minimum_scope?: string;
    parts: { part: string; weight: number; earned: number }[]; findings: Finding[]; result: Result; caution: string;
  }

  interface Difference {
    topic: string; about: string; yours: string; theirs: string; means: string; source?: string; place?: Place; their_place?: Place;
  }
  interface Comparison {
    plan: string; expert: { number: number; title: string; why: string; plan: Plan; grade: Grade }; experts: number;
    yours: { letter: string; score: number; unsafe: boolean }; differences: Difference[]; left_atrium_mm: number; right_atrium_mm?: number; caution: string;
  }
  interface GrowthShare { hits: number; n: number; share: number; interval?: Interval; median_score: number; plans: string[] }
  interface GrowthPoint {
    plan: string; scenario_title: string; attempt: number; test: boolean; on: string; score: number; letter: string; unsafe: boolean; hit: boolean;
  }
  interface GrowthTrack {
    n: number; scenarios: number; first: GrowthShare; earlier: GrowthShare; later: GrowthShare; latest: GrowthShare; tests: GrowthShare;
    change: "too-few-to-say" | "no-clear-change" | "more-often" | "less-often"; says: string; points: GrowthPoint[];
  }
  interface PatternGrowth extends GrowthTrack { pattern: string; by_attempt: { attempt: number; n: number; median_score: number }[] }
  interface OmissionGrowth extends GrowthTrack { id: string; name: string }
  interface Growth {
    trainee: { id: string; name: string }; attempts: number; scenarios: number; patterns: PatternGrowth[]; omissions: OmissionGrowth[];
    letter: string; least_n: number; level: number; method: string; assumptions: string; caution: string;
  }

  interface Step { step: string; performed_by: string }
  interface CaseRecord {
    supervisor: string; site: string; operated_on: string; af: History; left_atrium_band: string; operation: string; approach: string;
    urgency: string; on_bypass: boolean; left_atrium_opened: boolean; lesions: Lesion[];
    left_appendage: { state: string; method?: string; result?: string }; steps: Step[]; events: string[]; note?: string;
  }
  interface Computed {
    pattern: string; pattern_rule: string; scope: string; circuits_left: number; lines_complete: boolean; block_tested: boolean;
    role: string; role_reason: string; policy: string; policy_version: number; model: string;
  }
  interface Case {
    id: string; programme: string; trainee: string; version: number; status: string; record: CaseRecord; computed?: Computed;
    content_hash?: string; submitted_at?: string; created_at: string; updated_at: string; revision: number;
    signed_version?: number; last_version?: number;
  }
  interface CaseItem {
    id: string; trainee: string; trainee_name: string; supervisor: string; supervisor_name: string; operated_on: string; operation: string;
    pattern: string; scope: string; role: string; status: string; submitted_at?: string; updated_at: string; age_days: number;
    overlaps?: number; signed_version?: number;
  }
  type ReminderKind = "open-test" | "to-rate" | "returned" | "to-sign" | "drafts" | "others-to-sign";
  interface Reminder { kind: ReminderKind; count: number; late: number; oldest_days: number; says: string; cases: CaseItem[]; sitting?: string; test?: string }
  interface FollowUpLists {
    rhythms: Named[]; monitorings: Named[]; arrhythmias: Named[]; antiarrhythmics: Named[]; pacemaker_bands: Named[]; pacemaker_reasons: Named[];
    repeat_procedures: Named[]; strokes: Named[];
  }
  interface FollowUp {
    month: number; rhythm: string; monitoring: string; monitoring_hours: number; arrhythmia: string; antiarrhythmic: string; anticoagulated: boolean;
    pacemaker: { band: string; reason: string } | null; repeat_procedures: string[]; stroke: string; died: boolean; note?: string;
  }
  interface FollowUpRule {
    version: number; blanking_days: number; off_antiarrhythmics: boolean; least_hours: number; months: number[]; yearly_until_year: number;
    late_after_days: number; remind_before_days: number; episode_over_seconds: number;
  }
  interface Due { month: number; on: string; state: "done" | "coming" | "due" | "late" | "later" }
  interface FollowUpVersion {
    id: string; case: string; version: number; follow_up: FollowUp; freedom: string; freedom_reason: string; rule_version: number; reason?: string;
    by: string; by_name: string; at: string;
  }
  interface FollowUpView extends FollowUpVersion { earlier: FollowUpVersion[]; caution: string }
  interface CaseFollowUps {
    case: string; operated_on: string; rule: FollowUpRule; schedule: Due[]; items: FollowUpView[]; has_key: boolean; may: string[]; caution: string;
  }
  interface DueFollowUp {
    case: string; trainee: string; trainee_name: string; supervisor: string; supervisor_name: string; operated_on: string; operation?: string;
    due: Due[]; days_late: number;
  }
  interface CaseAct { kind: string; by: string; by_name: string; at: string; reason?: string; version: number }
  interface CaseDetail {
    case: Case; trainee_name: string; supervisor_name: string; sign_offs: SignOff[]; acts: CaseAct[]; may: string[]; shared?: Shared; role_accounts?: RoleAccount[]; caution: string;
  }
  /** What a case has to do with other trainees' cases of the same operation. */
  interface Shared { group?: string; members: SharedCase[]; overlaps: { step: string; cases: string[] }[]; suggestions: SharedCase[]; may_join: boolean }
  interface SharedCase { case: string; trainee: string; trainee_name: string; status: string }
  interface CasePreview {
    alike: { case: string; status: string }[]; role_rule: RoleRule; role_account?: RoleAccount; computed: Computed; steps: string[]; identifiers: { field: string; kind: string; excerpt: string; reason: string; keepable: boolean }[]; caution: string;
  }
  interface Statement { steps: Step[]; help_given: number; supervision_next: number; complications_agreed: boolean; events?: string[]; keep: string; change: string }
  interface SignOff {
    id: string; case: string; case_version: number; content_hash: string; assessor: string; assessor_name: string; meaning: string;
    statement: Statement; role: string; role_reason: string; role_claimed: string; age_days: number; late_recall: boolean; signed_at: string; proved_at?: string;
  }
  interface CaseVersion {
    version: number; record: CaseRecord; computed: Computed; content_hash: string; submitted_at: string; submitted_by: string; by_name: string;
    opened?: CaseAct; sign_off?: SignOff; counts: boolean;
  }
  interface CaseVersions { items: CaseVersion[]; caution: string }

  interface Interval { low: number; high: number; level: number; method: string }
  interface LeftOut { id: string; kind: string; reason: string }
  type State = "met" | "on-course" | "short" | "lapsed" | "not-enough-data";
  interface RequirementStanding {
    requirement: string; kind: string; says: string; state: State; value: number; target: number; unit: string; n: number;
    interval?: Interval; used: string[]; used_kind: string; left_out: LeftOut[]; explanation: string; next: string;
    misses?: string[]; ratings?: Dependability;
  }
  /** What the trust in a trainee's ratings is computed from. */
  interface Dependability {
    components: RatingComponents; cases: number; assessors: number; shared: number; sources: RatingSource[]; phi: number; standard_error: number; method: string; assumptions: string;
  }
  interface RatingComponents { scale: string; on: string; ratings: number; trainees: number; assessors: number; pairs: number; trainee_low: number; trainee_high: number; refused: string }
  interface RatingSource { name: string; says: string; variance: number; share: number; over: number }
  interface Standing {
    standard: string; standard_version: number; on: string; requirements: RequirementStanding[]; ready: boolean; overall: string;
    evidence_hash: string; caution: string;
  }
  interface TraineeStanding { trainee: { id: string; name: string }; applied: AppliedStandard; standing: Standing; waiting: { submitted: number; returned: number; drafts: number }; outlook: Outlook; hindsight?: string[] }
  interface Outlook { act?: Act; projections: Projection[]; method: string; assumptions: string; note: string }
  interface Act { kind: "case" | "plan" | "sign-off"; requirement: string; says: string; why: string; moves: string[]; meets: string[] }
  interface Projection {
    requirement: string; more: number; of: "case" | "plan"; low?: string; median?: string; high?: string; level?: number; cases?: number; days?: number; cannot_say?: string;
  }
  interface Figures { says: string; state: State; value: number; target: number; unit: string; n: number; interval?: Interval }
  interface Moved { id: string; kind: string; reason: string }
  interface RequirementDifference { requirement: string; before?: Figures; after?: Figures; came: Moved[]; went: Moved[] }
  interface StandingHead { on: string; standard: string; standard_version: number; ready: boolean; overall: string }
  interface StandingDifference {
    trainee: { id: string; name: string }; before: StandingHead; after: StandingHead; requirements: RequirementDifference[]; same: number; caution: string; hindsight: string[];
  }
  interface ChartAxis { label: string; unit?: "share" | "count" | "months"; min: number; max: number }
  interface ChartPoint { x: number; y: number; low?: number; high?: number; n?: number; mark?: "bad" | "signal" | "bad-signal"; says?: string; link?: string }
  interface ChartLayer {
    shape: "line" | "step" | "band" | "stairs" | "dots" | "rule" | "upright"; role: "main" | "second" | "third" | "fourth" | "limit" | "alarm" | "expect";
    name: string; points: ChartPoint[]; at_risk?: number[];
  }
  interface Chart { id: string; title: string; says: string; n: number; of: string; x: ChartAxis; y: ChartAxis; layers: ChartLayer[]; notes?: string[] }
  interface Learning {
    rule: { scale: string; level?: number }; says: string; cases: { case: string; n: number; success: boolean }[]; successes: number;
    fitted?: { target: number; at?: number; low?: number; high?: number; says: string; method: string }; refused?: string;
  }
  interface LearningCurve { learning: Learning; standing?: RequirementStanding; charts: Chart[] }
  interface TraineeCurves {
    trainee: { id: string; name: string }; on: string; standard: string; standard_version: number; example?: boolean; curves: LearningCurve[]; chosen?: LearningCurve; caution: string;
  }
  interface PracticeShare { of: string; hits: number; n: number; share: number | null; low: number | null; high: number | null }
  interface PeriodPractice { name: string; scopes: PracticeShare[]; less: PracticeShare; below: PracticeShare }
  interface LeftOutPractice { id: string; name: string; left_out: PracticeShare }
  interface Practice {
    n: number; not_asked: PracticeShare; less: PracticeShare; below: PracticeShare; patterns: { pattern: string; scopes: PracticeShare[]; less: PracticeShare }[];
    quarters: PeriodPractice[]; sites: PeriodPractice[]; steps: (LeftOutPractice & { lesions: LeftOutPractice[] })[]; says: string; says_of: string;
  }
  interface PracticeItem { id: string; on: string; name: string; trainee: { id: string; name: string }; site?: string; pattern: string; scope: string; target: string; policy: string }
  interface ScopePractice {
    on: string; from?: string; site?: string; pattern?: string; sites: string[]; operated: Practice; planned: Practice; charts: Chart[];
    level: number; method: string; assumptions: string; notes: string[]; caution: string;
  }
  interface PracticeBehind { on: string; side: "operated" | "planned"; says: string; share: PracticeShare; items: PracticeItem[]; caution: string }
  interface AssessorRow {
    assessor: { id: string; name: string }; n: number; cases: string[]; delay: { n: number; median_days: number; interval?: Interval; refused: string };
    returned: AgreementShare; commented: AgreementShare; late: AgreementShare; steps: AgreementShare;
    severity: { n: number; trainees: number; value: number; interval?: Interval; withheld: string }; says: string[];
  }
  interface DStudy {
    scale: string; ratings: number; trainees: number; assessors: number; trainee: number; trainee_low: number; trainee_high: number; assessor: number; pair: number; residual: number;
    refused: string; means: { cases: number; assessors: number; phi: number; low: number; high: number }[]; fewest: { phi: number; cases: number[]; says: string }[]; note: string;
    level: number; method: string; limits: string; assumptions: string;
  }
  interface Assessors {
    on: string; scale: string; own: boolean; assessors: AssessorRow[]; cases: { id: string; operated_on: string; operation: string; trainee: { id: string; name: string } }[];
    ratings: DStudy; level: number; method: string; notes: string[]; caution: string;
  }
  interface SiteSupply { site: string; ahead: number; days: number; cases: number; evidence: string[] }
  interface Supply {
    requirement: string; says: string; has: number; target: number; lacks: number; sources: SiteSupply[]; expected: number; low: number; high: number; level: number; chance: number; cannot_say?: string;
  }
  interface CaseMix {
    on: string; trainees: { id: string; name: string; until?: string; plan: { site: string; from: string; until?: string }[]; lines: Supply[] }[];
    sites: { site: string; days: number }[]; method: string; assumptions: string; caution: string;
  }
  interface SimulatedShare { count: number; of: number; estimate?: number; low?: number; high?: number }
  interface Quantiles { tenth?: number; median?: number; ninety?: number }
  interface SimulatedGroup { name: string; share: number; curve: { start: number; end: number; half_life: number } }
  interface SimulatedKind { pattern: string; scope: string; operation: string; share: number }
  interface Mix {
    groups: SimulatedGroup[]; kinds: SimulatedKind[]; cases_per_year: number; primary: number; incomplete: number; unsigned: number; late: number; assessors: number; spread: number;
  }
  interface SimulationPlan { standards: { version: number; title: string }[]; mix: Mix; trainees: number; cases: number; adequate: number; seed: number }
  interface SimulatedOutcome {
    standard: string; title: string; version: number; example?: boolean; taken_as_met: string[]; false_ready: SimulatedShare; false_not_ready: SimulatedShare;
    groups: { name: string; trainees: number; declared: SimulatedShare; false_ready: SimulatedShare; adequate_from: number; by: number[]; cases: Quantiles; months: Quantiles; waited: Quantiles }[];
    binding: { requirement: string; says: string; last: SimulatedShare; unmet: SimulatedShare }[];
  }
  interface SimulatedDiscord { group: string; only_first: SimulatedShare; only_second: SimulatedShare }
  interface SimulationResult { outcomes: SimulatedOutcome[]; comparison?: SimulatedDiscord[]; says: string[]; caution: string }
  interface Report {
    id: string; kind: "portfolio" | "pack" | "workbook" | "tables"; trainee?: string; trainee_name?: string; on: string; outside?: boolean; state: "waiting" | "done" | "failed"; total: number; ready: number;
    code?: string; file_name?: string; kept_until?: string; message?: string; created_at: string;
  }
  interface Verified { matches: boolean; made_at?: string; says: string }
  interface Simulation {
    id: string; by_name: string; title: string; state: "waiting" | "done" | "failed" | "cancelled"; total: number; ready: number; message?: string; created_at: string; revision: number; may: string[];
  }
  interface SimulationWhole extends Simulation { plan: SimulationPlan; result?: SimulationResult; charts: Chart[]; caution: string }
  interface SimulationStart { mix: Mix; n: number; says: string }
  type Outcome = "independent" | "independent-with-conditions" | "continue" | "remediate";
  interface MeetingSummary { id: string; held_on: string; note?: string; trainees: number; members: number; decided: number }
  interface Vote { member: string; name?: string; outcome: Outcome; remark?: string; voted_at: string }
  interface Conflict { member: string; name?: string; reason: string; declared_at: string }
  interface DecisionSummary { id: string; meeting: string; outcome: Outcome; conditions?: string; signer_name: string; signed_at: string; superseded: boolean }
  interface Turn {
    trainee: { id: string; name: string }; standing: Standing; waiting: TraineeStanding["waiting"]; conflicts: Conflict[]; voted: number; votes?: Vote[]; own_vote?: Vote;
    before?: DecisionSummary; decision?: DecisionSummary; may: string[];
  }
  interface Meeting {
    id: string; held_on: string; note?: string; members: { id: string; name: string }[]; created_by: { id: string; name: string }; created_at: string; turns: Turn[]; caution: string;
  }
  interface Decision {
    id: string; meeting: string; trainee: string; trainee_name: string; held_on: string; outcome: Outcome; conditions?: string; reasons: string; not_met: string[];
    standing: Standing; follows?: string; superseded_by?: string; signer_name: string; meaning: string; signed_at: string; proved_at: string; content_hash: string;
    tally: { outcome: Outcome; votes: number }[]; named_votes?: Vote[]; named_conflicts?: Conflict[]; response?: { text: string; responded_at: string }; may: string[]; caution: string;
  }
  interface CohortLine { requirement: string; state: State; was: State; trend: "rising" | "level" | "falling"; value: number; target: number; unit: string; n: number; interval?: Interval }
  interface CohortTrainee {
    id: string; name: string; since: string; until?: string; year: number; site?: string; standard_version: number; example?: boolean; overall: string; ready: boolean;
    concern?: string; attention: string; lines: CohortLine[];
  }
  interface Headline {
    scope_left_out?: { count: number; n: number; share: number; low: number; high: number; level: number; says: string };
    sign_off_wait?: { median_days: number; n: number; waiting: number; late: number };
  }
  interface Cohort {
    standard: string; standard_version: number; on: string; requirements: { id: string; says: string; kind: string; target: number; unit: string }[];
    before: string; of: number; sites: string[]; years: number[]; trainees: CohortTrainee[]; headline: Headline; caution: string;
  }
  interface StandardItem { version: number; in_force_from: string; created_by: string; created_at: string; title: string; example: boolean }
  interface StandardLine { requirement: string; says: string }
  interface Standard extends StandardItem { yaml: string; note: string; lines: StandardLine[] }
  interface StandardChange { requirement: string; change: "added" | "gone" | "changed"; before?: string; after?: string }
  interface StandardDifferences { before: StandardItem; after: StandardItem; changes: StandardChange[]; same: StandardLine[] }
  /** A requirement by the names of the YAML. */
  interface Requirement { id: string; kind: string; filter?: Record<string, any>; [field: string]: any }
  interface StandardText { id: string; title: string; version: number; example?: boolean; note?: string; requirements: Requirement[] }
  interface RequirementField {
    name: string; label: string; hint?: string; type: "whole" | "share" | "level" | "choice" | "list" | "yes" | "number" | "names"; unit?: string; required: boolean; least: number; most: number;
    choices?: { id: string; name: string }[]; except?: { field: string; value: string };
  }
  interface RequirementKind { kind: string; name: string; says: string; fields: RequirementField[] }
  interface StandardFault { field: string; message: string; line?: number; column?: number }
  interface StateCount { state: string; n: number }
  interface StandardEffect { on: string; n: number; now: StateCount[]; then: StateCount[]; lines: { requirement: string; then: StateCount[] }[]; says: string }
  interface StandardCheck {
    yaml: string; standard?: StandardText; faults: StandardFault[]; lines: StandardLine[]; against?: StandardItem; changes: StandardChange[]; effect?: StandardEffect; caution: string;
  }
  interface StandardMove { version: number; title: string; from: string; reason: string; moved_by: string; moved_by_name: string; moved_at: string }
  /** Which version judges a trainee, and why. */
  interface AppliedStandard { version: number; title: string; example?: boolean; because: "joined" | "moved"; since: string; move?: StandardMove }
  interface Delivery {
    configured: boolean; on: boolean; number: number; by?: string; by_name?: string; since?: string; waiting: number; stuck: number; sent: number;
    oldest?: string; last_at?: string; message?: string;
  }
  interface Disclosure {
    statements: { holds: string[]; without: string[] }; operations: { k: number; released: number; says: string[] }; delivery: Delivery; caution: string;
  }
  interface AuditEntry {
    seq: number; at: string; actor: string; actor_name: string; act: string; object: string; object_id: string;
    before_hash: string; after_hash: string; prev_hash: string; hash: string; request_id: string;
  }
  interface Fate { known: boolean; event?: string; month: number; from?: number }
  interface OutcomeCase {
    case: string; also?: string[]; trainee: string; trainee_name: string; supervisor: string; supervisor_name: string; site: string; operated_on: string; operation: string;
    pattern: string; scope: string; freedom: Fate; pacemaker: Fate;
  }
  interface Completeness { month: number; due: number; done: number; share: number; low: number; high: number; cases?: string[]; missing?: string[]; hidden?: boolean; says: string }
  interface OutcomeAt { month: number; share: number; low?: number; high?: number; at_risk: number; earliest?: number }
  interface OutcomeGroup { id: string; n: number; events: number; at?: OutcomeAt; cases?: string[]; failed?: string[]; refused?: string; hidden?: boolean }
  interface LogRank { groups: string[]; n: number[]; observed: number[]; expected: number[]; chi_squared: number; degrees_of_freedom: number; p: number; method: string }
  interface OutcomeFreedom {
    by: "scope" | "pattern"; groups: (OutcomeGroup & { on_drug: number; unknown: number; without?: string[] })[]; test?: LogRank; refused?: string; says: string; chart?: Chart;
  }
  interface OutcomePacemakers { by: "scope"; groups: (OutcomeGroup & { deaths: number })[]; says: string; chart?: Chart }
  interface OutcomeUnit {
    id: string; name: string; due: number; n: number; free: number; share: number; z: number; place?: string; observed: number; expected: number; difference: number;
    ratio: number; low: number; high: number; cases?: string[]; failed?: string[]; hidden?: boolean;
  }
  interface OutcomeUnits { by: "site" | "supervisor"; month: number; target: number; rows: OutcomeUnit[]; limits: string; says: string; refused?: string; remark?: string; chart?: Chart }
  interface Outcomes {
    on: string; month: number; outside?: boolean; least: number; years: number[]; sites: string[]; patterns: string[]; months: number[]; success: string; rule_version: number;
    operations: number; completeness: Completeness[]; by_scope: OutcomeFreedom; by_pattern: OutcomeFreedom; pacemakers: OutcomePacemakers; by_site: OutcomeUnits;
    by_supervisor: OutcomeUnits; running: { month: number; n: number; observed: number; expected: number; says: string; refused?: string; chart?: Chart };
    cases: OutcomeCase[]; causal: string; caution: string;
  }
}
