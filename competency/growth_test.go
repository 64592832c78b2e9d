package competency

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
)

var sampleOmissions = []Choice{{"no-box", "No box"}, {"no-test", "No test"}}

// attempt is a plan handed in on a day of a sequence.
func attempt(day int, scenario string, number int, letter string, score float64) Attempt {
	return Attempt{
		Plan: PlanID(fmt.Sprintf("%s-%d", scenario, number)), Scenario: scenario, Title: "About " + scenario, Number: number, SubmittedAt: march20.AddDate(0, 0, day),
		Pattern: af.Persistent, Score: score, Letter: letter,
	}
}

// TestGrowthOfAPattern: ten scenarios, the later five at A-, three of the early ones tried again, one test.
func TestGrowthOfAPattern(t *testing.T) {
	var attempts []Attempt
	for i := range 10 {
		letter, score := "C", 70.0+float64(i)
		if i >= 5 {
			letter, score = "A-", 90
		}
		attempts = append(attempts, attempt(i, fmt.Sprintf("s%d", i), 1, letter, score))
	}
	attempts = append(attempts, attempt(20, "s0", 2, "B", 83), attempt(21, "s0", 3, "A", 94), attempt(22, "s1", 2, "A+", 98))
	test := attempt(30, "s2", 2, "B+", 88)
	test.Test = true
	attempts = append(attempts, test)
	got := GrowthOf(attempts, nil)
	if got.Attempts != 14 || got.Scenarios != 10 || len(got.Patterns) != 4 {
		t.Fatalf("growth %+v", got)
	}
	p := got.Patterns[1]
	if p.Pattern != af.Persistent || p.N != 14 || p.Scenarios != 10 || p.First.N != 10 || p.First.Hits != 5 || p.Tests.N != 1 || p.Tests.Hits != 0 || p.Tests.Interval != nil {
		t.Errorf("track %+v", p.Track)
	}
	// Wilson 1927 at 95 % for 0 of 5 and 5 of 5: 0 to 0.4345 and 0.5655 to 1 (by hand: z^2 / (n + z^2) = 3.8415 / 8.8415).
	if p.Earlier.Interval.High != 0.4345 || p.Later.Interval.Low != 0.5655 || p.Change != MoreOften {
		t.Errorf("earlier %+v, later %+v, change %s", p.Earlier.Interval, p.Later.Interval, p.Change)
	}
	if p.Latest.N != 10 || p.Latest.Hits != 7 || p.Latest.Plans[9] != "s1-2" {
		t.Errorf("latest %+v", p.Latest)
	}
	want := []Round{{1, 10, 82}, {2, 2, 90.5}, {3, 1, 94}}
	if diff := cmp.Diff(want, p.ByAttempt); diff != "" {
		t.Error(diff)
	}
	// Wilson 1927 for 5 of 10 by hand: 0.5 -+ 1.95996 sqrt(0.25/10 + 1.95996^2/400) / (1 + 1.95996^2/10) = 0.2366 and 0.7634.
	says := "5 of 10 first tries at A- or better (50 %, 95 % interval 24 to 76 %). Later first tries show A- or better more often: 5 of 5 of the later half reached it, 0 of 5 of the earlier."
	if p.Says != says {
		t.Errorf("says %q", p.Says)
	}
	if none := got.Patterns[0]; none.N != 0 || none.Says != "No plan yet." || none.Change != TooFewToSay || none.Points == nil || none.First.Plans == nil {
		t.Errorf("paroxysmal %+v", none)
	}
}

// TestGrowthOfAnOmission counts only attempts in which it could be made, and says when they are too few.
func TestGrowthOfAnOmission(t *testing.T) {
	seen := func(a Attempt, made bool) Attempt {
		a.Omissions = []OmissionSeen{{"no-box", made}}
		return a
	}
	attempts := []Attempt{
		seen(attempt(1, "a", 1, "D", 62), true), seen(attempt(2, "b", 1, "D", 62), true), attempt(3, "c", 1, "A", 95), seen(attempt(4, "a", 2, "A", 95), false),
	}
	got := GrowthOf(attempts, sampleOmissions)
	o := got.Omissions[0]
	if o.ID != "no-box" || o.N != 3 || o.First.N != 2 || o.First.Hits != 2 || o.First.Interval != nil || o.Latest.N != 2 || o.Latest.Hits != 1 || len(o.Points) != 3 || !o.Points[0].Hit {
		t.Errorf("omission %+v", o)
	}
	if want := "Made in 2 of 2 first tries in which it could be: too few to say more, which takes 5, or 10 to say whether it changes."; o.Says != want {
		t.Errorf("says %q", o.Says)
	}
	if never := got.Omissions[1]; never.N != 0 || !strings.HasPrefix(never.Says, "No plan yet") {
		t.Errorf("never asked: %+v", never)
	}
}

