package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// rule says what one package may import: of ours, and beyond the standard library. An entry ending in /... allows a whole tree.
type rule struct {
	ours    []string
	outside []string
}

// importRules is the architecture: a package without a row is an error, and so is an import its row does not allow. Test files may
// import more (see testOnly), because they look at the program from outside.
var importRules = map[string]rule{
	"assessment/strict":   {nil, []string{"github.com/goccy/go-yaml/..."}},
	"assessment/af":       {[]string{"assessment/strict"}, nil},
	"assessment/atrium":   {[]string{"assessment/strict"}, []string{"gonum.org/v1/gonum/..."}},
	"assessment":          {[]string{"assessment/strict", "assessment/af", "assessment/atrium"}, []string{"gonum.org/v1/gonum/..."}},
	"assessment/pack":     {[]string{"assessment", "assessment/strict", "assessment/af", "assessment/atrium"}, nil},
	"assessment/qti":      {[]string{"assessment", "assessment/question", "assessment/strict"}, nil},
	"assessment/question": {[]string{"assessment", "assessment/strict", "assessment/atrium"}, nil},
	"competency/interval": {nil, []string{"gonum.org/v1/gonum/..."}},
	"competency/pace":     {nil, []string{"gonum.org/v1/gonum/..."}},
	"competency/curve":    {nil, []string{"gonum.org/v1/gonum/..."}},
	"competency/survival": {nil, []string{"gonum.org/v1/gonum/..."}},
	"competency/funnel":   {nil, []string{"gonum.org/v1/gonum/..."}},
	"competency/rating":   {nil, []string{"gonum.org/v1/gonum/..."}},
	"competency/item":     {nil, []string{"gonum.org/v1/gonum/..."}},

	"assessment/question/sheet":     {[]string{"assessment", "assessment/question", "assessment/strict"}, nil},
	"competency/internal/published": {nil, nil},
	"competency/panel":              {[]string{"competency", "competency/item", "assessment/strict"}, []string{"gonum.org/v1/gonum/..."}},
	"competency/roster":             {[]string{"competency"}, nil},
	"competency/xapi":               {[]string{"competency"}, []string{"github.com/google/uuid"}},
	"competency/fhir":               {[]string{"competency", "assessment/af", "assessment/atrium"}, []string{"github.com/google/uuid"}},
	"competency/simulate":           {[]string{"competency", "competency/interval", "competency/curve", "assessment/strict", "assessment/af", "assessment/atrium"}, nil},
	"competency/outcome":            {[]string{"competency", "competency/interval", "competency/survival", "competency/funnel", "competency/curve", "assessment/af", "assessment/atrium"}, []string{"gonum.org/v1/gonum/..."}},
	"competency/casefile":           {[]string{"competency", "assessment/atrium", "assessment/strict"}, []string{"github.com/xuri/excelize/v2"}},
	"competency":                    {[]string{"competency/...", "assessment/strict", "assessment/af", "assessment/atrium"}, nil},
	"policies":                      {nil, []string{"github.com/casbin/casbin/v2/..."}},
	"migrations":                    {nil, []string{"github.com/pressly/goose/v3/..."}},
	"api/store":                     {[]string{"competency", "competency/outcome", "competency/panel", "assessment/...", "migrations"}, []string{"gorm.io/...", "github.com/libtnb/sqlite", "github.com/jackc/pgx/v5/..."}},
	"api/store/storetest":           {[]string{"api/needs", "api/store", "assessment/question", "competency", "migrations"}, []string{"github.com/jackc/pgx/v5/..."}},
	"api/signin":                    {[]string{"competency", "api/store"}, []string{"github.com/alexedwards/...", "github.com/google/uuid"}},
	"api/chart":                     {nil, nil},
	"api/mail":                      {nil, nil},
	"api/lrs":                       {nil, nil},
	"api/needs":                     {nil, nil},
	"api/report":                    {[]string{"api/chart", "competency/casefile"}, []string{"codeberg.org/go-pdf/fpdf", "golang.org/x/image/font/...", "github.com/xuri/excelize/v2"}},
	"api/service":                   {[]string{"competency/...", "assessment/...", "policies", "api/store", "api/signin", "api/chart", "api/mail", "api/lrs", "api/report"}, []string{"github.com/google/uuid"}},
	"api":                           {[]string{"competency/...", "assessment/...", "policies", "api/..."}, []string{"github.com/gin-gonic/gin/...", "github.com/danielgtaylor/huma/v2/...", "github.com/google/uuid", "github.com/alexedwards/scs/v2/..."}},
	"web":                           {nil, nil},
	"cmd/isthmus":                   {[]string{"..."}, []string{"github.com/alecthomas/kong/...", "github.com/google/uuid", "golang.org/x/term"}},
}

// testOnly may be imported by test files anywhere.
var testOnly = []string{"pgregory.net/rapid", "github.com/xuri/excelize/v2", "github.com/google/go-cmp/...", "github.com/chromedp/...", "gonum.org/v1/gonum/..."}

// TestImports parses every file in this process: a test that ran the go command would be cached and miss a breach.
func TestImports(t *testing.T) {
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() {
			if name := entry.Name(); path != root && (strings.HasPrefix(name, ".") || name == "vendor" || name == "testdata") {
				return fs.SkipDir
			}
			return nil
		}
		if filepath.Ext(path) == ".go" {
			checkImports(t, root, path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func checkImports(t *testing.T, root, path string) {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	dir, _ := filepath.Rel(root, filepath.Dir(path))
	allowed, known := importRules[filepath.ToSlash(dir)]
	if !known {
		t.Errorf("%s: package %s has no row in importRules", path, dir)
		return
	}
	isTest := strings.HasSuffix(path, "_test.go")
	for _, spec := range file.Imports {
		name := strings.Trim(spec.Path.Value, `"`)
		ours, isOurs := strings.CutPrefix(name, "isthmus/")
		switch {
		case isOurs && (matches(allowed.ours, ours) || isTest):
		case !isOurs && !strings.Contains(strings.SplitN(name, "/", 2)[0], "."): // standard library
		case !isOurs && (matches(allowed.outside, name) || isTest && matches(testOnly, name)):
		default:
			t.Errorf("%s imports %s, which the rule for %s does not allow", path, name, dir)
		}
	}
}

// matches reports whether name is one of patterns; a pattern ending in ... is a prefix.
func matches(patterns []string, name string) bool {
	return slices.ContainsFunc(patterns, func(pattern string) bool {
		tree, isTree := strings.CutSuffix(pattern, "...")
		return pattern == name || isTree && (strings.HasPrefix(name, tree) || name+"/" == tree)
	})
}

// TestClockIsInjected keeps time.Now out of everything but the command: a verdict must follow from its inputs.
func TestClockIsInjected(t *testing.T) {
	root := filepath.Join("..", "..")
	for _, tree := range []string{"assessment", "competency", "api", "policies", "migrations", "web"} {
		err := filepath.WalkDir(filepath.Join(root, tree), func(path string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") || strings.Contains(path, "storetest") {
				return err
			}
			return forbidTimeNow(t, path)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
