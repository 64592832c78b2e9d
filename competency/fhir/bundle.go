// Package fhir writes de-identified operations as a FHIR R4 bundle of Procedures: plain structs that become JSON. Sections beside the rules are
// pages of hl7.org/fhir/R4. It knows no network and no clock, and is never given who was operated on, by whom, where, or any text.
package fhir

import (
	"fmt"

	"github.com/google/uuid"

	"isthmus/assessment/af"
)

// Bundle is a collection of resources (bundle.html: type 1..1, entry 0..*). It has no timestamp.
type Bundle struct {
	ResourceType string  `json:"resourceType"`
	Type         string  `json:"type"`
	Entry        []Entry `json:"entry"`
}

// Entry is a resource with its address, unique in the bundle (bundle.html: bdl-7, bdl-8).
type Entry struct {
	FullURL  string `json:"fullUrl"`
	Resource any    `json:"resource"`
}

// Procedure is an operation (procedure.html: status 1..1, subject 1..1, code 0..1, performed[x] 0..1, reasonCode 0..*).
type Procedure struct {
	ResourceType      string            `json:"resourceType"`
	Status            string            `json:"status"`
	Code              CodeableConcept   `json:"code"`
	Subject           Reference         `json:"subject"`
	PerformedDateTime string            `json:"performedDateTime,omitempty"` // a year (datatypes.html, dateTime: YYYY)
	ReasonCode        []CodeableConcept `json:"reasonCode"`
}

// CodeableConcept is a concept as a code, where one has a source, and always as text (datatypes.html).
type CodeableConcept struct {
	Coding []Coding `json:"coding,omitempty"`
	Text   string   `json:"text"`
}

// Coding is a code of a published system.
type Coding struct {
	System string `json:"system"`
	Code   string `json:"code"`
}

// Reference is a reference by words alone, which is one of the ways (references.html: at least one of reference, identifier and display).
type Reference struct {
	Type    string `json:"type"`
	Display string `json:"display"`
}

// OperationOutcome says in the bundle itself what was taken out of it (operationoutcome.html: issue 1..*, severity 1..1, code 1..1).
type OperationOutcome struct {
	ResourceType string  `json:"resourceType"`
	Issue        []Issue `json:"issue"`
}

// Issue is one sentence of it.
type Issue struct {
	Severity    string `json:"severity"`
	Code        string `json:"code"`
	Diagnostics string `json:"diagnostics"`
}

// icd10 is the system of ICD-10-CM codes (terminologies-systems.html).
const icd10 = "http://hl7.org/fhir/sid/icd-10-cm"

// reasons are the AF patterns. Codes as in ICD-10-CM FY2026, seen in coding explainers; the code of paroxysmal AF was not seen in a source, so
// that pattern is text alone. No code for the operation itself was seen in a source either.
var reasons = map[af.Pattern]CodeableConcept{
	af.Paroxysmal:             {Text: "Paroxysmal atrial fibrillation"},
	af.Persistent:             {[]Coding{{icd10, "I48.19"}}, "Persistent atrial fibrillation"},
	af.LongStandingPersistent: {[]Coding{{icd10, "I48.11"}}, "Long-standing persistent atrial fibrillation"},
	af.Permanent:              {[]Coding{{icd10, "I48.21"}}, "Permanent atrial fibrillation"},
}

// Write gives a release as a bundle: first what was taken out, then the operations. seed is new for every export, so that an address says
// nothing of the operation and two exports share none.
func Write(r Release, seed uuid.UUID) Bundle {
	outcome := OperationOutcome{ResourceType: "OperationOutcome"}
	for _, sentence := range r.Says() {
		outcome.Issue = append(outcome.Issue, Issue{Severity: "information", Code: "informational", Diagnostics: sentence})
	}
	bundle := Bundle{ResourceType: "Bundle", Type: "collection"}
	add := func(resource any) {
		address := uuid.NewSHA1(seed, fmt.Append(nil, len(bundle.Entry)))
		bundle.Entry = append(bundle.Entry, Entry{FullURL: address.URN(), Resource: resource})
	}
	add(outcome)
	for _, cell := range r.Cells {
		for range cell.N {
			add(cell.procedure())
		}
	}
	return bundle
}

// procedure is one operation of a cell: all of a cell look the same.
func (c Cell) procedure() Procedure {
	text := "Surgical ablation of atrial fibrillation: " + c.Scope
	if c.Operation != "" {
		text += "; operation: " + c.Operation
	}
	return Procedure{
		ResourceType: "Procedure", Status: "completed", Code: CodeableConcept{Text: text}, Subject: Reference{Type: "Patient", Display: "De-identified"},
		PerformedDateTime: c.Year, ReasonCode: []CodeableConcept{reasons[c.Pattern]},
	}
}
