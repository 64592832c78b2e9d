package competency

import (
	"fmt"
	"slices"

	"isthmus/competency/rating"
)

// Dependability is how far a trainee's own ratings carry a judgement, with what it is computed from.
type Dependability struct {
	Components    RatingComponents `json:"components"`
	Cases         int              `json:"cases"`          // this trainee's, in the window
	Assessors     int              `json:"assessors"`      // who rated them
	Shared        float64          `json:"shared"`         // as many, sharing the cases evenly, would be worth the same
	Sources       []RatingSource   `json:"sources"`        // trainee first; empty while the components are refused
	Phi           float64          `json:"phi"`            // variance between trainees over itself and the error
	StandardError float64          `json:"standard_error"` // of the mean over these cases, in levels
	Method        string           `json:"method"`
	Assumptions   string           `json:"assumptions"`
}

// RatingSource is one reason why ratings differ.
type RatingSource struct {
	Name     string  `json:"name"`
	Says     string  `json:"says"` // what it means
	Variance float64 `json:"variance"`
	Share    float64 `json:"share"` // of all differences between single ratings
	Over     float64 `json:"over"`  // what the mean averages it over; 0 for the trainee, who is what is looked for
}

// judgeDependability asks whether the ratings of the last so many cases tell this trainee apart. Met: phi is reached. On course: it will be
// when the window is full, with the same assessors. Short: the ratings are too thin otherwise. Not enough data: no rated case, or the
// programme's components are refused.
func (v view) judgeDependability(r Requirement, s *RequirementStanding) {
	chosen := s.lastOf(v.choose(r.Filter, s), r.Last)
	s.use(chosen)
	k := v.componentsOf(r.Scale)
	raters := make([]PersonID, len(chosen))
	for i, c := range chosen {
		raters[i] = c.Assessor
	}
	s.Ratings = dependabilityOf(k, raters)
	switch {
	case k.Refused != "":
		s.Explanation = fmt.Sprintf("Cannot say how far these ratings can be trusted: %s.", k.Refused)
		s.Next = v.andWaiting("More signed-off cases of the programme, rated by several assessors each trainee.")
		return
	case len(chosen) == 0:
		s.Explanation, s.Next = fmt.Sprintf("No rated case%s by %s.", r.Filter.words(), v.on), v.andWaiting(fmt.Sprintf("Rated cases%s, by several assessors.", r.Filter.words()))
		return
	}
	s.Value, s.Interval = s.Ratings.Phi, k.interval(panelOf(raters))
	ahead, reached := k.ahead(r, raters)
	switch {
	case k.depend(panelOf(raters)).Phi >= r.Phi-1e-9:
		s.State = Met
	case reached && ahead.newcomers == 0 && len(chosen)+ahead.cases <= r.Last:
		s.State = OnCourse
	default:
		s.State = Short
	}
	s.Explanation = s.Ratings.explain(r, s.State == Met, s.Interval)
	s.Next = "In this window no number of cases and assessors gets there: trainees differ too little in these ratings. Widen the window."
	if reached {
		s.Next = v.andWaiting(ahead.says(r))
	}
}

// lastOf keeps the last so many cases and leaves out the older ones.
func (s *RequirementStanding) lastOf(chosen []seenCase, last int) []seenCase {
	for len(chosen) > last {
		s.leaveOut(string(chosen[0].ID), fmt.Sprintf("older than the last %d", last))
		chosen = chosen[1:]
	}
	return chosen
}

// componentsOf are the latest components of a scale known by the view's day.
func (v view) componentsOf(scale string) RatingComponents {
	found := RatingComponents{Scale: scale, On: v.on, Refused: "the programme's ratings were not looked at"}
	known := false
	for _, k := range v.ratings {
		if k.Scale == scale && k.On <= v.on && (!known || k.On > found.On) {
			found, known = k, true
		}
	}
	return found
}

// panelOf counts the cases by assessor, in the order they are first met.
func panelOf(raters []PersonID) []int {
	var panel []int
	seen := make(ranks[PersonID])
	for _, who := range raters {
		if at := seen.of(who); at == len(panel) {
			panel = append(panel, 1)
		} else {
			panel[at]++
		}
	}
	return panel
}

