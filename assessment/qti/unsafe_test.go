package qti_test

import (
	"archive/zip"
	"bytes"
	"io/fs"
	"strings"
	"testing"

	"isthmus/assessment/qti"
	"isthmus/assessment/question"

	"github.com/google/go-cmp/cmp"
)

// TestUnsafeXML: a document type, an entity of whatever sort and anything that grows are refused before they mean anything.
func TestUnsafeXML(t *testing.T) {
	body := strings.TrimPrefix(elsewhere["single"], `<?xml version="1.0" encoding="UTF-8"?>`)
	tests := []struct{ name, text, says string }{
		{"document type", `<!DOCTYPE qti-assessment-item>` + body, "document type"},
		{"external entity", `<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>` + strings.Replace(body, "A bowline", "&e;", 1), "document type"},
		{"external document type", `<!DOCTYPE x SYSTEM "http://example.org/x.dtd">` + body, "document type"},
		{"expansion", `<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>` + strings.Replace(body, "A bowline", "&b;", 1), "document type"},
		{"parameter entity", `<!DOCTYPE x [<!ENTITY % p SYSTEM "http://example.org/p"> %p;]>` + body, "document type"},
		{"entity without a type", strings.Replace(body, "A bowline", "&nbsp;", 1), "entity"},
		{"inclusion", strings.Replace(body, "A bowline", `<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="file:///etc/passwd"/>`, 1), "p/include: cannot be kept"},
		{"nesting", strings.Replace(body, "A bowline", strings.Repeat("<b>", 100)+"A bowline"+strings.Repeat("</b>", 100), 1), "deeper than 64"},
		{"elements", strings.Replace(body, "A bowline", strings.Repeat("<br/>", 30_000), 1), "more than 20000 elements"},
		{"options", strings.Replace(body, "</qti-prompt>", "</qti-prompt>"+strings.Repeat("<qti-simple-choice/>", 10_000), 1), "too many"},
		{"long names", strings.Replace(body, "A bowline", "<"+strings.Repeat("a", 200_000)+"/>", 1), "cannot be kept"},
		{"size", strings.Replace(body, "A bowline", strings.Repeat("A bowline", 200_000), 1), "larger than"},
		{"attribute twice", strings.Replace(body, `title="Knots"`, `title="Knots" title="x"`, 1), "attribute twice"},
		{"attributes", strings.Replace(body, "<p>", "<p"+strings.Repeat(` x=""`, 100_000)+">", 1), "more than 100 attributes"},
		{"second root", body + "<x/>", "second root"},
		{"cut off", body[:len(body)/2], "is no XML"},
		{"other encoding", `<?xml version="1.0" encoding="UTF-16"?>` + body, "is no XML"},
		{"not UTF-8", strings.Replace(body, "A bowline", "A \xff", 1), "is no XML"},
		{"nothing", "", "holds no XML element"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := qti.Import("x.xml", []byte(tt.text))
			if err == nil || !strings.Contains(err.Error(), tt.says) || !strings.HasPrefix(err.Error(), "x.xml:") || len(got.Items) > 0 {
				t.Errorf("want %q in\n%v", tt.says, err)
			}
		})
	}
}

// TestUnsafePackage: no name leads out of the package, nothing unpacks without end; a package with one such file is not opened.
func TestUnsafePackage(t *testing.T) {
	good := []file{{"imsmanifest.xml", manifest("a.xml")}, {"a.xml", elsewhere["single"]}}
	tests := []struct {
		name, says string
		more       []file
	}{
		{"step up", "leads out", []file{{"../evil.xml", "x"}}},
		{"step up within", "leads out", []file{{"items/../../evil.xml", "x"}}},
		{"absolute", "leads out", []file{{"/etc/evil", "x"}}},
		{"backslash", "leads out", []file{{`..\evil.xml`, "x"}}},
		{"drive", "leads out", []file{{`C:evil.xml`, "x"}}},
		{"twice", "in the package twice", []file{{"a.xml", "x"}}},
		{"ratio", "200 times", []file{{"b.xml", strings.Repeat("a", 1<<20)}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := qti.Import("p.zip", pack(t, append(good, tt.more...)...))
			if err == nil || !strings.Contains(err.Error(), tt.says) || len(got.Items) > 0 {
				t.Errorf("want %q in\n%v", tt.says, err)
			}
		})
	}
	if got, err := qti.Import("p.zip", pack(t, good...)); err != nil || len(got.Items) != 1 {
		t.Errorf("the good package: %v", err)
	}
	t.Run("link", func(t *testing.T) {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		header := &zip.FileHeader{Name: "imsmanifest.xml"}
		header.SetMode(fs.ModeSymlink | 0o777)
		entry, err := w.CreateHeader(header)
		if err != nil {
			t.Fatal(err)
		}
		entry.Write([]byte("/etc/passwd"))
		w.Close()
		if _, err := qti.Import("p.zip", out.Bytes()); err == nil || !strings.Contains(err.Error(), "link") {
			t.Error(err)
		}
	})
	t.Run("sizes that lie", func(t *testing.T) {
		data := pack(t, file{"imsmanifest.xml", manifest("a.xml")}, file{"a.xml", strings.Replace(elsewhere["single"], "A bowline", strings.Repeat("A bowline ", 9000), 1)})
		central := bytes.LastIndex(data, []byte("PK\x01\x02"))
		copy(data[central+24:], []byte{10, 0, 0, 0}) // the uncompressed size of the last file, as the directory tells it
		if got, err := qti.Import("p.zip", data); err == nil || !strings.Contains(err.Error(), "unpacks to more than") && !strings.Contains(err.Error(), "cannot be unpacked") || len(got.Items) > 0 {
			t.Errorf("%v, read: %v", err, got.Items)
		}
	})
	t.Run("too large", func(t *testing.T) {
		if _, err := qti.Import("p.zip", append([]byte("PK\x03\x04"), make([]byte, qti.MaxBytes)...)); err == nil || !strings.Contains(err.Error(), "larger than 20 MB") {
			t.Error(err)
		}
	})
}

// checkImport: whatever the bytes, the items that come out are valid, and they return when sent again.
func checkImport(t *testing.T, data []byte) {
	got, _ := qti.Import("f", data)
	for _, it := range got.Items {
		if err := it.Validate().Err(); err != nil {
			t.Fatal(err)
		}
	}
	p, err := qti.Export(got.Items)
	if err != nil || len(p.LeftOut) > 0 {
		t.Fatal(err, p.LeftOut)
	}
	if len(got.Items) == 0 {
		return
	}
	again, err := qti.Import("g", p.Data)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(got.Items, again.Items); diff != "" {
		t.Fatal(diff)
	}
}

func FuzzImportItem(f *testing.F) {
	for _, text := range elsewhere {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if !bytes.HasPrefix(data, []byte("PK")) {
			checkImport(t, data)
		}
	})
}

func FuzzImportPackage(f *testing.F) {
	p, err := qti.Export(question.Starter().Items()[:6])
	if err != nil {
		f.Fatal(err)
	}
	f.Add(p.Data)
	f.Add(pack(f, file{"imsmanifest.xml", manifest("a.xml")}, file{"a.xml", elsewhere["number"]}))
	f.Fuzz(func(t *testing.T, data []byte) {
		checkImport(t, append([]byte("PK"), bytes.TrimPrefix(data, []byte("PK"))...))
	})
}
