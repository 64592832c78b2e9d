package question_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/question"
)

// anyBlueprint asks for some items of some topics of the starter bank.
func anyBlueprint(t *rapid.T) question.Blueprint {
	b := question.Blueprint{Title: "any"}
	for _, topic := range rapid.SliceOfNDistinct(rapid.SampledFrom(question.Starter().Topics()), 1, 10, rapid.ID).Draw(t, "topics") {
		b.Rows = append(b.Rows, question.Row{Topic: topic, Items: rapid.IntRange(1, 3).Draw(t, "items")})
		if rapid.Bool().Draw(t, "hard") {
			b.Rows = append(b.Rows, question.Row{Topic: topic, Difficulty: question.Hard, Items: 1})
		}
	}
	return b
}

// TestAssemble: the same blueprint, bank and seed give the same form whatever order the items are in; the form has what each row asks for,
// nothing twice, nothing that gives another away, and every item all its options.
func TestAssemble(t *testing.T) {
	starter := question.Starter()
	rapid.Check(t, func(t *rapid.T) {
		b, seed := anyBlueprint(t), rapid.Int64().Draw(t, "seed")
		form, err := question.Assemble(starter, b, seed)
		if err != nil {
			t.Fatal(err)
		}
		shuffled := starter.Items()
		mix := rand.New(rand.NewPCG(uint64(seed), 1))
		mix.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		other, err := question.NewBank(shuffled)
		if err != nil {
			t.Fatal(err)
		}
		again, err := question.Assemble(other, b, seed)
		if diff := cmp.Diff(form, again); err != nil || diff != "" {
			t.Fatalf("another form from the same items: %v\n%s", err, diff)
		}
		count := map[question.Topic]int{}
		var drawn []question.Item
		for _, placed := range form.Items {
			it, _ := starter.Item(placed.Item)
			var ids []string
			for _, o := range it.Options {
				ids = append(ids, o.ID)
			}
			if !slices.Equal(slices.Sorted(slices.Values(placed.Order)), slices.Sorted(slices.Values(ids))) {
				t.Fatalf("%s is shown with %v of %v", it.ID, placed.Order, ids)
			}
			for _, before := range drawn {
				if before.ID == it.ID || slices.Contains(before.NotWith, it.ID) || slices.Contains(it.NotWith, before.ID) {
					t.Fatalf("%s stands beside %s", it.ID, before.ID)
				}
			}
			drawn = append(drawn, it)
			count[it.Topic]++
		}
		for _, row := range b.Rows {
			count[row.Topic] -= row.Items
		}
		for topic, left := range count {
			if left != 0 {
				t.Fatalf("%d more of %s than asked for", left, topic)
			}
		}
	})
}

// TestFormForever: one form as it was first drawn; if it ever changes, tests taken before could not be rebuilt.
func TestFormForever(t *testing.T) {
	var items []question.Item
	for i := range 6 {
		it := optionItem(question.SingleBest, "", 4, 1)
		it.ID, it.Version, it.Topic, it.Status = question.ItemID(fmt.Sprintf("item-%d", i)), 1, "lines", assessment.Live
		it.Author, it.Difficulty, it.Stem, it.Rationale, it.Source = "A", question.Easy, "What is the answer to this?", "Because it is so.", "a paper"
		items = append(items, it)
	}
	bank, err := question.NewBank(items)
	if err != nil {
		t.Fatal(err)
	}
	form, err := question.Assemble(bank, question.Blueprint{Title: "T", Rows: []question.Row{{Topic: "lines", Items: 3}}}, -42)
	if err != nil {
		t.Fatal(err)
	}
	have := fmt.Sprint(form.Items)
	if want := "[{{item-2 1} [a c d b]} {{item-5 1} [c a b d]} {{item-4 1} [d b c a]}]"; have != want {
		t.Errorf("%s, want %s", have, want)
	}
}

// TestSeedMatters: other seeds give other forms, and put the options of one item into every order sooner or later.
func TestSeedMatters(t *testing.T) {
	b := question.Blueprint{Title: "T", Rows: []question.Row{{Topic: "lines", Items: 4}}}
	it, _ := question.Starter().Item("mitral-line-without-sinus")
	forms, orders := map[string]bool{}, map[string]int{}
	for seed := range int64(600) {
		if seed < 50 {
			form, err := question.Assemble(question.Starter(), b, seed)
			if err != nil {
				t.Fatal(err)
			}
			forms[fmt.Sprint(form.Items)] = true
		}
		orders[fmt.Sprint(question.Place(it, seed).Order)]++
	}
	if len(forms) < 45 || len(orders) != 24 {
		t.Errorf("%d forms of 50 seeds, %d orders of 24", len(forms), len(orders))
	}
	for order, n := range orders { // 25 expected; four standard deviations
		if n < 5 || n > 45 {
			t.Errorf("order %s came %d times of 600", order, n)
		}
	}
	kept, _ := question.Starter().Item("sts-mitral-class")
	for seed := range int64(20) {
		if p := question.Place(kept, seed); !slices.Equal(p.Order, []string{"a", "b", "c", "d"}) {
			t.Fatalf("an item that keeps its order is shown as %v", p.Order)
		}
	}
}

