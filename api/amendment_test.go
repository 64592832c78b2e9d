package api

import (
	"context"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// because is the body of an act that needs a reason.
func because(reason string) map[string]string { return map[string]string{"reason": reason} }

// signedCase is a case of ines that mei has signed.
func (w *world) signedCase() (path, etag string) {
	w.Helper()
	path, etag = w.submitted(biatrial())
	return path, w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", etag).want(200).etag()
}

// sound checks that every signature is as it was signed, and that there are so many.
func (w *world) sound(signatures int) {
	w.Helper()
	report, err := w.store.VerifyAudit(context.Background())
	w.must(err)
	found := 0
	for _, chain := range report.Chains {
		found += chain.Signatures.Sound
	}
	if !report.Sound() || found != signatures {
		w.Errorf("%d signatures are sound, want %d: %+v", found, signatures, report)
	}
}

// whatCounts is the role and the operation of the one case of ines that is evidence.
func (w *world) whatCounts() (role competency.Role, operation string) {
	w.Helper()
	w.must(w.store.Read(context.Background(), func(tx *store.Tx) error {
		evidence, err := tx.EvidenceFor(north, "ines")
		if len(evidence.Cases) != 1 || len(evidence.Pending) != 0 {
			w.Fatalf("evidence %+v", evidence)
		}
		role, operation = evidence.Cases[0].Role, evidence.Cases[0].Operation
		return err
	}))
	return role, operation
}

// TestAmendment takes a signed case through an amendment to its second signature. What was signed counts until then; the draft is its
// trainee's own; both versions stay to be read, with their signatures and the reason.
func TestAmendment(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, tag := w.signedCase()
		before := w.state()
		w.as("leila").do("POST", path+"/amendment", because("It is wrong."), "If-Match", tag).want(403)
		w.as("amara").do("POST", path+"/amendment", because("It is wrong."), "If-Match", tag).want(403)
		w.as("ines").do("POST", path+"/amendment", because(""), "If-Match", tag).want(422)
		w.as("ines").do("POST", path+"/restoration", because("Nothing is open."), "If-Match", tag).want(409)
		w.as("ines").do("POST", path+"/withdrawal", because("It is mine."), "If-Match", tag).want(403)
		w.unchanged(before, "refusals")

		var open service.CaseDetail
		tag = w.as("ines").do("POST", path+"/amendment", because("The valve was tricuspid too."), "If-Match", tag).want(200).into(&open).etag()
		if open.Case.Status != competency.CaseDraft || open.Case.SignedVersion != 1 || len(open.May) != 3 {
			t.Fatalf("opened: %s of version %d, may %v", open.Case.Status, open.Case.SignedVersion, open.May)
		}
		w.as("ines").do("POST", path+"/withdrawal", because("It is mine."), "If-Match", tag).want(403)
		record := biatrial()
		record.Supervisor = "leila"
		w.as("ines").do("PUT", path, recordOf{record}, "If-Match", tag).want(422)
		record.Supervisor, record.Operation = "mei", "mitral-and-tricuspid"
		tag = w.as("ines").do("PUT", path, recordOf{record}, "If-Match", tag).want(200).etag()
		for who, want := range map[string]string{"ines": record.Operation, "mei": "mitral", "amara": record.Operation} { // the director reads drafts
			var seen service.CaseDetail
			w.as(who).do("GET", path, nil).want(200).into(&seen)
			if seen.Case.Record.Operation != want {
				t.Errorf("%s sees %s while it is amended, want %s", who, seen.Case.Record.Operation, want)
			}
		}
		if _, operation := w.whatCounts(); operation != "mitral" {
			t.Errorf("a draft counts: %s", operation)
		}
		w.sound(1)
		tag = w.as("ines").do("POST", path+"/submission", nil, "If-Match", tag).want(200).etag()
		w.sound(1)
		stated := statement(record)
		stated.Steps = stepsBy(record, competency.ByTraineeWithHelp)
		var signed service.CaseDetail
		w.as("mei").do("POST", path+"/sign-off", stated, "If-Match", tag).want(200).into(&signed)
		if role, operation := w.whatCounts(); operation != "mitral-and-tricuspid" || role != signed.SignOffs[1].Role {
			t.Errorf("after the second signature %s as %s counts", operation, role)
		}
		w.sound(2)
		var versions service.CaseVersions
		w.as("leila").do("GET", path+"/versions", nil).want(403)
		w.as("mei").do("GET", path+"/versions", nil).want(200).into(&versions)
		if len(versions.Items) != 2 || versions.Items[0].SignOff == nil || versions.Items[1].SignOff == nil || versions.Items[0].Counts || !versions.Items[1].Counts ||
			versions.Items[0].Opened != nil || versions.Items[1].Opened.Reason != "The valve was tricuspid too." || versions.Items[0].Record.Operation != "mitral" ||
			versions.Items[1].SignOff.ProvedAt.IsZero() || versions.Items[0].ByName == "" {
			t.Errorf("versions %+v", versions)
		}
	})
}

