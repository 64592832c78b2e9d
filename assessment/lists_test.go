package assessment_test

import (
	"testing"

	"isthmus/assessment"
)

func TestListsHoldEveryCodeOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, code := range assessment.AllLists().Codes {
		if seen[code.Code] || code.Part == "" || code.Severity == "" {
			t.Errorf("code %+v is there twice or says too little", code)
		}
		seen[code.Code] = true
	}
	for _, code := range assessment.Codes() {
		if !seen[code] {
			t.Errorf("code %s is in no part a form shows", code)
		}
	}
}

func TestListsAreTheCallersOwn(t *testing.T) {
	assessment.AllLists().Asks[0] = "something else"
	if got := assessment.AllLists().Asks[0]; got != assessment.AskAblation {
		t.Errorf("the lists can be changed from outside: %q", got)
	}
}
