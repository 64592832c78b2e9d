package question

import (
	"fmt"

	"isthmus/assessment/strict"
)

// Blueprint is what a form is to hold: so many items of each topic, or a fixed list of items. Exactly one of the two is given.
type Blueprint struct {
	Title string `json:"title" yaml:"title"`
	Rows  []Row  `json:"rows,omitempty" yaml:"rows,omitempty"`
	Fixed []Ref  `json:"fixed,omitempty" yaml:"fixed,omitempty"` // asked in this order
}

// Row asks for a number of items of one topic.
type Row struct {
	Topic      Topic      `json:"topic" yaml:"topic"`
	Difficulty Difficulty `json:"difficulty,omitempty" yaml:"difficulty,omitempty"` // empty: any, and only what no row of one difficulty took
	Items      int        `json:"items" yaml:"items"`
}

// Ref names one version of an item.
type Ref struct {
	Item    ItemID `json:"item" yaml:"item"`
	Version int    `json:"version" yaml:"version"`
}

// MostItems is how many items a form may hold.
const MostItems = 200

// DecodeBlueprint reads a blueprint file in YAML and checks it. The error is strict.Faults with file, line and field of every mistake.
func DecodeBlueprint(name string, data []byte) (Blueprint, error) {
	var b Blueprint
	document, err := strict.YAML(name, data, &b)
	if err != nil {
		return Blueprint{}, err
	}
	if err := document.Locate(b.Validate()).Err(); err != nil {
		return Blueprint{}, err
	}
	return b, nil
}

// Validate reports every mistake in the blueprint. Whether a bank can fill it is for Assemble to say.
func (b Blueprint) Validate() strict.Faults {
	var faults strict.Faults
	checkText(&faults, "title", b.Title, 1, 120)
	if (len(b.Rows) == 0) == (len(b.Fixed) == 0) {
		faults.Add("rows", "give rows of topics or a fixed list of items, one of the two")
	}
	total := len(b.Fixed)
	type asked struct {
		topic      Topic
		difficulty Difficulty
	}
	rows := map[asked]bool{}
	for i, row := range b.Rows {
		field := fmt.Sprintf("rows[%d]", i)
		checkID(&faults, field+".topic", string(row.Topic))
		if row.Difficulty != "" {
			checkAmong(&faults, field+".difficulty", row.Difficulty, difficulties)
		}
		checkRange(&faults, field+".items", float64(row.Items), 1, MostItems)
		if rows[asked{row.Topic, row.Difficulty}] {
			faults.Add(field, "this topic and difficulty stand in an earlier row: add the numbers up there")
		}
		rows[asked{row.Topic, row.Difficulty}] = true
		total += min(max(row.Items, 0), MostItems)
	}
	given := map[ItemID]bool{}
	for i, ref := range b.Fixed {
		field := fmt.Sprintf("fixed[%d]", i)
		checkID(&faults, field+".item", string(ref.Item))
		checkRange(&faults, field+".version", float64(ref.Version), 1, 1e6)
		if given[ref.Item] {
			faults.Add(field+".item", "%q is asked already", shorten(string(ref.Item)))
		}
		given[ref.Item] = true
	}
	if total > MostItems {
		faults.Add("rows", "ask for %d items; the most is %d", total, MostItems)
	}
	return faults
}
