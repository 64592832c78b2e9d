package competency

// Finding is one identifier of a person seen in free text.
type Finding struct {
	Field   string `json:"field,omitempty"` // where the text stands; empty when only the text was given
	Kind    string `json:"kind"`
	Excerpt string `json:"excerpt"`
	Reason  string `json:"reason"`
}

// PrivacyScreen finds identifiers of patients in free text.
func PrivacyScreen(text string) []Finding { return nil }
