package simulate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"

	"isthmus/competency"
)

const daysPerYear = 365.25

// Help and supervision as a made-up assessor gives them: a success is rated above every level a standard can ask for, a failure below.
const (
	ratedSuccess = 5
	ratedFailure = 1
)

// world is what the plan fixes for every trainee.
type world struct {
	plan      Plan
	failure   [][]float64 // group, operation: log odds of a failure
	until     []float64   // cumulative shares of the kinds
	assessors []competency.PersonID
	lastOf    []int // group: one past its last trainee
}

func newWorld(p Plan) *world {
	w := &world{plan: p, failure: make([][]float64, len(p.Mix.Groups)), lastOf: dealt(p.Mix.Groups, p.Trainees)}
	for g, group := range p.Mix.Groups {
		w.failure[g] = make([]float64, p.Cases)
		for n := range w.failure[g] {
			w.failure[g][n] = logOdds(group.Curve.At(n + 1))
		}
	}
	sum := 0.0
	for _, k := range p.Mix.Kinds {
		sum += k.Share
		w.until = append(w.until, sum)
	}
	for a := range p.Mix.Assessors {
		w.assessors = append(w.assessors, competency.PersonID(fmt.Sprint(a)))
	}
	return w
}

// dealt gives each group its whole number of trainees, the largest remainders rounded up, as the end of its range.
func dealt(groups []Group, trainees int) []int {
	sum := 0.0
	for _, g := range groups {
		sum += g.Share
	}
	counts, order, left := make([]int, len(groups)), make([]int, len(groups)), trainees
	remainder := make([]float64, len(groups))
	for i, g := range groups {
		exact := float64(trainees) * g.Share / sum
		counts[i], order[i] = int(exact), i
		remainder[i] = exact - float64(counts[i])
		left -= counts[i]
	}
	sort.SliceStable(order, func(a, b int) bool { return remainder[order[a]] > remainder[order[b]] })
	for _, i := range order[:left] {
		counts[i]++
	}
	end := 0
	for i, n := range counts {
		end += n
		counts[i] = end
	}
	return counts
}

// groupOf finds a trainee's group.
func (w *world) groupOf(trainee int) int { return sort.SearchInts(w.lastOf, trainee+1) }

// declaration is when a trainee was first found ready under one standard.
type declaration struct {
	operation, day int    // counted from 1, and from the first day of training; operation 0: never
	last           uint64 // bit i: requirement i was met by that case; for who never was ready: it was not met at the end
}

// runner simulates trainees one after another.
type runner struct {
	*world
	judges   []*competency.Judge
	severity []float64
}

func (w *world) runner() *runner {
	r := &runner{world: w, severity: make([]float64, w.plan.Mix.Assessors)}
	for _, standard := range w.plan.Standards {
		r.judges = append(r.judges, competency.NewJudge(standard))
	}
	return r
}

// run lets a trainee operate until every standard has found them ready, or to the horizon. All randomness comes from the seed and the
// trainee's number, and none of it depends on what a standard says: two standards see the same trainee.
func (r *runner) run(trainee int, found []declaration) {
	random := rand.New(rand.NewPCG(r.plan.Seed, uint64(trainee)))
	for a := range r.severity {
		r.severity[a] = random.NormFloat64() * r.plan.Mix.Spread
	}
	before := make([]uint64, len(r.judges))
	for s, judge := range r.judges {
		judge.Reset()
		found[s] = declaration{}
	}
	mix, failure := r.plan.Mix, r.failure[r.groupOf(trainee)]
	day, waiting := 0.0, len(r.judges)
	for n := 0; n < r.plan.Cases && waiting > 0; n++ {
		day += random.ExpFloat64() * daysPerYear / mix.CasesPerYear
		c := r.operation(random, failure[n])
		if random.Float64() < mix.Unsigned {
			continue
		}
		for s, judge := range r.judges {
			if found[s].operation > 0 {
				continue
			}
			judge.Add(&c, int(day))
			met, all := r.met(s, int(day))
			if met == all {
				found[s] = declaration{operation: n + 1, day: int(day), last: met &^ before[s]}
				waiting--
			}
			before[s] = met
		}
	}
	for s := range r.judges {
		if found[s].operation == 0 {
			met, all := r.met(s, int(day))
			found[s].last = all &^ met
		}
	}
}

// operation draws one operation with its ratings; failure is the log odds of one before a fair assessor.
func (r *runner) operation(random *rand.Rand, failure float64) competency.SignedCase {
	mix := r.plan.Mix
	at := random.Float64() * r.until[len(r.until)-1]
	kind := mix.Kinds[min(sort.SearchFloat64s(r.until, at), len(mix.Kinds)-1)]
	c := competency.SignedCase{Pattern: kind.Pattern, Scope: kind.Scope, Operation: kind.Operation, Role: competency.RoleAssistant, HelpGiven: ratedSuccess, SupervisionNext: ratedSuccess}
	if random.Float64() < mix.Primary {
		c.Role = competency.RolePrimary
	}
	complete := random.Float64() >= mix.Incomplete
	c.LinesComplete, c.BlockTested = complete, complete
	c.LateRecall = random.Float64() < mix.Late
	assessor := random.IntN(len(r.assessors))
	c.Assessor = r.assessors[assessor]
	if random.Float64() < chance(failure+r.severity[assessor]) {
		c.HelpGiven, c.SupervisionNext = ratedFailure, ratedFailure
	}
	return c
}

func logOdds(rate float64) float64 { return math.Log(rate / (1 - rate)) }

func chance(logOdds float64) float64 { return 1 / (1 + math.Exp(-logOdds)) }

// shifted is a failure rate as an assessor of some severity finds it.
func shifted(rate, severity float64) float64 { return chance(logOdds(rate) + severity) }

// met is which requirements are met under a standard on a day, and which of them a simulation follows at all.
func (r *runner) met(standard, day int) (met, all uint64) {
	judge := r.judges[standard]
	for i := range r.plan.Standards[standard].Requirements {
		if !judge.Follows(i) {
			continue
		}
		all |= 1 << i
		if judge.State(i, day) == competency.Met {
			met |= 1 << i
		}
	}
	return met, all
}
