package web

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"path"
	"text/template"
)

// workerPolicy is the content security policy of the service worker: it reads from this site and runs nothing else.
const workerPolicy = "default-src 'self'"

// fixed is what is served under an address of its own, because a browser looks for it there in every build: it is asked for anew each time.
type fixed struct {
	content asset
	policy  string
}

// newFixed renders the service worker and the manifest of the installed application, which name the build's folder and files.
func newFixed(from fs.FS, all *assets) (map[string]fixed, error) {
	kept, err := json.Marshal(all.keptFiles())
	if err != nil {
		return nil, err
	}
	rendered := map[string]fixed{}
	for _, one := range []struct{ name, kind, policy string }{
		{"sw.js", "text/javascript; charset=utf-8", workerPolicy},
		{"manifest.webmanifest", "application/manifest+json", "default-src 'none'"},
	} {
		source, err := fs.ReadFile(from, one.name)
		if err != nil {
			return nil, err
		}
		text, err := template.New(one.name).Option("missingkey=error").Parse(string(source))
		if err != nil {
			return nil, err
		}
		var content bytes.Buffer
		if err := text.Execute(&content, map[string]any{"Base": all.base, "Files": string(kept)}); err != nil {
			return nil, err
		}
		rendered["/"+one.name] = fixed{newAsset(one.kind, content.Bytes()), one.policy}
	}
	return rendered, nil
}

// keptFiles are what a device keeps to open every screen without a network: all but the licences.
func (a *assets) keptFiles() []string {
	kept := []string{}
	for _, name := range a.names {
		if path.Ext(name) != ".txt" {
			kept = append(kept, name)
		}
	}
	return kept
}
