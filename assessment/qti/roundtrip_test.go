package qti_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/qti"
	"isthmus/assessment/question"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestStarterReturns: every item of the starter bank that is not on the map comes back equal, and the same bank gives the same bytes.
func TestStarterReturns(t *testing.T) {
	items := question.Starter().Items()
	p, err := qti.Export(items)
	if err != nil {
		t.Fatal(err)
	}
	var want []question.Item
	onMap := 0
	for _, it := range items {
		if it.Kind == question.OnMap {
			onMap++
			continue
		}
		want = append(want, it)
	}
	if len(p.LeftOut) != onMap || onMap == 0 || p.Items != len(want) {
		t.Errorf("%d items in, %d left out, want %d and %d", p.Items, len(p.LeftOut), len(want), onMap)
	}
	got, err := qti.Import("bank.zip", p.Data)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got.Items); diff != "" || len(got.Notes) > 0 {
		t.Errorf("notes %v\n%s", got.Notes, diff)
	}
	again, err := qti.Export(items)
	if err != nil || !bytes.Equal(p.Data, again.Data) {
		t.Errorf("the same items give other bytes (%v)", err)
	}
}

// anyText draws a text that XML can hold, with all the white space, quotes and marks it likes.
func anyText(t *rapid.T, name string, low, high int) string {
	letter := rapid.SampledFrom([]rune("ab Ä<>&\"'\t\n\r;,\\]\u00a0\U0001F600%=+-@"))
	text := rapid.StringOfN(letter, low, high, -1).Draw(t, name)
	if short := low - len([]rune(strings.TrimSpace(text))); short > 0 {
		text += strings.Repeat("x", short)
	}
	return text
}

func anyID(t *rapid.T, name string) string {
	return rapid.StringMatching(`[a-z0-9]{1,6}(-[a-z0-9]{1,4}){0,2}`).Draw(t, name)
}

// anyItem draws a valid item that is not on the map.
func anyItem(t *rapid.T, id string) question.Item {
	it := question.Item{
		ID: question.ItemID(id), Version: rapid.IntRange(1, 999).Draw(t, "version"), Topic: question.Topic(anyID(t, "topic")),
		Status: rapid.SampledFrom([]assessment.Status{assessment.Draft, assessment.InReview, assessment.Live, assessment.Retired}).Draw(t, "status"),
		Author: anyText(t, "author", 1, 30), Kind: rapid.SampledFrom([]question.Kind{question.SingleBest, question.Several, question.Numeric, question.Ordering}).Draw(t, "kind"),
		Difficulty: rapid.SampledFrom([]question.Difficulty{question.Easy, question.Middling, question.Hard}).Draw(t, "difficulty"),
		Stem:       anyText(t, "stem", 10, 60), Rationale: anyText(t, "rationale", 10, 60), Source: anyText(t, "source", 3, 40),
	}
	for _, other := range rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z]{2,5}-x`), 0, 3, rapid.ID).Draw(t, "not with") {
		it.NotWith = append(it.NotWith, question.ItemID(other))
	}
	if it.Kind == question.Numeric {
		n := question.Number{Value: rapid.Float64Range(-1e6, 1e6).Draw(t, "value"), Tolerance: rapid.Float64Range(0, 10).Draw(t, "tolerance"), Unit: anyText(t, "unit", 1, 8)}
		for i := range rapid.IntRange(0, 3).Draw(t, "misses") {
			n.Misses = append(n.Misses, question.MissNumber{Value: n.Value + n.Tolerance + 1 + float64(i), Feedback: anyText(t, "miss", 1, 20)})
		}
		it.Number = &n
		return it
	}
	ids := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z0-9]{1,3}(-[a-z0-9]{1,2})?`), 3, 10, rapid.ID).Draw(t, "options")
	for i, id := range ids {
		it.Options = append(it.Options, question.Option{ID: id, Text: fmt.Sprint(i) + anyText(t, "option", 1, 20), Feedback: anyText(t, "feedback", 1, 20)})
	}
	key := rapid.Permutation(ids).Draw(t, "key")
	rules := []question.Rule{"", question.AllOrNothing}
	switch it.Kind {
	case question.SingleBest:
		key = key[:1]
	case question.Several:
		key, rules = key[:rapid.IntRange(2, len(ids)-1).Draw(t, "right")], append(rules, question.Share, question.HalfFromHalf)
	case question.Ordering:
		rules = append(rules, question.Pairs)
	}
	it.Key, it.Rule = key, rapid.SampledFrom(rules).Draw(t, "rule")
	it.KeepOrder = it.Kind != question.Ordering && rapid.Bool().Draw(t, "keep order")
	return it
}

// TestDrawnReturn: whatever is valid and is not on the map comes back equal, with its white space and marks.
func TestDrawnReturn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var items []question.Item
		for i := range rapid.IntRange(1, 3).Draw(t, "items") {
			it := anyItem(t, anyID(t, "id")+fmt.Sprintf("-%d", i))
			if err := it.Validate().Err(); err != nil {
				t.Fatal(err)
			}
			items = append(items, it)
		}
		p, err := qti.Export(items)
		if err != nil || len(p.LeftOut) > 0 {
			t.Fatal(err, p.LeftOut)
		}
		got, err := qti.Import("p.zip", p.Data)
		if err != nil || len(got.Notes) > 0 {
			t.Fatal(err, got.Notes)
		}
		if diff := cmp.Diff(items, got.Items); diff != "" {
			t.Fatal(diff)
		}
	})
}

// TestLeftOut: what cannot be expressed is left out and told, and so is what changes elsewhere.
func TestLeftOut(t *testing.T) {
	it, _ := question.Starter().Item("single-clamp-transmural")
	bad, order := it, question.Item{}
	bad.ID, bad.Stem = "bad", "A bell \a in the text of a stem"
	for _, one := range question.Starter().Items() {
		if one.Kind == question.Ordering && one.Rule == question.Pairs {
			order = one
		}
	}
	p, err := qti.Export([]question.Item{it, bad, order})
	if err != nil || p.Items != 2 || len(p.LeftOut) != 1 || p.LeftOut[0].Item != "bad" || !strings.Contains(p.LeftOut[0].Why, "stem") {
		t.Errorf("%d %v %v", p.Items, p.LeftOut, err)
	}
	if len(p.Changed) != 1 || p.Changed[0].Item != order.ID {
		t.Errorf("changed: %v", p.Changed)
	}
	if _, err := qti.Export([]question.Item{it, it}); err == nil {
		t.Error("an id twice is not refused")
	}
}
