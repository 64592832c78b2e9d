// Package panel sets the passing mark of a test by judges: what they are asked, round by round, and what comes of it. It knows an item by
// its name alone.
package panel

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"isthmus/assessment/strict"
	"isthmus/competency"
)

// ID names a panel.
type ID string

// Method is how a panel finds the mark.
type Method string

// The methods.
const (
	// Angoff asks each judge for every item how many of a hundred people who just pass would answer it rightly, twice: alone, and again
	// once all have seen what the others said. The modified procedure after Angoff 1971, in Educational Measurement (from memory).
	Angoff Method = "angoff"

	// Hofstee asks each judge what marks and what shares of failing people are bearable, and meets them with the scores of those who sat the
	// test (Hofstee 1983; from memory).
	Hofstee Method = "hofstee"
)

// Status is where a panel stands.
type Status string

// The states.
const (
	Open      Status = "open"
	Closed    Status = "closed"    // it has a result
	Withdrawn Status = "withdrawn" // it was given up without one
)

// Common practice, no source.
const (
	MostJudges   = 30
	FewestScores = 10 // of different people, for Hofstee: fewer say nothing about who would fail
	LargeSpread  = 15 // percentage points of standard deviation between judges from which an item is marked for discussion
)

// What a panel refuses; compare with errors.Is.
var (
	ErrClosed   = errors.New("this panel is over: its ratings and its result stay as they are")
	ErrNotJudge = errors.New("only the panel's judges rate, and who had not rated everything when a round was closed is left out of the next")
	ErrNobody   = errors.New("no judge has rated everything yet: a round is closed on at least one whole set of ratings")
	ErrScores   = fmt.Errorf("too few people have sat this version of the test: Hofstee's method meets the judges' limits with the scores of at least %d", FewestScores)
	ErrNoMark   = errors.New("this panel has no mark to adopt")
)

// Panel is a panel of judges for one version of a test.
type Panel struct {
	ID       ID                    `json:"id"`
	Test     string                `json:"test"`
	Version  int                   `json:"version"`
	Method   Method                `json:"method"`
	Items    []string              `json:"items"` // what is rated, in the order it is shown; empty for Hofstee
	Judges   []competency.PersonID `json:"judges"`
	LeftOut  []competency.PersonID `json:"left_out,omitempty"` // judges who had not rated everything when a round was closed
	Round    int                   `json:"round"`              // 1, or 2 for Angoff once all have seen the first
	Status   Status                `json:"status"`
	Rounds   []Round               `json:"rounds,omitempty"` // the closed ones
	Result   *Result               `json:"result,omitempty"`
	Reason   string                `json:"reason,omitempty"` // why it was withdrawn
	Revision int                   `json:"revision"`
}

// Sheet is what one judge has said in one round. Ratings are of Angoff, in per cent by item; limits of Hofstee.
type Sheet struct {
	Judge   competency.PersonID `json:"judge"`
	Round   int                 `json:"round"`
	Ratings map[string]float64  `json:"ratings,omitempty"`
	Limits  *Limits             `json:"limits,omitempty"`
}

// Limits are what one judge finds bearable, in per cent: the least and highest mark, and the least and highest share of people who fail.
type Limits struct {
	LeastMark   float64 `json:"least_mark" minimum:"0" maximum:"100"`
	HighestMark float64 `json:"highest_mark" minimum:"0" maximum:"100"`
	LeastFail   float64 `json:"least_fail" minimum:"0" maximum:"100"`
	HighestFail float64 `json:"highest_fail" minimum:"0" maximum:"100"`
}

