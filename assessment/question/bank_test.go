package question_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
)

// TestStarterKeys: every item of the starter bank marks its key right and nothing that it names as wrong, whatever is chosen instead.
func TestStarterKeys(t *testing.T) {
	for _, it := range question.Starter().Items() {
		if err := question.Try(atrium.Default(), it); err != nil {
			t.Errorf("%s: %v", it.ID, err)
		}
	}
}

// TestStarterOnlyKeys: of everything that can be chosen in an item with options, the key alone is worth everything.
func TestStarterOnlyKeys(t *testing.T) {
	for _, it := range question.Starter().Items() {
		if len(it.Options) == 0 {
			continue
		}
		full := 0
		for _, picked := range picks(it) {
			mark, err := question.MarkItem(nil, it, question.Answer{Chosen: picked}, question.Scheme{})
			if err != nil {
				t.Fatalf("%s: %v", it.ID, err)
			}
			if mark.Points == 1 || mark.Right {
				full++
			}
		}
		if full != 1 {
			t.Errorf("%s: %d answers are worth everything", it.ID, full)
		}
	}
}

// picks are all answers to an item with options: sets of up to as many options as the key has, or for an order all orders.
func picks(it question.Item) [][]string {
	var list [][]string
	var grow func(picked []string, from int)
	grow = func(picked []string, from int) {
		if len(picked) > 0 && (it.Kind != question.Ordering || len(picked) == len(it.Options)) {
			list = append(list, slices.Clone(picked))
		}
		if len(picked) == len(it.Key) {
			return
		}
		for i, o := range it.Options {
			switch {
			case slices.Contains(picked, o.ID):
			case it.Kind == question.Ordering:
				grow(append(picked, o.ID), 0)
			case i >= from:
				grow(append(picked, o.ID), i+1)
			}
		}
	}
	grow(nil, 0)
	return list
}

// TestStarterBalance: enough items of every topic and kind, all live and of one author, and none of the topics is all easy or all hard.
func TestStarterBalance(t *testing.T) {
	bank := question.Starter()
	want := []question.Topic{"aftercare", "af-mechanisms", "anatomy", "appendage", "complications", "concomitant-surgery", "energy", "follow-up", "guidelines", "lines"}
	slices.Sort(want)
	if !slices.Equal(bank.Topics(), want) {
		t.Errorf("topics %v, want %v", bank.Topics(), want)
	}
	kinds, items := map[question.Kind]int{}, 0
	for _, c := range bank.Counts() {
		t.Logf("%-20s %3d %v %v", c.Topic, c.Items, c.Kinds, c.Difficulties)
		items += c.Items
		if c.Items < 12 || len(c.Kinds) < 3 || len(c.Difficulties) < 3 {
			t.Errorf("%s: %d items, kinds %v, difficulties %v", c.Topic, c.Items, c.Kinds, c.Difficulties)
		}
		for kind, n := range c.Kinds {
			kinds[kind] += n
		}
	}
	for kind, least := range map[question.Kind]int{question.SingleBest: 70, question.Several: 8, question.Numeric: 12, question.Ordering: 8, question.OnMap: 8} {
		if kinds[kind] < least {
			t.Errorf("%d items of the kind %s, want %d", kinds[kind], kind, least)
		}
	}
	if items < 120 || items != len(bank.Items()) {
		t.Errorf("%d live items of %d", items, len(bank.Items()))
	}
}

// seen is how a source must say in what way its fact was seen.
var seen = regexp.MustCompile(`abstract|as cited|as quoted|as reported|as explained|derived|common practice, no source|published series`)

// TestStarterSources: every item says how its fact was seen; none is from memory alone, and no text has a trade mark sign, a dash
// longer than a hyphen, or blanks at its ends.
func TestStarterSources(t *testing.T) {
	for _, it := range question.Starter().Items() {
		if it.Status != assessment.Live || !seen.MatchString(it.Source) || strings.Contains(it.Source, "memory") {
			t.Errorf("%s (%s): source %q", it.ID, it.Status, it.Source)
		}
		for _, text := range append(texts(it), it.Stem, it.Rationale, it.Source) {
			if strings.ContainsAny(text, "\u2013\u2014\u2122\u00ae") || strings.TrimSpace(text) != text {
				t.Errorf("%s: %q", it.ID, text)
			}
		}
	}
}

// texts are what the options say.
func texts(it question.Item) []string {
	var list []string
	for _, o := range it.Options {
		list = append(list, o.Text, o.Feedback)
	}
	return list
}

// TestStarterNotWith: items that give one another away are known, and both say so.
func TestStarterNotWith(t *testing.T) {
	bank := question.Starter()
	for _, it := range bank.Items() {
		for _, id := range it.NotWith {
			if other, found := bank.Item(id); !found || !slices.Contains(other.NotWith, it.ID) {
				t.Errorf("%s not with %s: found %t, or not the other way round", it.ID, id, found)
			}
		}
	}
}

// TestStarterLengthTellsNothing: the right option is the longest no more often than chance allows. A quarter is expected with four options;
// four in ten would pay for whoever picks the longest (a known flaw of items; common practice, no source for the limit).
func TestStarterLengthTellsNothing(t *testing.T) {
	longest, all := 0, 0
	for _, it := range question.Starter().Items() {
		if it.Kind != question.SingleBest {
			continue
		}
		all++
		best := slices.MaxFunc(it.Options, func(a, b question.Option) int {
			return utf8.RuneCountInString(a.Text) - utf8.RuneCountInString(b.Text)
		})
		if best.ID == it.Key[0] {
			longest++
		}
	}
	if 10*longest > 4*all {
		t.Errorf("the key is the longest option of %d in %d", longest, all)
	}
}

// TestStarterTwins: no two stems are alike enough for the author to be warned.
func TestStarterTwins(t *testing.T) {
	bank := question.Starter()
	for _, it := range bank.Items() {
		for _, twin := range it.Twins(bank.Items()) {
			t.Errorf("%s is much like %s: %.2f", it.ID, twin.Item, twin.Alike)
		}
	}
}