// TestAssembleRefuses: too few items, drafts, another version, and blueprints that ask for nothing sensible.
func TestAssembleRefuses(t *testing.T) {
	items := question.Starter().Items()
	items[0].Status = assessment.Retired
	bank, err := question.NewBank(items)
	if err != nil {
		t.Fatal(err)
	}
	row := func(topic question.Topic, n int) question.Row { return question.Row{Topic: topic, Items: n} }
	for _, tt := range []struct {
		name  string
		b     question.Blueprint
		field string
		says  string
	}{
		{"too few", question.Blueprint{Title: "T", Rows: []question.Row{row("lines", 60)}}, "rows[0].items", "asks for 60"},
		{"no such topic", question.Blueprint{Title: "T", Rows: []question.Row{row("lines", 1), row("gardening", 1)}}, "rows[1].items", "has 0 live"},
		{"nothing", question.Blueprint{Title: "T"}, "rows", "one of the two"},
		{"both", question.Blueprint{Title: "T", Rows: []question.Row{row("lines", 1)}, Fixed: []question.Ref{{Item: "x", Version: 1}}}, "rows", "one of the two"},
		{"none of a topic", question.Blueprint{Title: "T", Rows: []question.Row{row("lines", 0)}}, "rows[0].items", "between 1"},
		{"row twice", question.Blueprint{Title: "T", Rows: []question.Row{row("lines", 1), row("lines", 2)}}, "rows[1]", "earlier row"},
		{"too many", question.Blueprint{Title: "T", Rows: []question.Row{row("lines", 150), row("energy", 150)}}, "rows", "the most is 200"},
		{"difficulty", question.Blueprint{Title: "T", Rows: []question.Row{{Topic: "lines", Difficulty: "odd", Items: 1}}}, "rows[0].difficulty", "unknown"},
		{"unknown item", question.Blueprint{Title: "T", Fixed: []question.Ref{{Item: "x", Version: 1}}}, "fixed[0].item", "not in the bank"},
		{"another version", question.Blueprint{Title: "T", Fixed: []question.Ref{{Item: items[1].ID, Version: 9}}}, "fixed[0].version", "has version 1"},
		{"retired", question.Blueprint{Title: "T", Fixed: []question.Ref{{Item: items[0].ID, Version: 1}}}, "fixed[0].item", "only live"},
		{"asked twice", question.Blueprint{Title: "T", Fixed: []question.Ref{{Item: items[1].ID, Version: 1}, {Item: items[1].ID, Version: 1}}}, "fixed[1].item", "already"},
		{"title", question.Blueprint{Rows: []question.Row{row("lines", 1)}}, "title", "between 1"},
	} {
		_, err := question.Assemble(bank, tt.b, 1)
		if err == nil {
			t.Errorf("%s: assembled", tt.name)
			continue
		}
		wantFault(t, err, tt.field, tt.says)
	}
	fixed := question.Blueprint{Title: "T", Fixed: []question.Ref{{Item: items[5].ID, Version: 1}, {Item: items[2].ID, Version: 1}}}
	form, err := question.Assemble(bank, fixed, 1)
	if err != nil || form.Items[0].Item != items[5].ID || form.Items[1].Item != items[2].ID || form.Bank != bank.Version() {
		t.Errorf("a fixed form: %+v, %v", form, err)
	}
}

// TestBankVersion: it names the live items and all that is in them, in whatever order they came.
func TestBankVersion(t *testing.T) {
	items := question.Starter().Items()
	version := func(change func([]question.Item)) string {
		list := slices.Clone(items)
		change(list)
		bank, err := question.NewBank(list)
		if err != nil {
			t.Fatal(err)
		}
		return bank.Version()
	}
	was := question.Starter().Version()
	if v := version(func(l []question.Item) { slices.Reverse(l) }); v != was {
		t.Errorf("another order: %s, want %s", v, was)
	}
	if v := version(func(l []question.Item) { l[3].Rationale += " Indeed." }); v == was {
		t.Error("a change keeps the version")
	}
	retired := version(func(l []question.Item) { l[3].Status = assessment.Retired })
	if retired == was {
		t.Error("an item less keeps the version")
	}
	if v := version(func(l []question.Item) { l[3].Status = assessment.Draft; l[3].Stem += " Draft." }); v != retired {
		t.Error("a draft plays a part in the version")
	}
	if _, err := question.NewBank(append(items, items[0])); err == nil {
		t.Error("an id twice makes a bank")
	}
}