func dependabilityOf(k RatingComponents, raters []PersonID) *Dependability {
	panel := panelOf(raters)
	d := &Dependability{Components: k, Cases: len(raters), Assessors: len(panel), Shared: rounded(rating.Shared(panel)), Sources: []RatingSource{}, Method: RatingsMethod, Assumptions: RatingsAssumptions}
	if k.Refused != "" {
		return d
	}
	total := k.Trainee + k.Assessor + k.Pair + k.Residual
	add := func(name, says string, variance, over float64) {
		d.Sources = append(d.Sources, RatingSource{Name: name, Says: says, Variance: variance, Share: rounded(variance / total), Over: rounded(over)})
	}
	add("trainee", "how far trainees truly differ: what the ratings are for", k.Trainee, 0)
	add("assessor", "some assessors are severer than others with everybody", k.Assessor, d.Shared)
	if k.Pairs < k.Ratings {
		add("assessor-and-trainee", "what one assessor thinks of one trainee, beyond both", k.Pair, d.Shared)
	}
	add("case", "from case to case, and all that was not named", k.Residual, float64(d.Cases))
	if d.Cases > 0 {
		found := k.depend(panel)
		d.Phi, d.StandardError = rounded(found.Phi), rounded(found.StandardError)
	}
	return d
}

func (d *Dependability) explain(r Requirement, met bool, i *Interval) string {
	k := d.Components
	verdict := "the ratings are too thin to judge by"
	if met {
		verdict = "they carry a judgement"
	}
	text := fmt.Sprintf("Phi %.2f of %.2f (%s interval %.2f to %.2f) from %s rated by %s: %s.", d.Phi, r.Phi, percent(i.Level), i.Low, i.High, cases(d.Cases), plural(d.Assessors, "assessor"), verdict)
	return text + fmt.Sprintf(" Of the differences between %d ratings of %d trainees by %d assessors, %s lie between trainees. The mean of these cases is uncertain by %.2f levels (standard error).",
		k.Ratings, k.Trainees, k.Assessors, percent(d.Sources[0].Share), d.StandardError)
}

// further is how phi may be reached: so many more rated cases, some of them by so many assessors who have not rated the trainee lately.
type further struct{ cases, newcomers int }

// mostNewcomers bounds how many further assessors are worth naming.
const mostNewcomers = 10

// ahead looks for the fewest further cases that reach phi, first with the assessors there are, then with one more and so on. Each further
// case goes to who rated fewest in the window, and pushes the oldest out of a full one.
func (k RatingComponents) ahead(r Requirement, raters []PersonID) (further, bool) {
	for newcomers := range mostNewcomers + 1 {
		seen := make(ranks[PersonID])
		window := make([]int, len(raters)) // who rated, numbered by the first case
		for i, who := range raters {
			window[i] = seen.of(who)
		}
		panel := append(panelOf(raters), make([]int, newcomers)...)
		for cases := 1; cases <= r.Last; cases++ {
			fewest := slices.Index(panel, slices.Min(panel))
			window = append(window, fewest)
			panel[fewest]++
			if len(window) > r.Last {
				panel[window[0]]--
				window = window[1:]
			}
			if k.depend(panel).Phi >= r.Phi-1e-9 {
				return further{cases, newcomers}, true
			}
		}
	}
	return further{}, false
}

func (f further) says(r Requirement) string {
	more := plural(f.cases, "more rated case") + r.Filter.words()
	if f.newcomers > 0 {
		return fmt.Sprintf("%s, shared with %s.", more, plural(f.newcomers, "more assessor"))
	}
	if f.cases == 1 {
		return more + ", by the assessor who has rated fewest of these."
	}
	return more + ", each by the assessor who has rated fewest of these."
}

// saysDependability is the requirement in plain words.
func (r Requirement) saysDependability() string {
	return fmt.Sprintf("The %s ratings of the last %s%s carry a judgement: phi %.2f or above.", scaleWords(r.Scale), cases(r.Last), r.Filter.words(), r.Phi)
}

func scaleWords(scale string) string {
	if scale == ScaleSupervisionNext {
		return "supervision-next-time"
	}
	return "help-given"
}