// New calls a panel. The error is strict.Faults.
func New(p Panel) (Panel, error) {
	var faults strict.Faults
	if n := len(p.Judges); n == 0 || n > MostJudges {
		faults.Add("judges", "must name 1 to %d judges, not %d", MostJudges, n)
	}
	for i, judge := range p.Judges {
		if slices.Contains(p.Judges[:i], judge) {
			faults.Add(fmt.Sprintf("judges[%d]", i), "is named twice")
		}
	}
	switch p.Method {
	case Angoff:
		if len(p.Items) == 0 {
			faults.Add("items", "name the questions to rate")
		}
	case Hofstee:
		if len(p.Items) > 0 {
			faults.Add("items", "Hofstee's method asks about the whole test: leave them out")
		}
	default:
		faults.Add("method", "must be angoff or hofstee")
	}
	for i, name := range p.Items {
		if slices.Contains(p.Items[:i], name) {
			faults.Add(fmt.Sprintf("items[%d]", i), "%q is rated already", name)
		}
	}
	if err := faults.Err(); err != nil {
		return p, err
	}
	p.Round, p.Status, p.Revision = 1, Open, 1
	return p, nil
}

// Judging reports whether somebody is asked in the round that is open.
func (p Panel) Judging(who competency.PersonID) bool {
	return p.Status == Open && slices.Contains(p.Judges, who) && !slices.Contains(p.LeftOut, who)
}

// Rate adds what a judge says now to their sheet of the open round; items that are not named stay as they are. The error is ErrClosed,
// ErrNotJudge or strict.Faults.
func (p Panel) Rate(s Sheet, ratings map[string]float64, limits *Limits) (Sheet, error) {
	switch {
	case p.Status != Open:
		return s, ErrClosed
	case !p.Judging(s.Judge):
		return s, ErrNotJudge
	}
	var faults strict.Faults
	if p.Method == Hofstee {
		if len(ratings) > 0 {
			faults.Add("ratings", "Hofstee's method has none: give limits")
		}
		if limits != nil {
			faults.Join("limits", limits.check())
			s.Limits = limits
		}
		return s, faults.Err()
	}
	if limits != nil {
		faults.Add("limits", "Angoff's method has none: give ratings")
	}
	for _, name := range slices.Sorted(maps.Keys(ratings)) {
		field := fmt.Sprintf("ratings[%s]", name)
		switch value := ratings[name]; {
		case !slices.Contains(p.Items, name):
			faults.Add(field, "is not a question of this panel")
		case !(value >= 0 && value <= 100):
			faults.Add(field, "must be 0 to 100 per cent")
		}
	}
	if err := faults.Err(); err != nil {
		return s, err
	}
	all := maps.Clone(s.Ratings)
	if all == nil {
		all = map[string]float64{}
	}
	maps.Copy(all, ratings)
	s.Ratings = all
	return s, nil
}

func (l Limits) check() strict.Faults {
	var faults strict.Faults
	for _, one := range []struct {
		field string
		value float64
	}{{"least_mark", l.LeastMark}, {"highest_mark", l.HighestMark}, {"least_fail", l.LeastFail}, {"highest_fail", l.HighestFail}} {
		if !(one.value >= 0 && one.value <= 100) {
			faults.Add(one.field, "must be 0 to 100 per cent")
		}
	}
	if l.LeastMark >= l.HighestMark {
		faults.Add("highest_mark", "must be above the least mark")
	}
	if l.LeastFail >= l.HighestFail {
		faults.Add("highest_fail", "must be above the least share")
	}
	return faults
}

// Rated is how much of what is asked a sheet says, and how much that is.
func (p Panel) Rated(s Sheet) (said, asked int) {
	if p.Method == Hofstee {
		if s.Limits != nil {
			return 1, 1
		}
		return 0, 1
	}
	for _, name := range p.Items {
		if _, given := s.Ratings[name]; given {
			said++
		}
	}
	return said, len(p.Items)
}

// Withdraw gives an open panel up. The error is ErrClosed.
func (p Panel) Withdraw(reason string) (Panel, error) {
	if p.Status != Open {
		return p, ErrClosed
	}
	p.Status, p.Reason = Withdrawn, reason
	p.Revision++
	return p, nil
}
