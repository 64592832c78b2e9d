package policies

// Object is a kind of thing an operation works on.
type Object string

// The objects. Oversight is a membership by which somebody reads others' records: director, committee, reviewer. A draft is a case that was
// never submitted, a signed case one that is signed off; reading the latter is reading a case. A sitting is a test, a quiz an attempt at questions, a question one with its answer in the hands of those who write it, an edition a scenario
// with its answers in the hands of those who write it, a disclosure what leaves the programme in open formats, an override words that were let past the privacy screen. Practice is what was done
// against the scope policy, assessors how supervisors sign off: there a supervisor's own row is own. A viewing is what an external reviewer is let
// see and until when, figures are those of the cohort without names.
const (
	Session     Object = "session"
	Membership  Object = "membership"
	Oversight   Object = "oversight"
	Invitation  Object = "invitation"
	Rotation    Object = "rotation"
	Token       Object = "token"
	Catalogue   Object = "catalogue"
	Programme   Object = "programme"
	People      Object = "people"
	Scenario    Object = "scenario"
	Conduction  Object = "conduction"
	Plan        Object = "plan"
	Case        Object = "case"
	Draft       Object = "draft"
	SignedCase  Object = "signed-case"
	Standing    Object = "standing"
	Cohort      Object = "cohort"
	Standard    Object = "standard"
	Audit       Object = "audit"
	Sitting     Object = "sitting"
	ScopePolicy Object = "scope-policy"
	Edition     Object = "edition"
	Growth      Object = "growth"
	FollowUp    Object = "follow-up"
	CaseKey     Object = "case-key"
	Import      Object = "import"
	Override    Object = "override"
	CasePattern Object = "case-pattern"
	Settings    Object = "settings"
	Reminder    Object = "reminder"
	Meeting     Object = "meeting"
	Decision    Object = "decision"
	Digest      Object = "digest"
	Simulation  Object = "simulation"
	Disclosure  Object = "disclosure"
	Practice    Object = "practice"
	Assessors   Object = "assessors"
	Report      Object = "report"
	Quiz        Object = "quiz"
	Question    Object = "question"
	Test        Object = "test"  // a programme's own test of questions
	Panel       Object = "panel" // judges who set a test's passing mark
	Viewing     Object = "viewing"
	Figures     Object = "figures"
)

// Objects lists every object.
func Objects() []Object {
	return []Object{
		Membership, Oversight, Invitation, Rotation, Import, Session, Token, Catalogue, Programme, People, Scenario, Conduction, Plan, Case, Draft, SignedCase, Standing, Cohort, Standard, Audit,
		Sitting, ScopePolicy, Edition, Growth, FollowUp, CaseKey, Override, Reminder, CasePattern, Settings, Meeting, Decision, Digest, Simulation, Disclosure, Practice, Assessors, Report, Viewing, Figures, Quiz, Question, Test, Panel,
	}
}

// Action is what an operation does to an object.
type Action string

// The actions.
const (
	Read     Action = "read"
	List     Action = "list"
	Create   Action = "create"
	Edit     Action = "edit"
	Delete   Action = "delete"
	Compute  Action = "compute"
	Preview  Action = "preview"
	Submit   Action = "submit"
	Return   Action = "return"
	SignOff  Action = "sign-off"
	Withdraw Action = "withdraw"
	Amend    Action = "amend"   // open a signed case for its next version
	Restore  Action = "restore" // give an amendment up
	Approve  Action = "approve"
	Retire   Action = "retire"
	Accept   Action = "accept"
	Export   Action = "export"
	Review   Action = "review"
	Join     Action = "join"
	Vote     Action = "vote"
	Declare  Action = "declare" // a conflict of interest
	Respond  Action = "respond"
	Move     Action = "move"   // a trainee to another version of the standard
	Verify   Action = "verify" // a code against the record
)

// Actions lists every action.
func Actions() []Action {
	return []Action{Read, List, Create, Edit, Delete, Compute, Preview, Submit, Return, SignOff, Withdraw, Amend, Restore, Approve, Retire, Accept, Export, Review, Join, Vote, Declare, Respond, Move, Verify}
}

// Role is what a person is. The first three follow from signing in and from any membership; the others are given in a membership.
type Role string

// The roles.
const (
	Visitor     Role = "visitor"
	Person      Role = "person"
	Member      Role = "member"
	Trainee     Role = "trainee"
	Faculty     Role = "faculty"
	Director    Role = "director"
	Coordinator Role = "coordinator"
	Committee   Role = "committee"
	Reviewer    Role = "reviewer"
	Operator    Role = "operator"
)

// Roles lists every role, the assumed ones first.
func Roles() []Role {
	return append([]Role{Visitor, Person, Member}, MembershipRoles()...)
}

// MembershipRoles lists the roles a membership can give.
func MembershipRoles() []Role {
	return []Role{Trainee, Faculty, Director, Coordinator, Committee, Reviewer, Operator}
}

// Relation is what binds the person who acts to the object.
type Relation string

// The relations, from near to far. Own, Supervised and Reviewed lie within InProgramme, InProgramme within Anywhere. A trainee is supervised by
// whoever supervises a submitted case of theirs, and reviewed by an external reviewer whose invitation chose them and has not ended.
const (
	Own         Relation = "own"
	Supervised  Relation = "supervised"
	Reviewed    Relation = "reviewed"
	InProgramme Relation = "programme"
	Anywhere    Relation = "any"
)

// Relations lists every relation, near to far.
func Relations() []Relation { return []Relation{Own, Supervised, Reviewed, InProgramme, Anywhere} }