// TestGrowthChange: more or less often is said only where the intervals are apart.
func TestGrowthChange(t *testing.T) {
	hits := func(n, hits int) Share {
		return shareOf(make([]Attempt, n), func() func(Attempt) bool { left := hits; return func(Attempt) bool { left--; return left >= 0 } }())
	}
	for _, c := range []struct {
		earlier, later Share
		want           Change
	}{
		{hits(4, 0), hits(20, 20), TooFewToSay}, {hits(0, 0), hits(0, 0), TooFewToSay}, {hits(5, 1), hits(5, 4), NoClearChange}, {hits(8, 0), hits(8, 8), MoreOften},
		{hits(10, 9), hits(10, 1), LessOften}, {hits(10, 5), hits(10, 5), NoClearChange},
	} {
		if got := changeBetween(c.earlier, c.later); got != c.want {
			t.Errorf("%d/%d to %d/%d: %s, want %s", c.earlier.Hits, c.earlier.N, c.later.Hits, c.later.N, got, c.want)
		}
	}
}

// TestGrowthAddsUp: whatever was handed in, in whatever order it is read, every attempt is in one track and in one of its parts.
func TestGrowthAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var attempts []Attempt
		number := map[string]int{}
		for i := range rapid.IntRange(0, 40).Draw(t, "attempts") {
			scenario := rapid.SampledFrom([]string{"a", "b", "c", "d", "e", "f"}).Draw(t, "scenario")
			number[scenario]++
			a := attempt(rapid.IntRange(0, 9).Draw(t, "day")+10*i, scenario, number[scenario], rapid.SampledFrom(letters).Draw(t, "letter"), rapid.Float64Range(0, 100).Draw(t, "score"))
			a.Pattern = af.Pattern(PatternChoices[int(scenario[0]-'a')%4].ID)
			a.Test = rapid.Bool().Draw(t, "test")
			if rapid.Bool().Draw(t, "asked") {
				a.Omissions = []OmissionSeen{{"no-box", rapid.Bool().Draw(t, "made")}}
			}
			attempts = append(attempts, a)
		}
		got := GrowthOf(attempts, sampleOmissions)
		shuffled := append([]Attempt(nil), attempts...)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if diff := cmp.Diff(got, GrowthOf(shuffled, sampleOmissions)); diff != "" {
			t.Fatalf("depends on the order:\n%s", diff)
		}
		total := 0
		for _, p := range got.Patterns {
			total += p.N
			inRounds := p.Tests.N
			for _, r := range p.ByAttempt {
				inRounds += r.N
			}
			if inRounds != p.N || p.Earlier.N+p.Later.N != p.First.N || len(p.Points) != p.N || p.Latest.N > p.Scenarios || p.Earlier.Hits+p.Later.Hits != p.First.Hits {
				t.Fatalf("does not add up: %+v", p)
			}
		}
		if total != len(attempts) {
			t.Fatalf("%d attempts in tracks, %d in all", total, len(attempts))
		}
	})
}

// BenchmarkGrowth counts what a busy trainee hands in over years.
func BenchmarkGrowth(b *testing.B) {
	var attempts []Attempt
	for i := range 400 {
		a := attempt(i, fmt.Sprintf("s%d", i%50), i/50+1, "A", 95)
		a.SubmittedAt = a.SubmittedAt.Add(time.Duration(i) * time.Minute)
		a.Omissions = []OmissionSeen{{"no-box", i%3 == 0}, {"no-test", false}}
		attempts = append(attempts, a)
	}
	for b.Loop() {
		GrowthOf(attempts, sampleOmissions)
	}
}
