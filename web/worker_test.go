package web

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"testing"
)

// The service worker is asked for anew each time, names the build's own files, may read from this site only, and leaves the API alone.
func TestServiceWorker(t *testing.T) {
	response := ask(t, http.MethodGet, "/sw.js")
	source, base := body(t, response), address(t)
	if response.StatusCode != http.StatusOK || response.Header.Get("Cache-Control") != "no-cache" || !strings.HasPrefix(response.Header.Get("Content-Type"), "text/javascript") {
		t.Errorf("%s, %v", response.Status, response.Header)
	}
	if got := response.Header.Get("Content-Security-Policy"); got != workerPolicy {
		t.Errorf("policy %q", got)
	}
	if !strings.Contains(source, `const base = "`+base+`";`) || strings.Contains(source, "{{") || strings.Contains(source, "/api/") {
		t.Errorf("the worker is not of this build, or knows the API:\n%.400s", source)
	}
	_, after, _ := strings.Cut(source, "const files = ")
	list, _, _ := strings.Cut(after, ";\n")
	var kept []string
	if err := json.Unmarshal([]byte(list), &kept); err != nil {
		t.Fatal(err)
	}
	for _, name := range kept {
		if ask(t, http.MethodGet, base+"/"+name).StatusCode != http.StatusOK {
			t.Errorf("the worker keeps %s, which is not there", name)
		}
	}
	for _, name := range []string{"js/main.js", "js/pages/case-form.js", "vendor/idb.mjs", "css/tokens.css", "icon.svg"} {
		if !slices.Contains(kept, name) {
			t.Errorf("%s is not kept on the device", name)
		}
	}
}

// The manifest makes the application installable: a name, a start, its own window, and icons that are there.
func TestManifest(t *testing.T) {
	response := ask(t, http.MethodGet, "/manifest.webmanifest")
	var manifest struct {
		Name    string
		Start   string `json:"start_url"`
		Display string
		Icons   []struct{ Src, Purpose string }
	}
	if err := json.Unmarshal([]byte(body(t, response)), &manifest); err != nil {
		t.Fatal(err)
	}
	if manifest.Name == "" || manifest.Start != "/" || manifest.Display != "standalone" || len(manifest.Icons) != 2 {
		t.Errorf("%+v", manifest)
	}
	for _, icon := range manifest.Icons {
		if ask(t, http.MethodGet, icon.Src).StatusCode != http.StatusOK {
			t.Errorf("%s is not there", icon.Src)
		}
	}
}
