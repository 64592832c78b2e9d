package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"text/template"
)

// bareNames are the names modules import the libraries by.
var bareNames = map[string]string{
	"preact":               "vendor/preact.mjs",
	"preact/hooks":         "vendor/hooks.mjs",
	"htm":                  "vendor/htm.mjs",
	"@preact/signals":      "vendor/signals.mjs",
	"@preact/signals-core": "vendor/signals-core.mjs",
	"idb":                  "vendor/idb.mjs",
}

// page is index.html as sent, with the policy that lets exactly its own parts run.
type page struct {
	content asset
	policy  string
}

// newPage renders index.html. text/template and not html/template, which would spoil the JSON of the import map; nothing in it comes
// from a person. Every module of the first load is announced at once (modulepreload), so that a chain of imports costs no chain of
// journeys; pages opened later bring their own.
func newPage(from fs.FS, all *assets) (*page, error) {
	source, err := fs.ReadFile(from, "index.html")
	if err != nil {
		return nil, err
	}
	index, err := template.New("index.html").Option("missingkey=error").Parse(string(source))
	if err != nil {
		return nil, err
	}
	importMap, err := importMapFor(all)
	if err != nil {
		return nil, err
	}
	var rendered bytes.Buffer
	err = index.Execute(&rendered, map[string]any{
		"Base": all.base, "ImportMap": importMap, "Modules": all.firstModules(), "Styles": namesUnder(all, ".css"),
	})
	if err != nil {
		return nil, err
	}
	return &page{content: newAsset("text/html; charset=utf-8", rendered.Bytes()), policy: policyFor(importMap)}, nil
}

// importMapFor writes the import map; encoding/json sorts its keys, so the same files give the same page.
func importMapFor(all *assets) (string, error) {
	imports := map[string]string{}
	for bare, name := range bareNames {
		if _, known := all.byName[name]; !known {
			return "", fmt.Errorf("the import map names %s, which is not there", name)
		}
		imports[bare] = all.base + "/" + name
	}
	encoded, err := json.Marshal(map[string]any{"imports": imports})
	return string(encoded), err
}

// policyFor is the content security policy: everything from here and nothing inline but the import map, named by its hash.
func policyFor(importMap string) string {
	sum := sha256.Sum256([]byte(importMap))
	return strings.Join([]string{
		"default-src 'self'",
		"script-src 'self' 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'",
		"img-src 'self' blob:", // a chart becomes pixels through an address the page makes itself
		"object-src 'none'", "base-uri 'none'", "form-action 'self'", "frame-ancestors 'none'",
	}, "; ")
}

// staticImport finds what a module needs before it can run; import() is asked for later.
var staticImport = regexp.MustCompile(`(?m)(?:from|^import) ?"([^"]+)"`)

// firstModules lists the modules the page needs to start: js/main.js and all it imports, in order.
func (a *assets) firstModules() []string {
	needed := map[string]bool{}
	var need func(name string)
	need = func(name string) {
		if _, known := a.byName[name]; !known || needed[name] {
			return
		}
		needed[name] = true
		for _, found := range staticImport.FindAllSubmatch(a.byName[name].plain, -1) {
			target, bare := bareNames[string(found[1])]
			if !bare {
				target = path.Join(path.Dir(name), string(found[1]))
			}
			need(target)
		}
	}
	need("js/main.js")
	return slices.Sorted(maps.Keys(needed))
}

// namesUnder lists the files with one of the endings, in order.
func namesUnder(all *assets, endings ...string) []string {
	var names []string
	for _, name := range all.names {
		for _, ending := range endings {
			if strings.HasSuffix(name, ending) {
				names = append(names, name)
			}
		}
	}
	return names
}
