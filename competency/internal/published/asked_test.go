package published

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestEveryCaseIsAsked fails for a case of the file that no test of the tree asks for by its id.
func TestEveryCaseIsAsked(t *testing.T) {
	asked := map[string]bool{}
	root := filepath.Dir(filepath.Dir(find(t)))
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && (strings.HasPrefix(entry.Name(), ".") && path != root || entry.Name() == "testdata" || entry.Name() == "node_modules"):
			return fs.SkipDir
		case !strings.HasSuffix(path, "_test.go"):
			return nil
		}
		return askedIn(path, asked)
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range IDs(t) {
		if !asked[id] {
			t.Errorf("no test asks for %s", id)
		}
	}
}

// askedIn notes the literal ids in a file's calls of this package.
func askedIn(path string, asked map[string]bool) error {
	source, err := os.ReadFile(path)
	if err != nil || !bytes.Contains(source, []byte("published.")) {
		return err
	}
	file, err := parser.ParseFile(token.NewFileSet(), path, source, 0)
	if err != nil {
		return err
	}
	ast.Inspect(file, func(node ast.Node) bool {
		call, is := node.(*ast.CallExpr)
		if !is {
			return true
		}
		if fun, is := call.Fun.(*ast.SelectorExpr); is {
			if of, is := fun.X.(*ast.Ident); is && of.Name == "published" {
				for _, argument := range call.Args {
					if literal, is := argument.(*ast.BasicLit); is && literal.Kind == token.STRING {
						id, _ := strconv.Unquote(literal.Value) // the parser has read it
						asked[id] = true
					}
				}
			}
		}
		return true
	})
	return nil
}
