package qti

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"isthmus/assessment/question"

	"pgregory.net/rapid"
)

// player runs the response processing of an item as the standard describes it, as far as we write it: a program that knows nothing of us.
type player struct {
	item    *element
	answer  any // []string or float64
	outcome map[string]any
}

// run gives the score, and the modal feedback that is shown.
func (p *player) run() (float64, []string) {
	p.outcome = map[string]any{score: 0.0}
	p.rules(p.item.find("qti-response-processing").children())
	var told []string
	ids, _ := p.outcome[feedback].([]string)
	for _, m := range p.item.all("qti-modal-feedback") {
		if slices.Contains(ids, m.attr("identifier")) && m.attr("identifier") != rationale {
			told = append(told, m.find("qti-content-body").children()[0].raw())
		}
	}
	if !slices.Contains(ids, rationale) {
		told = append(told, "the rationale is not shown")
	}
	return p.outcome[score].(float64), told
}

func (p *player) rules(list []*element) {
	for _, e := range list {
		if e.name == "qti-set-outcome-value" {
			p.outcome[e.attr("identifier")] = p.value(e.children()[0])
			continue
		}
		for _, branch := range e.children() { // a response condition: the first branch that holds
			inside := branch.children()
			if branch.name == "qti-response-else" {
				p.rules(inside)
			} else if p.value(inside[0]) == true {
				p.rules(inside[1:])
				break
			}
		}
	}
}

func (p *player) value(e *element) any {
	declaration := p.item.find("qti-response-declaration")
	var of []any
	for _, c := range e.children() {
		of = append(of, p.value(c))
	}
	switch e.name {
	case "qti-variable":
		return p.answer
	case "qti-correct":
		var right []string
		for _, v := range declaration.find("qti-correct-response").all("qti-value") {
			right = append(right, v.raw())
		}
		if declaration.attr("base-type") == "float" {
			x, _ := strconv.ParseFloat(right[0], 64)
			return x
		}
		return right
	case "qti-base-value":
		if e.attr("base-type") == "float" {
			x, _ := strconv.ParseFloat(e.raw(), 64)
			return x
		}
		return []string{e.raw()}
	case "qti-map-response":
		sum := 0.0
		for _, entry := range declaration.find("qti-mapping").all("qti-map-entry") {
			if slices.Contains(p.answer.([]string), entry.attr("map-key")) {
				worth, _ := strconv.ParseFloat(entry.attr("mapped-value"), 64)
				sum += worth
			}
		}
		return sum
	case "qti-match":
		a, b := slices.Clone(of[0].([]string)), slices.Clone(of[1].([]string))
		if declaration.attr("cardinality") == "multiple" { // order is no matter
			slices.Sort(a)
			slices.Sort(b)
		}
		return slices.Equal(a, b)
	case "qti-equal":
		limit, _ := strconv.ParseFloat(strings.Fields(e.attr("tolerance"))[0], 64)
		return math.Abs(of[0].(float64)-of[1].(float64)) <= limit+1e-9
	case "qti-gte":
		return of[0].(float64) >= of[1].(float64)
	case "qti-divide":
		return of[0].(float64) / of[1].(float64)
	case "qti-multiple":
		var all []string
		for _, v := range of {
			all = append(all, v.([]string)...)
		}
		return all
	}
	panic("no operator " + e.name)
}

// TestMarkedAlike: another program that follows the standard gives an answer the marks and the feedback that we give it; but for pairs in
// order, which the export names, where it gives all or nothing.
func TestMarkedAlike(t *testing.T) {
	items := map[question.Kind][]question.Item{}
	for _, it := range question.Starter().Items() {
		items[it.Kind] = append(items[it.Kind], it)
	}
	kinds := []question.Kind{question.SingleBest, question.Several, question.Several, question.Numeric, question.Numeric, question.Ordering}
	rapid.Check(t, func(t *rapid.T) {
		it := rapid.SampledFrom(items[rapid.SampledFrom(kinds).Draw(t, "kind")]).Draw(t, "item")
		if it.Kind == question.Several {
			it.Rule = rapid.SampledFrom([]question.Rule{"", question.AllOrNothing, question.Share, question.HalfFromHalf}).Draw(t, "rule")
		}
		root, fault := parse(itemOf(it).bytes())
		if fault != nil {
			t.Fatal(fault)
		}
		answer, given := question.Answer{}, any(nil)
		if it.Kind == question.Numeric {
			x := it.Number.Value + it.Number.Tolerance*0.3*float64(rapid.IntRange(-8, 8).Draw(t, "off")) // never on a limit
			if n := len(it.Number.Misses); n > 0 && rapid.Bool().Draw(t, "a miss") {
				x = it.Number.Misses[rapid.IntRange(0, n-1).Draw(t, "which")].Value
			}
			answer.Number, given = &x, x
		} else {
			for _, o := range it.Options {
				answer.Chosen = append(answer.Chosen, o.ID)
			}
			answer.Chosen = rapid.Permutation(answer.Chosen).Draw(t, "chosen")
			if it.Kind != question.Ordering {
				answer.Chosen = answer.Chosen[:rapid.IntRange(1, len(it.Key)).Draw(t, "how many")]
			}
			if rapid.IntRange(0, 3).Draw(t, "right") == 0 {
				answer.Chosen = it.Key
			}
			ids := make([]string, len(answer.Chosen))
			for i, id := range answer.Chosen {
				ids[i] = ncname(id)
			}
			given = ids
		}
		mark, err := question.MarkItem(nil, it, answer, question.Scheme{})
		if err != nil {
			t.Fatal(err)
		}
		points, told := (&player{item: root, answer: given}).run()
		want := mark.Points
		if it.Rule == question.Pairs && !mark.Right {
			want = 0
		}
		if math.Abs(points-want) > 1e-12 {
			t.Fatalf("%s: %v points, want %v", it.ID, points, want)
		}
		says := slices.Clone(mark.Says)
		if it.Kind == question.Ordering { // all are shown there
			for _, o := range it.Options {
				says = append(says, o.Feedback)
			}
		}
		slices.Sort(says)
		slices.Sort(told)
		if !slices.Equal(says, told) {
			t.Fatalf("%s: shows %q, want %q", it.ID, told, says)
		}
	})
}
