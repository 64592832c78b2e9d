package competency

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/strict"
)

// Override is a person's word that something the privacy screen stops names no patient and is to stay. It holds for one finding: this
// kind, in this field, in exactly these words.
type Override struct {
	Field   string `json:"field"` // where the text stands, as the refusal named it: record.note, keep, reason
	Kind    string `json:"kind"`
	Excerpt string `json:"excerpt"`
	Reason  string `json:"reason"` // why it names no patient; at least leastReasonWords words
}

// Limits of an override's reason, and of how many there can be at once.
const (
	leastReasonWords = 3
	mostReason       = 300 // characters
	mostOverrides    = 20
)

// canBeKept says whether a finding of a kind can be right to keep. The screen knows names and addresses by their form only and can be
// wrong about words ("patient Left Atrium"). The rest is never kept:
//   - record numbers, telephone numbers, e-mail and web addresses name one person or device, and no teaching rests on them; a number
//     that is none can be written with its unit;
//   - an age over 89 can always be written as 'over 89' (45 CFR 164.514(b)(2)(i)(C));
//   - a date could carry the day of the operation past the programme's precision, and three numbers that are none ("leads 1/2/12") can
//     be written with commas.
func canBeKept(kind string) bool { return kind == KindName || kind == KindAddress }

// CheckOverrides reports what is wrong with overrides: a kind that is never kept, or a reason that is none. The reason is screened
// like any text, without override, and never repeats what it is about.
func CheckOverrides(overrides []Override) strict.Faults {
	var faults strict.Faults
	if len(overrides) > mostOverrides {
		faults.Add("overrides", "must be at most %d, not %d", mostOverrides, len(overrides))
		return faults
	}
	for i, o := range overrides {
		place := fmt.Sprintf("overrides[%d]", i)
		if o.Field == "" || o.Excerpt == "" {
			faults.Add(place, "must name the field and the words to keep, as they were found")
			continue
		}
		if !canBeKept(o.Kind) {
			faults.Add(place+".kind", "this cannot be kept for any reason: leave it out of the text")
			continue
		}
		o.checkReason(&faults, place+".reason")
	}
	return faults
}

// checkReason asks for a few words of one's own.
func (o Override) checkReason(faults *strict.Faults, field string) {
	switch {
	case len(strings.Fields(o.Reason)) < leastReasonWords:
		faults.Add(field, "must be at least %d words: say why it names no patient", leastReasonWords)
	case utf8.RuneCountInString(o.Reason) > mostReason:
		faults.Add(field, "must be at most %d characters, not %d", mostReason, utf8.RuneCountInString(o.Reason))
	case strings.Contains(strings.ToLower(o.Reason), strings.ToLower(o.Excerpt)):
		faults.Add(field, "say why without the words it is about: the reason is kept where the text is not")
	}
	for _, finding := range PrivacyScreen(o.Reason) {
		faults.Add(field, "%q: %s", finding.Excerpt, finding.Reason) // no kind: there is no override of it
	}
}

// covers reports whether the override is about a finding in a field.
func (o Override) covers(field string, f Finding) bool {
	return o.Field == field && o.Kind == f.Kind && o.Excerpt == f.Excerpt && f.Keepable
}

// Screen refuses everything in a text that looks like a patient's identity, except what is kept. Each fault carries the kind and the
// excerpt that an override of it has to name.
func Screen(field, text string, kept ...Override) strict.Faults {
	var faults strict.Faults
	for _, finding := range PrivacyScreen(text) {
		if slices.ContainsFunc(kept, func(o Override) bool { return o.covers(field, finding) }) {
			continue
		}
		says := fmt.Sprintf("%q: %s", finding.Excerpt, finding.Reason)
		if finding.Keepable {
			says += "; if it names no patient, keep it and say why (overrides)"
		}
		faults.List = append(faults.List, strict.Fault{Field: field, Message: says, Kind: finding.Kind, Excerpt: finding.Excerpt, Keepable: finding.Keepable})
	}
	return faults
}

// Used are the overrides that a text needs, in the order of its findings, each once. The others are about words that are no longer in it.
func Used(field, text string, overrides []Override) []Override {
	var used []Override
	for _, finding := range PrivacyScreen(text) {
		at := slices.IndexFunc(overrides, func(o Override) bool { return o.covers(field, finding) })
		if at >= 0 && !slices.Contains(used, overrides[at]) {
			used = append(used, overrides[at])
		}
	}
	return used
}

// Kept are overrides for what stands in a text already: it was kept before, with a reason on record, and is not asked for again. kinds
// are those on record for the place. They say nothing new, so they have no reason and are never saved.
func Kept(field, text string, kinds []string) []Override {
	var kept []Override
	for _, finding := range PrivacyScreen(text) {
		if finding.Keepable && slices.Contains(kinds, finding.Kind) {
			kept = append(kept, Override{Field: field, Kind: finding.Kind, Excerpt: finding.Excerpt})
		}
	}
	return kept
}

// Within are the overrides of the fields under prefix, with the prefix taken off: those of a record among those of a request.
func Within(prefix string, overrides []Override) []Override {
	var within []Override
	for _, o := range overrides {
		if field, under := strings.CutPrefix(o.Field, prefix+"."); under {
			o.Field = field
			within = append(within, o)
		}
	}
	return within
}
