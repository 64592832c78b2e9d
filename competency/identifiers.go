package competency

import "fmt"

// Identifiers says what PrivacyScreen finds in a text, each finding with its reason.
func Identifiers(text string) []string {
	findings := PrivacyScreen(text)
	says := make([]string, len(findings))
	for i, finding := range findings {
		says[i] = fmt.Sprintf("%q: %s", finding.Excerpt, finding.Reason)
	}
	return says
}
