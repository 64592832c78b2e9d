// What the API sends and takes of questions: the bank, quizzes, tests and panels, and how they work.
declare namespace Api {
  interface QuestionHead extends Life { stem: string; options?: string[]; topic: string; kind: QuestionKind | ""; difficulty: string }
  interface QuestionText {
    id: string; version: number; topic: string; status: string; author: string; kind: QuestionKind | ""; difficulty: string; stem: string; options?: QuestionOption[]; keep_order?: boolean;
    key?: string[]; rule?: string; number?: QuestionNumber; map?: QuestionTask; not_with?: string[]; rationale: string; source: string;
  }
  interface QuestionOption { id: string; text: string; feedback: string }
  interface QuestionNumber { value: number; tolerance: number; unit: string; misses?: { value: number; feedback: string }[] }
  interface QuestionTask extends QuizMap {
    near?: { within_mm: number }; key: Vec[]; misses?: { path: Vec[]; feedback: string }[];
    effect?: { closes?: string[][]; leaves?: string[][]; isolates?: string[]; clear?: { structure: string; least_mm: number }[]; most_mm?: number };
  }
  interface QuestionTwin { item: string; alike: number; stem: string; in_file?: boolean }
  interface QuestionCheck { shown?: QuizQuestion; faults: CheckFault[]; twins: QuestionTwin[]; caution: string }
  interface QuestionDetail extends QuestionCheck { head: QuestionHead; item: QuestionText; acts: LifeAct[] }
  interface QuestionVersion { version: number; status: string; author_name: string; reviewer_name?: string; live_from?: string; item: QuestionText }
  interface SharedTopic { trainees: number; n: number; right: number; share: number; low: number; high: number }
  interface CohortKnowledge {
    on: string; years: number[]; topics: { topic: string; all: SharedTopic; years: SharedTopic[]; tested: number; passed: number }[]; method: string; level: number; assumptions: string; caution: string;
    trainees: { id: string; name: string; year: number; topics: { topic: string; n: number; right: number; share: number; low: number; high: number }[] }[];
    required: { requirement: string; standard_version: number; says: string; topics: string[]; judged: number; met: number; lacking: string[] }[]; charts: Chart[];
  }
  interface Limits { value: number; low: number; high: number }
  interface AnalysedItem {
    item: string; version: number; topic: string; kind: QuestionKind; stem: string; n: number; right: number; withheld?: string; difficulty?: Limits; corrected?: Limits;
    upper: number; lower: number; group: number; options?: { text: string; key: boolean; n: number; upper: number; lower: number }[]; seconds: number;
    rasch?: { difficulty: number; se: number; infit: number; outfit: number }; flags: { flag: string; says: string }[];
  }
  interface SitesOfItems {
    site?: string; people: [number, number]; withheld?: string; method: string;
    items: { item: string; version: number; n: [number, number]; odds: Limits; delta: number; p: number; large: boolean }[];
  }
  interface ItemScale { withheld?: string; n: number; items: number; left_out: number; method: string; scores: { right: number; trainees: number; ability: number; se: number }[] }
  interface ItemAnalysis {
    people: number; answers: number; tests: { id: string; title: string }[]; topics: string[]; items: AnalysedItem[]; sites: SitesOfItems; charts: Chart[]; level: number; thresholds: string[]; caution: string;
    whole: { withheld?: string; n: number; items: number; alpha?: Limits; sem: number; method: string }; scale: ItemScale;
    versions: { item: string; first: number; second: number; n: [number, number]; difference?: Limits; withheld?: string; method: string }[];
  }
  interface FileFault extends CheckFault { file: string }
  interface QuestionImportCheck {
    format: string; rows: { id: string; topic: string; kind: string; stem: string; becomes: "new" | "revision" | "same" | "refused"; why?: string; twins: QuestionTwin[] }[];
    faults: FileFault[]; notes: FileFault[]; new: number; revisions: number; same: number; refused: number;
  }
  type CutFrom = "example" | "angoff" | "hofstee";
  interface Cut { percent: number; from: CutFrom; panel?: string; judges?: number; se?: number; drawn?: boolean }
  interface TestPlan { title: string; rows?: { topic: string; difficulty?: string; items: number }[]; fixed?: { item: string; version: number }[]; minutes: number; negative?: boolean }
  interface TestHead {
    id: string; title: string; status: string; version: number; live_version: number; fixed: boolean; items: number; minutes: number; negative: boolean; author_name: string; updated_at: string;
    revision: number; cut: Cut; retired_for?: string; may: string[];
  }
  interface TestSupply { asked: number; live: number; drawn: number; by_difficulty: Record<string, number> }
  interface TestCheck { faults: CheckFault[]; supply: TestSupply[]; chosen: { item: string; version: number; stem: string; topic: string; difficulty: string }[] }
  interface TestVersion { version: number; plan: TestPlan; published_by_name: string; published_at: string; cuts: (Cut & { reason: string; adopted_by_name: string; adopted_at: string })[] }
  interface TestDetail { head: TestHead; plan: TestPlan; check: TestCheck; versions: TestVersion[]; panels: PanelHead[]; may_call: boolean }
  interface TestResults {
    version: number; attempts: number; people: number; passed: number; behind: { quiz: string; trainee: string; name: string; percent: number; cut: number; passed: boolean }[]; share?: number; low?: number; high?: number; cut: Cut; chart?: Chart; method: string; level: number; assumptions: string; caution: string;
  }
  interface PanelHead {
    id: string; version: number; method: "angoff" | "hofstee"; status: "open" | "closed" | "withdrawn"; round: number; judges: number; items: number; judging: boolean; created_at: string;
  }
  interface PanelLimits { least_mark: number; highest_mark: number; least_fail: number; highest_fail: number }
  interface PanelSheet { judge: string; round: number; ratings?: Record<string, number>; limits?: PanelLimits }
  interface PanelOutcome { judges: number; found: boolean; percent: number; se?: number; fail?: number; scores?: number; below?: number; limits?: PanelLimits }
  interface PanelDetail extends PanelHead {
    test: string; test_title: string; progress: { judge: string; name: string; rated: number; asked: number; left_out: boolean }[]; questions: { name: string; item: QuestionText }[];
    own?: PanelSheet; previous?: PanelSheet; result?: PanelOutcome; limits: { name: string; limits: PanelLimits }[]; reason?: string; adopted: boolean; may: string[]; fewest_scores: number; scores: number;
    rounds: {
      round: number; percent: number; deviation?: number; se?: number; judges: { name: string; percent: number }[]; chart: Chart;
      items: { item: string; n: number; mean: number; deviation?: number; least: number; most: number; discuss: boolean }[];
    }[];
    revision: number; rules: string[]; caution: string;
  }
  /** An answer by the labels of a question's choices. */
  interface QuizGiven { chosen?: string[]; number?: number; path?: Vec[] }
  type QuestionKind = "single-best" | "several" | "numeric" | "ordering" | "map";
  type QuizDraw = "point" | "line" | "ring";
  interface QuizMap { chamber: Chamber; draw: QuizDraw; shown: { lesions: Lesion[]; left_appendage?: string; left_atrium_diameter_mm?: number; right_atrium_diameter_mm?: number } }
  interface QuizChange { place: number; given: QuizGiven; ms: number }
  interface QuizQuestion {
    topic: string; kind: QuestionKind; stem: string; rule: string; choices?: { label: string; text: string }[]; choose?: number; unit?: string; map?: QuizMap;
  }
  interface QuizTold { right: boolean; points: number; says: string[]; key: string[]; number?: number; tolerance?: number; path?: Vec[]; rationale: string; source: string }
  interface QuizPlace { place: number; question: QuizQuestion; given: QuizGiven; ms: number; replied: boolean; told?: QuizTold }
  interface QuizItem {
    id: string; trainee: string; trainee_name: string; mode: "practice" | "test" | "daily"; title: string; items: number; replied: number; started_at: string; due_at: string;
    saved_at?: string; closed_at?: string; server_time: string; status: "open" | "submitted" | "ended"; cut: number; cut_from: Cut;
    test?: { id: string; version: number }; negative?: boolean; passed?: boolean;
    result?: { items: number; answered: number; right: number; points: number; percent: number; se: number; method: "binomial" | "kr-20" | "unknown" };
  }
  interface Quiz extends QuizItem {
    places?: QuizPlace[]; by_topic?: { topic: string; items: number; percent: number; judged: boolean; passed: boolean }[]; revision: number; caution: string;
  }
  interface QuizOffer { mode: string; topic?: string; test?: string; negative?: boolean; cut_from?: Cut; title: string; items: number; minutes?: number; cut?: number; open?: string; done?: string }
  interface QuizOffers { daily: QuizOffer; practice: QuizOffer[]; tests: QuizOffer[]; caution: string }
  interface Knowledge {
    trainee: string; topics: { topic: string; n: number; right: number; share: number; low: number; high: number }[]; method: string; level: number; assumptions: string; caution: string;
  }
}
