package question

import (
	"errors"
	"slices"
	"strconv"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// View is an item as the browser gets it before submission. It is a type of its own so that nothing that tells the answer can be in it:
// no key, no feedback, no rationale, no source, no tolerance, and no ids of item or options, which may tell by their words or their order.
// Which item it is, is said by its place in the form.
type View struct {
	Topic   Topic    `json:"topic"`
	Kind    Kind     `json:"kind"`
	Stem    string   `json:"stem"`
	Rule    Rule     `json:"rule"`
	Choices []Choice `json:"choices,omitempty"` // in the order to show
	Choose  int      `json:"choose,omitempty"`  // how many of them are asked for
	Unit    string   `json:"unit,omitempty"`    // of the number asked for
	Map     *MapView `json:"map,omitempty"`
}

// Choice is an option as shown.
type Choice struct {
	Label string `json:"label"` // 1, 2, 3 in the order shown; an answer names it
	Text  string `json:"text"`
}

// MapView is what is on the map and what is to be drawn there.
type MapView struct {
	Chamber atrium.Chamber   `json:"chamber"`
	Draw    Draw             `json:"draw"`
	Shown   atrium.LesionSet `json:"shown"`
}

// Given is an answer as the browser sends it: with the labels of a View.
type Given struct {
	Chosen []string     `json:"chosen,omitempty"`
	Number *float64     `json:"number,omitempty"`
	Path   []atrium.Vec `json:"path,omitempty"`
}

// ErrAnotherItem says that an item is not the one that was placed; compare with errors.Is.
var ErrAnotherItem = errors.New("this is another item, or another version, than the form asks")

// View is the placed item without its answer. The error is ErrAnotherItem.
func (p Placed) View(it Item) (View, error) {
	if !p.places(it) {
		return View{}, ErrAnotherItem
	}
	v := View{Topic: it.Topic, Kind: it.Kind, Stem: it.Stem, Rule: it.rule(), Choose: it.mostChosen()}
	for i, id := range p.Order {
		o, _ := it.option(id)
		v.Choices = append(v.Choices, Choice{strconv.Itoa(i + 1), o.Text})
	}
	if it.Number != nil {
		v.Unit = it.Number.Unit
	}
	if it.Map != nil {
		v.Map = &MapView{Chamber: it.Map.Chamber, Draw: it.Map.Draw, Shown: it.Map.Shown}
		if v.Map.Shown.Lesions == nil {
			v.Map.Shown.Lesions = []atrium.Lesion{}
		}
	}
	return v, nil
}

// places reports whether p is this item with just these options.
func (p Placed) places(it Item) bool {
	if p.Ref != (Ref{it.ID, it.Version}) || len(p.Order) != len(it.Options) {
		return false
	}
	for _, id := range p.Order {
		if _, known := it.option(id); !known {
			return false
		}
	}
	return true
}

// Give is an answer as the browser sends it, with the labels of a View: what Read turns back.
func (p Placed) Give(a Answer) Given {
	g := Given{Number: a.Number, Path: a.Path}
	for _, id := range a.Chosen {
		g.Chosen = append(g.Chosen, strconv.Itoa(1+slices.Index(p.Order, id)))
	}
	return g
}

// Read turns labels back into the item's own options and checks the answer. The error is ErrAnotherItem, or strict.Faults for a label that
// was not shown and for what is no answer to the item.
func (p Placed) Read(it Item, g Given) (Answer, error) {
	if !p.places(it) {
		return Answer{}, ErrAnotherItem
	}
	a := Answer{Number: g.Number, Path: g.Path}
	var faults strict.Faults
	for i, label := range g.Chosen {
		n, err := strconv.Atoi(label)
		if err != nil || n < 1 || n > len(p.Order) || strconv.Itoa(n) != label {
			faults.Add("chosen["+strconv.Itoa(i)+"]", "%q was not offered", shorten(label))
			continue
		}
		a.Chosen = append(a.Chosen, p.Order[n-1])
	}
	if err := faults.Err(); err != nil {
		return Answer{}, err
	}
	return a, it.Check(a).Err()
}
