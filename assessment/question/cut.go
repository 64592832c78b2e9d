package question

// CutFrom is where a passing mark comes from.
type CutFrom string

// Where it can come from.
const (
	FromExample CutFrom = "example" // no panel has set it
	FromAngoff  CutFrom = "angoff"
	FromHofstee CutFrom = "hofstee"
)

// Cut is a passing mark with where it comes from, as an attempt keeps it. The zero value stands for the example.
type Cut struct {
	Percent float64  `json:"percent"`
	From    CutFrom  `json:"from"`
	Panel   string   `json:"panel,omitempty"`
	Judges  int      `json:"judges,omitempty"`
	SE      *float64 `json:"se,omitempty"`    // by the judges only, in percentage points; absent where it cannot be said
	Drawn   bool     `json:"drawn,omitempty"` // the mean rating of the items drawn, not of all that were rated
}

// ExampleMark is the cut where no panel has set one.
func ExampleMark() Cut { return Cut{Percent: ExampleCut, From: FromExample} }

// TestRef names a version of a programme's own test.
type TestRef struct {
	ID      TestID `json:"id"`
	Version int    `json:"version"`
}

// Terms are what an attempt was begun under, beside its items and its time: the programme's own test it is, how it is marked, and where
// its cut comes from. The zero value is a set that the program offers itself.
type Terms struct {
	Test TestRef `json:"test,omitzero"`
	Scheme
	CutFrom Cut `json:"cut_from,omitzero"`
}

// Passed reports whether a closed attempt at a test reached its cut as a whole.
func (a Attempt) Passed() bool { return a.Score.Percent >= a.Cut-1e-9 }

// CutFrom is the attempt's cut with where it comes from.
func (a Attempt) CutFrom() Cut {
	if a.Terms.CutFrom.From == "" {
		return Cut{Percent: a.Cut, From: FromExample}
	}
	return a.Terms.CutFrom
}
