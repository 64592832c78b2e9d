package strict_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/assessment/strict"
)

// page is a value with everything that can be written.
type page struct {
	Name  string    `yaml:"name"`
	Says  string    `yaml:"says"`
	Exact string    `yaml:"exact"`
	Score float64   `yaml:"score"`
	Tries int       `yaml:"tries,omitempty"`
	Sure  *bool     `yaml:"sure"`
	Words []string  `yaml:"words"`
	Items []line    `yaml:"items"`
	Inner line      `yaml:"inner"`
	None  []string  `yaml:"none"`
	Far   [3]string `yaml:"far,omitempty"`
}

type line struct {
	Word string     `yaml:"word"`
	At   [2]float64 `yaml:"at"`
	Note string     `yaml:"note,omitempty"`
}

// TestWriteYAML: short things stand on one line, running text is folded, nothing is left out that is there, and it reads back as it was.
func TestWriteYAML(t *testing.T) {
	sure := false
	value := page{
		Name: "roof-line", Says: strings.Repeat("a line of words ", 10) + "ends", Exact: "no\ttwo  blanks: \"quoted\" \\ and \u0001", Score: 0.1, Sure: &sure,
		Words: []string{"yes", "cryo", "1e3", ""},
		Items: []line{{Word: "a", At: [2]float64{-1, 2.5}}, {Word: "b", Note: strings.Repeat("long words ", 12) + "end"}},
		Inner: line{Word: "c"},
	}
	const want = `name: roof-line
says: >-
  a line of words a line of words a line of words a line of words a line of words a line of words a line of
  words a line of words a line of words a line of words ends
exact: "no\ttwo  blanks: \"quoted\" \\ and \u0001"
score: 0.1
sure: false
words: ["yes", cryo, "1e3", ""]
items:
  - {word: a, at: [-1, 2.5]}
  - word: b
    at: [0, 0]
    note: >-
      long words long words long words long words long words long words long words long words long words long
      words long words long words end
inner: {word: c, at: [0, 0]}
`
	got := strict.WriteYAML(value)
	if diff := cmp.Diff(want, string(got)); diff != "" {
		t.Errorf("written (-want +got):\n%s", diff)
	}
	var back page
	if _, err := strict.YAML("p.yaml", got, &back); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(value, back); diff != "" {
		t.Errorf("read back (-before +after):\n%s", diff)
	}
}
