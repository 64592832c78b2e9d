package api

import (
	"compress/gzip"
	"net/http"
	"path"
	"strconv"
	"strings"
)

// zipping compresses what the conduction model answers: long lists of numbers, 455 kB for an activation map and a quarter of that
// zipped. Nothing else is compressed: these answers hold nothing but what the caller sent and what the model makes of it, so their length
// betrays no secret.
func zipping(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ask := path.Base(r.URL.Path)
		if r.Method != http.MethodPost || ask != "activation" && ask != "conduction" {
			next.ServeHTTP(w, r)
			return
		}
		w.Header().Add("Vary", "Accept-Encoding")
		if !takesGzip(r.Header.Get("Accept-Encoding")) {
			next.ServeHTTP(w, r)
			return
		}
		zipped := &zipWriter{ResponseWriter: w}
		next.ServeHTTP(zipped, r)
		zipped.close()
	})
}

// takesGzip reads an Accept-Encoding header: gzip named, and not with the weight 0.
func takesGzip(header string) bool {
	for _, part := range strings.Split(header, ",") {
		coding, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.TrimSpace(coding) == "gzip" {
			value, err := strconv.ParseFloat(strings.TrimPrefix(strings.TrimSpace(weight), "q="), 64)
			return err != nil || value > 0
		}
	}
	return false
}

// zipWriter compresses an answer that succeeds; problems are short and pass as they are.
type zipWriter struct {
	http.ResponseWriter
	zip  *gzip.Writer // nil for what passes
	sent bool
}

// WriteHeader decides whether to compress.
func (w *zipWriter) WriteHeader(status int) {
	if !w.sent && status == http.StatusOK {
		w.Header().Set("Content-Encoding", "gzip")
		w.Header().Del("Content-Length")
		w.zip = gzip.NewWriter(w.ResponseWriter)
	}
	w.sent = true
	w.ResponseWriter.WriteHeader(status)
}

// Write sends the status 200 when none was.
func (w *zipWriter) Write(data []byte) (int, error) {
	if !w.sent {
		w.WriteHeader(http.StatusOK)
	}
	if w.zip == nil {
		return w.ResponseWriter.Write(data)
	}
	return w.zip.Write(data)
}

// Unwrap gives the writer underneath; http.ResponseController asks for it.
func (w *zipWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// close writes the rest. A failure means that the caller has gone.
func (w *zipWriter) close() {
	if w.zip != nil {
		_ = w.zip.Close()
	}
}
