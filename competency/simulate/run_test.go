package simulate

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/competency/curve"
)

// plain is a plan with one group of a constant failure rate whose every operation is signed and primary.
func plain(rate float64, requirements ...competency.Requirement) Plan {
	return Plan{
		Standards: []competency.Standard{{ID: "tried", Title: "Tried", Version: 1, Requirements: requirements}},
		Mix: Mix{
			Groups: []Group{{"all", 1, Curve{rate, rate, 0}}}, Kinds: []CaseKind{{af.Persistent, atrium.ScopeBiatrial, "mitral", 3}, {af.Paroxysmal, atrium.ScopeBox, "mitral", 1}},
			CasesPerYear: 50, Primary: 1, Assessors: 3,
		},
		Trainees: 20_000, Cases: 60, Adequate: 0.2, Seed: 7,
	}
}

func mustRun(t testing.TB, p Plan) Result {
	t.Helper()
	result, err := Run(context.Background(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	return result
}

// agrees holds simulated shares against exact ones: five standard errors, so that a right program fails once in some million.
func agrees(t *testing.T, what string, by []int, trainees int, exact func(n int) float64) {
	t.Helper()
	for n := 1; n <= len(by); n++ {
		want, got := exact(n), float64(by[n-1])/float64(trainees)
		if limit := 5*math.Sqrt(want*(1-want)/float64(trainees)) + 1e-12; math.Abs(got-want) > limit {
			t.Fatalf("%s: by operation %d simulated %.4f, exact %.4f, allowed %.4f", what, n, got, want, limit)
		}
	}
}

// TestCountMatchesBinomial: with one count of k cases of a kind, ready by operation n means k or more of n are of that kind, signed and
// primary: a binomial tail (textbook identity of binomial and negative binomial; gonum distuv).
func TestCountMatchesBinomial(t *testing.T) {
	p := plain(0.3, competency.Requirement{ID: "biatrial", Kind: competency.KindCount, AtLeast: 12,
		Filter: competency.Filter{Scope: []atrium.Scope{atrium.ScopeBiatrial}, Role: []competency.Role{competency.RolePrimary}}})
	p.Mix.Primary, p.Mix.Unsigned = 0.8, 0.1
	group := mustRun(t, p).Outcomes[0].Groups[0]
	agrees(t, "count", group.By, p.Trainees, func(n int) float64 {
		if n < 12 {
			return 0
		}
		return 1 - distuv.Binomial{N: float64(n), P: 0.75 * 0.8 * 0.9}.CDF(11)
	})
}

// TestCurveMatchesRunLength: with one learning curve and a constant failure rate, ready by operation n is the exact chance that the chart
// has signalled by then, from the Markov chain of competency/curve, which its own tests hold against R.
func TestCurveMatchesRunLength(t *testing.T) {
	line := competency.Requirement{ID: "curve", Kind: competency.KindCurve, Scale: competency.ScaleHelpGiven, Level: 4, AcceptableRate: 0.2, InadequateRate: 0.5,
		HorizonCases: 40, FalseDeclaration: 0.1, FalseAlarm: 0.1}
	for _, rate := range []float64{0.1, 0.2, 0.5} {
		p := plain(rate, line)
		group := mustRun(t, p).Outcomes[0].Groups[0]
		design, err := curve.LearningLimit(0.2, 0.3, 40, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		weights, err := curve.Learning(0.2, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		exact, err := curve.SignalBy(rate, weights, design.Limit, p.Cases)
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, "curve", group.By, p.Trainees, func(n int) float64 { return exact[n-1] })
	}
}

// TestTwoCountsMatchMultinomial: two counts, ready is both: summed over the binomial of the first kind.
func TestTwoCountsMatchMultinomial(t *testing.T) {
	count := func(id string, scope atrium.Scope, n int) competency.Requirement {
		return competency.Requirement{ID: id, Kind: competency.KindCount, AtLeast: n, Filter: competency.Filter{Scope: []atrium.Scope{scope}}}
	}
	p := plain(0.3, count("biatrial", atrium.ScopeBiatrial, 10), count("box", atrium.ScopeBox, 5))
	outcome := mustRun(t, p).Outcomes[0]
	exact := func(n int) float64 {
		sum := 0.0
		for k := 10; k <= n-5; k++ {
			sum += distuv.Binomial{N: float64(n), P: 0.75}.Prob(float64(k))
		}
		return sum
	}
	agrees(t, "two counts", outcome.Groups[0].By, p.Trainees, exact)
	last := outcome.Binding[0].Last.Count + outcome.Binding[1].Last.Count
	if declared := outcome.Groups[0].Declared.Count; last != declared { // one operation meets one of them
		t.Errorf("%d were held back last by one or the other, %d were declared", last, declared)
	}
	// Exactly one of the two came last at operation n: the box when its fifth is operation n and ten of the others came before.
	lastBox := 0.0
	for n := 15; n <= p.Cases; n++ {
		lastBox += distuv.Binomial{N: float64(n - 1), P: 0.25}.Prob(4) * 0.25
	}
	if got := float64(outcome.Binding[1].Last.Count) / float64(p.Trainees); math.Abs(got-lastBox) > 5*math.Sqrt(lastBox/float64(p.Trainees)) {
		t.Errorf("the box came last for %.4f, exact %.4f", got, lastBox)
	}
}

// TestSamePlanSameResult: seed and plan decide, not the number of workers; another seed gives another draw.
func TestSamePlanSameResult(t *testing.T) {
	p := example()
	p.Trainees, p.Cases = 2000, 80
	one, err := run(context.Background(), p, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	many, err := run(context.Background(), p, 7, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(one, many) {
		t.Error("the number of workers changes the result")
	}
	p.Seed++
	if other := mustRun(t, p); reflect.DeepEqual(one.Outcomes, other.Outcomes) {
		t.Error("the seed changes nothing")
	}
}

// TestStandardsSeeTheSameTrainees: compared with itself a standard differs in nobody, and an easier one never loses anybody.
func TestStandardsSeeTheSameTrainees(t *testing.T) {
	p := example()
	p.Trainees, p.Cases = 2000, 40
	easier := p.Standards[0]
	easier.Requirements = easier.Requirements[1:]
	p.Standards = append(p.Standards, p.Standards[0])
	for _, d := range mustRun(t, p).Comparison {
		if d.OnlyFirst.Count+d.OnlySecond.Count != 0 {
			t.Errorf("the same standard differs: %+v", d)
		}
	}
	p.Standards[1] = easier
	found := 0
	for _, d := range mustRun(t, p).Comparison {
		found += d.OnlySecond.Count
		if d.OnlyFirst.Count > 0 {
			t.Errorf("a standard with a line less loses %d of group %s", d.OnlyFirst.Count, d.Group)
		}
	}
	if found == 0 {
		t.Error("a line less passes nobody more: the line binds nobody, and the test shows nothing")
	}
}

// example is a whole plan: the example standard, three abilities.
func example() Plan {
	line := competency.Requirement{ID: "curve", Kind: competency.KindCurve, Scale: competency.ScaleHelpGiven, Level: 4, AcceptableRate: 0.2, InadequateRate: 0.5,
		HorizonCases: 40, FalseDeclaration: 0.1, FalseAlarm: 0.1}
	standard := competency.ExampleStandard()
	standard.Requirements = append(standard.Requirements, line)
	p := plain(0.1)
	p.Standards = []competency.Standard{standard}
	p.Mix.Groups = []Group{{"quick", 1, Curve{0.6, 0.05, 8}}, {"slow", 1, Curve{0.7, 0.1, 30}}, {"never", 1, Curve{0.6, 0.45, 20}}}
	p.Mix.Spread, p.Mix.Unsigned, p.Mix.Late, p.Mix.Incomplete, p.Mix.Assessors = 0.5, 0.1, 0.1, 0.1, 5
	p.Trainees, p.Cases = 10_000, 200
	return p
}

// TestFalseReady: what is counted as falsely ready can be told from the parts, and in a group that is adequate throughout there is none.
func TestFalseReady(t *testing.T) {
	o := mustRun(t, example()).Outcomes[0]
	declared, falsely := 0, 0
	for _, g := range o.Groups {
		declared, falsely = declared+g.Declared.Count, falsely+g.FalseReady.Count
		if g.By[len(g.By)-1] != g.Declared.Count {
			t.Errorf("%s: %d by the horizon, %d declared", g.Name, g.By[len(g.By)-1], g.Declared.Count)
		}
	}
	if o.FalseReady.Count != falsely || o.FalseReady.Of != declared {
		t.Errorf("falsely ready %+v, the groups say %d of %d", o.FalseReady, falsely, declared)
	}
	if never := o.Groups[2]; never.AdequateFrom != 0 || never.FalseReady.Count != never.Declared.Count {
		t.Errorf("who never becomes adequate is falsely ready whenever declared: %+v", never)
	}
	if quick := o.Groups[0]; quick.AdequateFrom != 16 { // 0.05 + 0.55 x 2^(-(n-1)/8) <= 0.2 from n = 16.0
		t.Errorf("the quick are adequate from %d", quick.AdequateFrom)
	}
	if want := []string{"plans"}; !reflect.DeepEqual(o.TakenAsMet, want) {
		t.Errorf("taken as met %v", o.TakenAsMet)
	}
}

func TestCancelAndProgress(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	_, err := Run(ctx, example(), func(int) { cancel() })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	most := 0
	if _, err := run(context.Background(), example(), 1, func(done int) { most = max(most, done) }); err != nil || most != 10_000 {
		t.Errorf("progress came to %d, error %v", most, err)
	}
}

func TestPlanFaults(t *testing.T) {
	for _, test := range []struct {
		field string
		spoil func(*Plan)
	}{
		{"standards", func(p *Plan) { p.Standards = nil }},
		{"standards[0]", func(p *Plan) { p.Standards[0].Requirements = p.Standards[0].Requirements[3:4] }},
		{"trainees", func(p *Plan) { p.Trainees = 1_000_000 }},
		{"cases", func(p *Plan) { p.Cases = 0 }},
		{"adequate", func(p *Plan) { p.Adequate = math.NaN() }},
		{"mix.groups", func(p *Plan) { p.Mix.Groups = nil }},
		{"mix.groups[1].name", func(p *Plan) { p.Mix.Groups[1].Name = "quick" }},
		{"mix.groups[0].curve.start", func(p *Plan) { p.Mix.Groups[0].Curve.Start = 1 }},
		{"mix.groups[0].share", func(p *Plan) { p.Mix.Groups[0].Share = math.Inf(1) }},
		{"mix.kinds[0].scope", func(p *Plan) { p.Mix.Kinds[0].Scope = "star" }},
		{"mix.cases_per_year", func(p *Plan) { p.Mix.CasesPerYear = 0 }},
		{"mix.spread", func(p *Plan) { p.Mix.Spread = -1 }},
	} {
		p := example()
		test.spoil(&p)
		_, err := Run(context.Background(), p, nil)
		var faults strict.Faults
		if !errors.As(err, &faults) || !strings.Contains(err.Error(), test.field) {
			t.Errorf("%s: %v", test.field, err)
		}
	}
}

// TestAnyResultIsJSON: whatever the plan, the figures are numbers, shares lie in their intervals, and quantiles are in order.
func TestAnyResultIsJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := example()
		p.Trainees, p.Cases = rapid.IntRange(100, 300).Draw(t, "trainees"), rapid.IntRange(1, 80).Draw(t, "cases")
		p.Mix.Unsigned, p.Mix.Primary, p.Mix.Late = rapid.Float64Range(0, 0.95).Draw(t, "unsigned"), rapid.Float64Range(0, 1).Draw(t, "primary"), rapid.Float64Range(0, 1).Draw(t, "late")
		p.Mix.Groups[0].Share = rapid.SampledFrom([]float64{1, 1e-6, 1e6}).Draw(t, "share")
		p.Seed = rapid.Uint64Range(0, MostSeed).Draw(t, "seed")
		result, err := Run(context.Background(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := json.Marshal(result); err != nil {
			t.Fatal(err)
		}
		for _, g := range result.Outcomes[0].Groups {
			if s := g.Declared; s.Estimate != nil && (*s.Low > *s.Estimate || *s.High < *s.Estimate) {
				t.Fatalf("%+v", s)
			}
			if q := g.Cases; q.Ninety != nil && (*q.Tenth > *q.Median || *q.Median > *q.Ninety) {
				t.Fatalf("%+v", q)
			}
		}
	})
}

// BenchmarkRun is the size a director may ask for: 10,000 trainees of 200 cases against six requirements.
func BenchmarkRun(b *testing.B) {
	p := example()
	for b.Loop() {
		mustRun(b, p)
	}
}
