// Package question holds the bank of questions: what an item is, how an answer is marked, how a form is drawn from a blueprint, what the
// browser may see before submission, when an item comes back for review, and the starter bank. It is pure: no clock, no database, no
// chance but a given seed.
package question

import (
	"fmt"
	"slices"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
)

// ItemID names an item; lower-case words joined by hyphens.
type ItemID string

// Topic is what an item is about; lower-case words joined by hyphens. A programme may use its own besides those of the starter bank.
type Topic string

// Kind is the form of an item.
type Kind string

// The kinds of item.
const (
	SingleBest Kind = "single-best" // one option is the best answer
	Several    Kind = "several"     // as many options as the key has; the number is told
	Numeric    Kind = "numeric"     // a number in a given unit
	Ordering   Kind = "ordering"    // all options put in order
	OnMap      Kind = "map"         // a point, a line or a ring on the atrial map
)

// Difficulty is how hard the author takes an item to be, until answers tell.
type Difficulty string

// The difficulties.
const (
	Easy     Difficulty = "easy"
	Middling Difficulty = "middling"
	Hard     Difficulty = "hard"
)

// Item is one question with its answer. What may be shown before it is answered is a View.
type Item struct {
	ID         ItemID            `json:"id" yaml:"id"`
	Version    int               `json:"version" yaml:"version"`
	Topic      Topic             `json:"topic" yaml:"topic"`
	Status     assessment.Status `json:"status" yaml:"status"`
	Author     string            `json:"author" yaml:"author"`
	Kind       Kind              `json:"kind" yaml:"kind"`
	Difficulty Difficulty        `json:"difficulty" yaml:"difficulty"`
	Stem       string            `json:"stem" yaml:"stem"`
	Options    []Option          `json:"options,omitempty" yaml:"options,omitempty"`       // of single-best, several and ordering
	KeepOrder  bool              `json:"keep_order,omitempty" yaml:"keep_order,omitempty"` // options are shown as written, for example rising numbers
	Key        []string          `json:"key,omitempty" yaml:"key,omitempty"`               // ids of the right options; of ordering, all in the right order
	Rule       Rule              `json:"rule,omitempty" yaml:"rule,omitempty"`             // how it is marked; empty means all or nothing
	Number     *Number           `json:"number,omitempty" yaml:"number,omitempty"`         // of numeric
	Map        *Task             `json:"map,omitempty" yaml:"map,omitempty"`               // of map
	NotWith    []ItemID          `json:"not_with,omitempty" yaml:"not_with,omitempty"`     // items that would give this one away, or the other way round
	Rationale  string            `json:"rationale" yaml:"rationale"`                       // why the key is the key
	Source     string            `json:"source" yaml:"source"`                             // of the keyed fact, or 'common practice, no source'
}

// Option is one of the answers offered.
type Option struct {
	ID       string `json:"id" yaml:"id"` // within the item; never shown
	Text     string `json:"text" yaml:"text"`
	Feedback string `json:"feedback" yaml:"feedback"` // said to whoever chose it; of ordering, why it stands where it stands
}

// Number is what a numeric item asks for.
type Number struct {
	Value     float64      `json:"value" yaml:"value"`
	Tolerance float64      `json:"tolerance" yaml:"tolerance"` // on either side, in the unit; the limits themselves are right
	Unit      string       `json:"unit" yaml:"unit"`           // for example %, mm, months
	Misses    []MissNumber `json:"misses,omitempty" yaml:"misses,omitempty"`
}

// MissNumber is a wrong number that somebody may well give, and what is said to it.
type MissNumber struct {
	Value    float64 `json:"value" yaml:"value"`
	Feedback string  `json:"feedback" yaml:"feedback"`
}

// Draw is what is put on the map.
type Draw string

// What can be put on the map.
const (
	Point Draw = "point"
	Line  Draw = "line"
	Ring  Draw = "ring" // closed
)

