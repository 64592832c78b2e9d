package strict

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// YAML fills into, a pointer, from the one document in data, up to MaxBytes. The error is Faults with every mistake found: broken
// syntax, fields the type has not, fields given twice, wrong types. Anchors, aliases, merge keys and tags are refused: a rule table
// must say what it means where it says it, and an alias can make a small file huge. The Document places faults of meaning that are
// found later; it is never nil.
func YAML(file string, data []byte, into any) (*Document, error) {
	document := &Document{file: file}
	root, body, err := readYAML(file, data)
	if err != nil {
		return document, asFaults(file, err)
	}
	document.root = root
	if faults := check(root, into, "yaml"); len(faults.List) > 0 {
		return document, document.Locate(faults)
	}
	if err := yaml.NodeToValue(body, into, yaml.Strict()); err != nil {
		return document, complaint(file, err)
	}
	return document, nil
}

// readYAML parses data and turns it into a tree of nodes; every guard stands before the step it protects. The library's parser is
// known to panic on some broken inputs; here that is one more way of being no YAML.
func readYAML(file string, data []byte) (root *node, body ast.Node, err error) {
	defer func() {
		if failed := recover(); failed != nil {
			root, body, err = nil, nil, located(file, 0, 0, "", "not valid YAML: it confuses the parser (%v)", failed)
		}
	}()
	if len(data) > MaxBytes {
		return nil, nil, located(file, 0, 0, "", "larger than %d bytes", MaxBytes)
	}
	if bad := invalidUTF8(data); bad >= 0 {
		return nil, nil, located(file, 1+strings.Count(string(data[:bad]), "\n"), 1, "", "not UTF-8 text: save the file as UTF-8")
	}
	tokens := lexer.Tokenize(string(data))
	if len(tokens) > maxTokens {
		return nil, nil, located(file, 0, 0, "", "more than %d words and signs: split it", maxTokens)
	}
	if err := guard(file, tokens); err != nil {
		return nil, nil, err
	}
	parsed, err := parser.Parse(tokens, 0)
	if err != nil {
		return nil, nil, complaint(file, err)
	}
	if len(parsed.Docs) > 1 {
		line, column := 0, 0
		if start := parsed.Docs[1].Start; start != nil {
			line, column = start.Position.Line, start.Position.Column
		}
		return nil, nil, located(file, line, column, "", "a second document: one file holds one document")
	}
	if len(parsed.Docs) == 0 || parsed.Docs[0].Body == nil {
		return nil, nil, located(file, 1, 1, "", "empty: expected a YAML document")
	}
	root, err = yamlNode(file, parsed.Docs[0].Body, "", 0)
	return root, parsed.Docs[0].Body, err
}

// guard refuses what could make the parser recurse without end, or one short file mean a huge document.
func guard(file string, tokens token.Tokens) error {
	flow, line, onLine := 0, 0, 0
	var columns []int
	for _, t := range tokens {
		if t.Position.Line != line {
			line, onLine = t.Position.Line, 0
			for len(columns) > 0 && columns[len(columns)-1] >= t.Position.Column {
				columns = columns[:len(columns)-1]
			}
			if flow == 0 {
				columns = append(columns, t.Position.Column)
			}
		}
		switch t.Type {
		case token.AnchorType, token.AliasType, token.MergeKeyType, token.TagType, token.DirectiveType:
			return located(file, t.Position.Line, t.Position.Column, "", "anchors, aliases, merge keys, tags and directives are not allowed: write it out")
		case token.MappingStartType, token.SequenceStartType:
			flow++
		case token.MappingEndType, token.SequenceEndType:
			flow--
		case token.SequenceEntryType, token.MappingKeyType:
			onLine++
		}
		if flow+onLine+len(columns) > maxDepth {
			return located(file, t.Position.Line, t.Position.Column, "", "nested more than %d deep", maxDepth)
		}
	}
	return nil
}

// yamlNode turns one parsed node into ours.
func yamlNode(file string, parsed ast.Node, path string, depth int) (*node, error) {
	position := parsed.GetToken().Position
	n := &node{line: position.Line, column: position.Column}
	if depth > maxDepth {
		return nil, located(file, n.line, n.column, path, "nested more than %d deep", maxDepth)
	}
	switch v := parsed.(type) {
	case *ast.NullNode:
		n.kind = null
	case *ast.BoolNode:
		n.kind = boolean
	case *ast.IntegerNode:
		n.kind, n.raw = number, strings.ReplaceAll(v.Token.Value, "_", "")
	case *ast.FloatNode:
		n.kind, n.raw = number, strings.ReplaceAll(v.Token.Value, "_", "")
	case *ast.StringNode, *ast.LiteralNode:
		n.kind = text
	case *ast.MappingNode:
		n.kind = mapping
		if len(v.Values) > 0 && !v.IsFlowStyle { // the library's own place for it is the first colon
			position = v.Values[0].Key.GetToken().Position
			n.line, n.column = position.Line, position.Column
		}
		for _, pair := range v.Values {
			if err := n.addPair(file, pair, path, depth); err != nil {
				return nil, err
			}
		}
	case *ast.MappingValueNode:
		n.kind = mapping
		position = v.Key.GetToken().Position
		n.line, n.column = position.Line, position.Column
		return n, n.addPair(file, v, path, depth)
	case *ast.SequenceNode:
		n.kind = list
		for i, item := range v.Values {
			child, err := yamlNode(file, item, fmt.Sprintf("%s[%d]", path, i), depth+1)
			if err != nil {
				return nil, err
			}
			n.items = append(n.items, child)
		}
	default:
		return nil, located(file, n.line, n.column, path, "%s is not allowed here", strings.ToLower(parsed.Type().YAMLName()))
	}
	return n, nil
}

// addPair adds one key with its value to a mapping.
func (n *node) addPair(file string, pair *ast.MappingValueNode, path string, depth int) error {
	key, isText := pair.Key.(*ast.StringNode)
	position := pair.Key.GetToken().Position
	if !isText {
		return located(file, position.Line, position.Column, path, "a field's name must be plain text")
	}
	value, err := yamlNode(file, pair.Value, joinPath(path, key.Value), depth+1)
	if err != nil {
		return err
	}
	n.fields = append(n.fields, field{name: key.Value, line: position.Line, column: position.Column, value: value})
	return nil
}

// complaint places an error of the YAML library.
func complaint(file string, err error) error {
	var placed yaml.Error
	if errors.As(err, &placed) && placed.GetToken() != nil && placed.GetToken().Position != nil {
		position := placed.GetToken().Position
		return located(file, position.Line, position.Column, "", "not valid YAML: %s", placed.GetMessage())
	}
	return located(file, 0, 0, "", "not valid YAML: %v", err)
}
