// Package web holds what the browser gets, as it lies in this folder, and serves it. There is no build step: the files are ES modules,
// style sheets and typefaces, served under one folder named by the hash of them all, so that they can be kept for ever. It knows nothing
// of the API it is served beside.
package web

import (
	"embed"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

// files is everything the browser may ask for. Tests, types and the vendor's notes stay out of what is served (see loadAssets).
//
//go:embed index.html sw.js manifest.webmanifest icon.svg icon-maskable.svg css js vendor
var files embed.FS

// Options is what the page needs to know of the place it is served in.
type Options struct {
	HTTPS bool // a proxy ends TLS in front: browsers are told never to come back without it
}

// Handler serves the application: GET and HEAD of the files under /a/HASH/, the service worker and the manifest, and index.html for every
// other path without a dot, because the addresses of screens are real ones and the browser's part routes them. Anything else is 404. It
// panics when the embedded files do not belong together, which a test excludes.
func Handler(opts Options) http.Handler {
	served, err := HandlerOf(files, opts)
	if err != nil {
		panic(err)
	}
	return served
}

// HandlerOf is Handler for the files of another build, as tests of an update need it. The error says what is missing in them.
func HandlerOf(from fs.FS, opts Options) (http.Handler, error) {
	assets, err := loadAssets(from)
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	page, err := newPage(from, assets)
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	fixed, err := newFixed(from, assets)
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	return &handler{opts: opts, assets: assets, page: page, fixed: fixed}, nil
}

type handler struct {
	opts   Options
	assets *assets
	page   *page
	fixed  map[string]fixed // by their path
}

func (h *handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "only GET and HEAD", http.StatusMethodNotAllowed)
		return
	}
	h.setCommonHeaders(w.Header())
	if one, known := h.fixed[r.URL.Path]; known {
		w.Header().Set("Cache-Control", "no-cache")
		w.Header().Set("Content-Security-Policy", one.policy)
		one.content.write(w, r)
		return
	}
	switch name, isAsset := strings.CutPrefix(r.URL.Path, h.assets.base+"/"); {
	case isAsset:
		h.serveAsset(w, r, name)
	case strings.Contains(path.Base(r.URL.Path), ".") || strings.HasPrefix(r.URL.Path, assetRoot):
		w.Header().Set("Cache-Control", "no-cache") // a page of an older version asks for files that are gone
		http.Error(w, "no such file", http.StatusNotFound)
	default:
		w.Header().Set("Cache-Control", "no-cache")
		w.Header().Set("Content-Security-Policy", h.page.policy)
		h.page.content.write(w, r)
	}
}

func (h *handler) serveAsset(w http.ResponseWriter, r *http.Request, name string) {
	asset, known := h.assets.byName[name]
	if !known {
		http.Error(w, "no such file", http.StatusNotFound)
		return
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	asset.write(w, r)
}

// setCommonHeaders tells the browser to trust nothing it was not told: no guessing of types, no framing, no address sent elsewhere.
func (h *handler) setCommonHeaders(header http.Header) {
	header.Set("X-Content-Type-Options", "nosniff")
	header.Set("Referrer-Policy", "same-origin")
	header.Set("Cross-Origin-Opener-Policy", "same-origin")
	header.Set("Cross-Origin-Resource-Policy", "same-origin")
	header.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
	if h.opts.HTTPS {
		header.Set("Strict-Transport-Security", "max-age=31536000")
	}
}
