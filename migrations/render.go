package migrations

import (
	"bytes"
	"embed"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"text/template"
)

// files are the numbered templates: one set for both databases.
//
//go:embed *.sql
var files embed.FS

// words are the types a template names, as each database has them. Ids, days and other words that are compared or ordered are text
// ordered by byte on both, whatever the PostgreSQL server's language. JSON keeps its text as written, so that hashes of it hold.
var words = map[Dialect]map[string]string{
	SQLite: {
		"id": "text", "time": "timestamp", "json": "text", "bytes": "blob", "real": "real", "serial": "integer PRIMARY KEY AUTOINCREMENT",
	},
	PostgreSQL: {
		"id": `text COLLATE "C"`, "time": "timestamp with time zone", "json": "json", "bytes": "bytea", "real": "double precision",
		"serial": "bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY",
	},
}

// render gives the templates as SQL for one database.
func render(dialect Dialect) (fs.FS, error) {
	known, ok := words[dialect]
	if !ok {
		return nil, fmt.Errorf("migrations: unknown database %q", dialect)
	}
	functions := guards(dialect)
	for name, text := range known {
		functions[name] = func() string { return text }
	}
	names, err := fs.Glob(files, "*.sql")
	if err != nil {
		return nil, err
	}
	texts := make(map[string]string, len(names))
	for _, name := range names {
		source, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		parsed, err := template.New(name).Funcs(functions).Option("missingkey=error").Parse(string(source))
		if err != nil {
			return nil, fmt.Errorf("migrations: %w", err)
		}
		var sql bytes.Buffer
		if err := parsed.Execute(&sql, nil); err != nil {
			return nil, fmt.Errorf("migrations: %w", err)
		}
		texts[name] = sql.String()
	}
	return renderedFS{folder: files, texts: texts}, nil
}

// renderedFS is the folder of templates whose files read as their rendered text.
type renderedFS struct {
	folder fs.FS
	texts  map[string]string
}

// Open opens the folder itself or one rendered file.
func (r renderedFS) Open(name string) (fs.File, error) {
	file, err := r.folder.Open(name)
	if text, ok := r.texts[name]; ok && err == nil {
		return renderedFile{File: file, text: strings.NewReader(text)}, nil
	}
	return file, err
}

// renderedFile is a template file that reads as its rendered text.
type renderedFile struct {
	fs.File
	text io.Reader
}

// Read reads the rendered text.
func (f renderedFile) Read(into []byte) (int, error) { return f.text.Read(into) }
