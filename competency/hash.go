package competency

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// ContentHash binds a signature to a record: the SHA-256, in hexadecimal, of its canonical JSON (Go's field order, empty lists
// written as such). Two records that say the same have the same hash.
func ContentHash(r Record) string { return hashOf(r.normal()) }

// normal is the record with every missing list written as an empty one and text without spaces round it.
func (r Record) normal() Record {
	if r.Lesions == nil {
		r.Lesions = []atrium.Lesion{}
	}
	if r.Steps == nil {
		r.Steps = []Step{}
	}
	if r.Events == nil {
		r.Events = []string{}
	}
	r.Note = strings.TrimSpace(r.Note)
	return r
}

// EvidenceHash is the SHA-256 of everything on record about one trainee, whatever the order it comes in.
func EvidenceHash(e Evidence) string {
	lists := map[string][]string{"cases": sortedJSON(e.Cases), "pending": sortedJSON(e.Pending), "plans": sortedJSON(e.Plans)}
	if len(e.Earlier) > 0 {
		lists["earlier"] = sortedJSON(e.Earlier)
	}
	for name, list := range map[string][]string{
		"follow_ups": sortedJSON(e.FollowUps), "follow_up_months": sortedJSON(e.FollowUpMonths), "ratings": sortedJSON(e.Ratings), "quizzes": sortedJSON(e.Quizzes),
	} {
		if len(list) > 0 { // what came to the evidence later leaves the hash of what was frozen before as it was
			lists[name] = list
		}
	}
	return hashOf(lists)
}

// sortedJSON writes every item as JSON and sorts the texts.
func sortedJSON[T any](items []T) []string {
	texts := make([]string, len(items))
	for i, item := range items {
		texts[i] = string(canonical(item))
	}
	slices.Sort(texts)
	return texts
}

// hashOf is the SHA-256 of a value's JSON in hexadecimal.
func hashOf(value any) string {
	sum := sha256.Sum256(canonical(value))
	return hex.EncodeToString(sum[:])
}

// canonical writes a value as JSON. The vocabulary holds plain data only, so a failure is an infinite number that validation let pass.
func canonical(value any) []byte {
	data, err := json.Marshal(value)
	if err != nil {
		panic("competency: not plain data: " + err.Error())
	}
	return data
}