// TestAmendmentAskedAndGivenUp: the supervisor asks for an amendment, the trainee gives it up after handing it in, and what was signed stands.
func TestAmendmentAskedAndGivenUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, tag := w.signedCase()
		var asked service.CaseDetail
		tag = w.as("mei").do("POST", path+"/amendment", because("The floor line is missing."), "If-Match", tag).want(200).into(&asked).etag()
		if asked.Case.Status != competency.CaseReturned || asked.Acts[len(asked.Acts)-1].Reason != "The floor line is missing." {
			t.Fatalf("asked for: %s, %+v", asked.Case.Status, asked.Acts)
		}
		record := biatrial()
		record.OperatedOn = ""
		tag = w.as("ines").do("PUT", path, recordOf{record}, "If-Match", tag).want(200).etag()
		w.as("ines").do("GET", path+"/follow-ups", nil).want(200)
		w.as("ines").do("POST", path+"/follow-ups", validBodies()["add-follow-up"]).want(422) // still ahead, by the date that was submitted
		tag = w.as("ines").do("PUT", path, recordOf{biatrial()}, "If-Match", tag).want(200).etag()
		tag = w.as("ines").do("POST", path+"/submission", nil, "If-Match", tag).want(200).etag()
		w.as("mei").do("POST", path+"/restoration", because("It was right."), "If-Match", tag).want(403)
		var back service.CaseDetail
		tag = w.as("ines").do("POST", path+"/restoration", because("It was right as it stood."), "If-Match", tag).want(200).into(&back).etag()
		if back.Case.Status != competency.CaseSignedOff || back.Case.Version != 1 || back.Case.LastVersion != 2 || len(back.SignOffs) != 1 {
			t.Errorf("given up: %+v", back.Case)
		}
		w.sound(1)
		tag = w.as("ines").do("POST", path+"/amendment", because("After all."), "If-Match", tag).want(200).etag()
		tag = w.as("ines").do("POST", path+"/submission", nil, "If-Match", tag).want(200).etag()
		tag = w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", tag).want(200).etag()
		w.sound(2)
		var versions service.CaseVersions
		w.as("ines").do("GET", path+"/versions", nil).want(200).into(&versions)
		if len(versions.Items) != 3 || versions.Items[1].SignOff != nil || versions.Items[2].Opened.Reason != "After all." || !versions.Items[2].Counts {
			t.Errorf("versions %+v", versions)
		}
		tag = w.as("ines").do("POST", path+"/amendment", because("Once more."), "If-Match", tag).want(200).etag()
		record = biatrial()
		record.Note = "Not handed in."
		tag = w.as("ines").do("PUT", path, recordOf{record}, "If-Match", tag).want(200).etag()
		var out service.CaseDetail
		w.as("mei").do("POST", path+"/withdrawal", because("Another operation."), "If-Match", tag).want(200).into(&out)
		if out.Case.Status != competency.CaseWithdrawn || out.Case.Record.Note != biatrial().Note || out.Case.ContentHash == "" {
			t.Errorf("withdrawn while it was amended: %+v", out.Case)
		}
		w.sound(2)
	})
}
