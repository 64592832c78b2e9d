package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"testing"
)

// forbidTimeNow fails t for every call of time.Now, time.Since or time.Until in the file at path.
func forbidTimeNow(t *testing.T, path string) error {
	t.Helper()
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	ast.Inspect(file, func(node ast.Node) bool {
		selector, ok := node.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if pkg, ok := selector.X.(*ast.Ident); ok && pkg.Name == "time" {
			switch selector.Sel.Name {
			case "Now", "Since", "Until":
				t.Errorf("%s reads the clock: take it as an argument or from the injected clock", files.Position(selector.Pos()))
			}
		}
		return true
	})
	return nil
}
