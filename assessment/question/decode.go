package question

import (
	"fmt"

	"isthmus/assessment/strict"
)

// file is a file of items.
type file struct {
	Items []Item `yaml:"items"`
}

// Decode reads a file of items in YAML and checks each whole. The error is strict.Faults with file, line and field of every mistake; an id
// given twice is one.
func Decode(name string, data []byte) ([]Item, error) {
	var f file
	document, err := strict.YAML(name, data, &f)
	if err != nil {
		return nil, err
	}
	var faults strict.Faults
	if len(f.Items) == 0 {
		faults.Add("items", "must hold at least one item")
	}
	first := map[ItemID]int{}
	for i, it := range f.Items {
		field := fmt.Sprintf("items[%d]", i)
		faults.Join(field, it.Validate())
		if before, given := first[it.ID]; given {
			faults.Add(field+".id", "%q is the id of items[%d] too", shorten(string(it.ID)), before)
			continue
		}
		first[it.ID] = i
	}
	if err := document.Locate(faults).Err(); err != nil {
		return nil, err
	}
	return f.Items, nil
}
