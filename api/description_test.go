package api

import (
	"encoding/json"
	"errors"
	"html/template"
	"regexp"
	"strings"
	"testing"

	"isthmus/api/store/storetest"
)

func TestDescription(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	got := w.anonymous().do("GET", "/openapi.json", nil).want(200)
	var document struct {
		OpenAPI    string                    `json:"openapi"`
		Paths      map[string]map[string]any `json:"paths"`
		Components struct {
			Schemas map[string]json.RawMessage `json:"schemas"`
		} `json:"components"`
	}
	got.into(&document)
	if changes := strings.Count(string(got.body), `"name": "If-Match"`); changes != 32 {
		t.Errorf("%d operations ask for If-Match, 7 change a case, 1 a test, 6 a scenario, 6 a question, 1 a follow-up, 1 an import, 1 a simulation, 2 a quiz, 4 an own test, 3 a panel", changes)
	}
	if document.OpenAPI != "3.1.0" || len(document.Paths) < 20 || document.Components.Schemas["Problem"] == nil {
		t.Errorf("OpenAPI %s with %d paths", document.OpenAPI, len(document.Paths))
	}
	for _, reference := range regexp.MustCompile(`"#/components/schemas/([^"]+)"`).FindAllStringSubmatch(string(got.body), -1) {
		if document.Components.Schemas[reference[1]] == nil {
			t.Errorf("the description refers to %s, which is not in it", reference[1])
		}
	}
	w.anonymous().do("GET", "/openapi.json", nil, "If-None-Match", got.etag()).want(304)
	again := newWorld(t, storetest.Open(t, sqlite)).anonymous().do("GET", "/openapi.json", nil).want(200)
	if string(again.body) != string(got.body) {
		t.Error("two starts describe the API in different bytes")
	}
}

// TestReferencePage: readable without script, and nothing from another site.
func TestReferencePage(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	got := w.anonymous().do("GET", "/docs", nil).want(200)
	page := string(got.body)
	for _, op := range described(w) {
		if !strings.Contains(page, op.Path) || !strings.Contains(page, template.HTMLEscapeString(op.Summary)) {
			t.Errorf("the page has no %s %s", op.Method, op.Path)
		}
	}
	if strings.Contains(page, "<script") || strings.Contains(page, "http://") || strings.Contains(page, "https://") || strings.Contains(page, " style=") {
		t.Error("the page holds a script, a style or an outside address")
	}
	for _, link := range regexp.MustCompile(`href="#([^"]+)"`).FindAllStringSubmatch(page, -1) {
		if !strings.Contains(page, `id="`+link[1]+`"`) {
			t.Errorf("a link to #%s leads nowhere", link[1])
		}
	}
	if policy := got.header.Get("Content-Security-Policy"); !strings.Contains(policy, "default-src 'none'") {
		t.Errorf("policy %q", policy)
	}
	w.anonymous().do("GET", "/docs.css", nil).want(200)
	for _, k := range kinds {
		if page := w.anonymous().do("GET", "/problems/"+k.name, nil).want(200); !strings.Contains(string(page.body), k.title) {
			t.Errorf("the page of %s does not name it", k.name)
		}
	}
	w.anonymous().do("GET", "/problems/none", nil).want(404)
}

func TestHealth(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.anonymous().do("GET", "/healthz", nil).want(200)
	w.anonymous().do("GET", "/readyz", nil).want(200)
	w.broken = errors.New("database on fire at 10.0.0.7")
	if got := w.anonymous().do("GET", "/readyz", nil).want(503); strings.Contains(string(got.body), "10.0.0.7") {
		t.Errorf("%s", got.body)
	}
	w.anonymous().do("GET", "/healthz", nil).want(200)
}

// TestWebPaths: what is not the API's goes to the web application.
func TestWebPaths(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	for _, path := range []string{"/", "/cases/1", "/apiary", "/docs/x"} {
		if got := w.anonymous().do("GET", path, nil).want(200); string(got.body) != "web "+path || got.header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %s", path, got.body)
		}
	}
	w.anonymous().do("GET", "/api", nil).want(404).problem()
	w.anonymous().do("GET", "/api/", nil).want(404).problem()
}

func TestCatalogue(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.anonymous().do("GET", "/api/atrium", nil).want(401)
	var c Catalogue
	w.as("nobody").do("GET", "/api/atrium", nil).want(200).into(&c)
	if len(c.Chambers) != 2 || len(c.Lesions) != 11 || len(c.HelpLevels) != 5 || len(c.Chambers[0].Openings) < 6 || len(c.Chambers[1].Sites) < 2 || c.Caution == "" {
		t.Errorf("catalogue %+v", c)
	}
	var wide Catalogue
	w.as("nobody").do("GET", "/api/atrium?left_atrium_diameter_mm=60", nil).want(200).into(&wide)
	if wide.Chambers[0].RadiusMM != 37.5 || wide.Chambers[1].RadiusMM != c.Chambers[1].RadiusMM {
		t.Errorf("radius %g mm", wide.Chambers[0].RadiusMM)
	}
	w.as("nobody").do("GET", "/api/atrium?left_atrium_diameter_mm=6", nil).want(422)
}