// Task is what an item on the map asks for. It is marked by place (Near) or by what the conduction model makes of it (Effect); exactly one
// of the two is given.
type Task struct {
	Chamber atrium.Chamber   `json:"chamber" yaml:"chamber"`
	Draw    Draw             `json:"draw" yaml:"draw"`
	Shown   atrium.LesionSet `json:"shown" yaml:"shown"` // what lies on the map already; it may be empty
	Near    *Near            `json:"near,omitempty" yaml:"near,omitempty"`
	Effect  *Effect          `json:"effect,omitempty" yaml:"effect,omitempty"`
	Key     []atrium.Vec     `json:"key" yaml:"key"` // a drawing that is right, shown afterwards; of Near it is what is measured to
	Misses  []MissDrawn      `json:"misses,omitempty" yaml:"misses,omitempty"`
}

// Near marks by distance on the surface: a point must lie within it of the nearest point of the key; of a line, no point may be farther
// from the key, nor any of the key from the line.
type Near struct {
	WithinMM float64 `json:"within_mm" yaml:"within_mm"`
}

// Effect marks by the conduction model: what must be true once the line or ring is added to what is shown. A drawing must also leave the
// sinus node in touch with the AV node, and isolate nothing that no plan would want isolated.
type Effect struct {
	Closes   []Circuit   `json:"closes,omitempty" yaml:"closes,omitempty"`     // no circuit round exactly these may be left
	Leaves   []Circuit   `json:"leaves,omitempty" yaml:"leaves,omitempty"`     // a circuit round exactly these must be left
	Isolates []string    `json:"isolates,omitempty" yaml:"isolates,omitempty"` // left-superior, left-inferior, right-superior, right-inferior, posterior-wall
	Clear    []Clearance `json:"clear,omitempty" yaml:"clear,omitempty"`
	MostMM   float64     `json:"most_mm,omitempty" yaml:"most_mm,omitempty"` // the greatest length; 0 means any
}

// Circuit is the circuits of the task's chamber that go round exactly these obstacles.
type Circuit []atrium.Obstacle

// Clearance is how far a drawing must stay from a structure of the model.
type Clearance struct {
	Structure string  `json:"structure" yaml:"structure"` // as in atrium.Hazard
	LeastMM   float64 `json:"least_mm" yaml:"least_mm"`
}

// MissDrawn is a wrong drawing that somebody may well make, and what is said to it.
type MissDrawn struct {
	Path     []atrium.Vec `json:"path" yaml:"path"`
	Feedback string       `json:"feedback" yaml:"feedback"`
}

// closed reports whether the drawing is a ring.
func (t Task) closed() bool { return t.Draw == Ring }

// diameterMM is that of the task's chamber; 0 means normal.
func (t Task) diameterMM() float64 {
	if t.Chamber == atrium.RightAtrium {
		return t.Shown.RightAtriumDiameterMM
	}
	return t.Shown.LeftAtriumDiameterMM
}

// givesAway reports whether two items must not stand in one drawn form; either may say so.
func (it Item) givesAway(other Item) bool {
	return slices.Contains(it.NotWith, other.ID) || slices.Contains(other.NotWith, it.ID)
}

// option finds an option by its id.
func (it Item) option(id string) (Option, bool) {
	for _, o := range it.Options {
		if o.ID == id {
			return o, true
		}
	}
	return Option{}, false
}

// EachText visits every free text of an item with the name of its field.
func (it Item) EachText(visit func(field, text string)) {
	visit("author", it.Author)
	visit("stem", it.Stem)
	for i, o := range it.Options {
		visit(fmt.Sprintf("options[%d].text", i), o.Text)
		visit(fmt.Sprintf("options[%d].feedback", i), o.Feedback)
	}
	if it.Number != nil {
		visit("number.unit", it.Number.Unit)
		for i, miss := range it.Number.Misses {
			visit(fmt.Sprintf("number.misses[%d].feedback", i), miss.Feedback)
		}
	}
	if it.Map != nil {
		for i, miss := range it.Map.Misses {
			visit(fmt.Sprintf("map.misses[%d].feedback", i), miss.Feedback)
		}
	}
	visit("rationale", it.Rationale)
	visit("source", it.Source)
}
