package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"
)

// assetRoot is the folder all files are served under, each version in a folder of its own.
const assetRoot = "/a/"

// asset is one file in the two forms it is sent in.
type asset struct {
	kind   string // media type
	plain  []byte
	zipped []byte // nil where gzip gains nothing
}

// assets is all files by their path in this folder, and the folder they are served under.
type assets struct {
	base   string // /a/HASH, no slash at the end
	byName map[string]asset
	names  []string // in order
}

// served reports whether the browser may have the file: no notes, no checksums, and index.html only as the rendered page.
func served(name string) bool {
	if name == "sw.js" { // rendered, under its own address (see newFixed)
		return false
	}
	switch path.Ext(name) {
	case ".css", ".js", ".mjs", ".svg", ".txt", ".woff2":
		return true
	}
	return false
}

// loadAssets reads every served file, compresses it once, and names their folder by the hash of all paths and contents: a change in
// any file changes every address, so relative imports keep working and nothing is ever stale.
func loadAssets(from fs.FS) (*assets, error) {
	if err := mime.AddExtensionType(".mjs", "text/javascript; charset=utf-8"); err != nil {
		return nil, err
	}
	loaded := &assets{byName: map[string]asset{}}
	sum := sha256.New()
	err := fs.WalkDir(from, ".", func(name string, entry fs.DirEntry, err error) error { // in lexical order
		if err != nil || entry.IsDir() || !served(name) {
			return err
		}
		content, err := fs.ReadFile(from, name)
		if err != nil {
			return err
		}
		fmt.Fprintf(sum, "%s %d\n", name, len(content))
		sum.Write(content)
		loaded.byName[name] = newAsset(mediaType(name), content)
		loaded.names = append(loaded.names, name)
		return nil
	})
	loaded.base = assetRoot + hex.EncodeToString(sum.Sum(nil))[:16]
	return loaded, err
}

// mediaType does not leave the types of scripts to the machine's own tables, which may lack them or name them otherwise.
func mediaType(name string) string {
	switch ext := path.Ext(name); ext {
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".woff2":
		return "font/woff2"
	default:
		return mime.TypeByExtension(ext)
	}
}

func newAsset(kind string, content []byte) asset {
	var zipped bytes.Buffer
	writer, _ := gzip.NewWriterLevel(&zipped, gzip.BestCompression) // the level is a valid constant
	writer.Write(content)                                           // a buffer takes everything
	writer.Close()
	a := asset{kind: kind, plain: content}
	if zipped.Len() < len(content)*9/10 {
		a.zipped = zipped.Bytes()
	}
	return a
}

// write sends the form the browser accepts.
func (a asset) write(w http.ResponseWriter, r *http.Request) {
	body := a.plain
	header := w.Header()
	header.Set("Content-Type", a.kind)
	if a.zipped != nil {
		header.Set("Vary", "Accept-Encoding")
		if acceptsGzip(r.Header.Get("Accept-Encoding")) {
			header.Set("Content-Encoding", "gzip")
			body = a.zipped
		}
	}
	header.Set("Content-Length", strconv.Itoa(len(body)))
	if r.Method == http.MethodHead {
		return
	}
	w.Write(body) // the browser may have gone; there is no one left to tell
}

// acceptsGzip reads an Accept-Encoding header: gzip named, and not with the weight 0.
func acceptsGzip(header string) bool {
	for _, part := range strings.Split(header, ",") {
		coding, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.TrimSpace(coding) == "gzip" {
			value, err := strconv.ParseFloat(strings.TrimPrefix(strings.TrimSpace(weight), "q="), 64)
			return err != nil || value > 0
		}
	}
	return false
}
