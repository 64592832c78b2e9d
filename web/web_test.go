package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
)

// common is one handler for the tests that only read from it.
var common = sync.OnceValue(func() http.Handler { return Handler(Options{}) })

// ask sends one request; headers come in pairs.
func ask(t *testing.T, method, target string, header ...string) *http.Response {
	t.Helper()
	request := httptest.NewRequest(method, target, nil)
	for i := 0; i+1 < len(header); i += 2 {
		request.Header.Set(header[i], header[i+1])
	}
	recorder := httptest.NewRecorder()
	common().ServeHTTP(recorder, request)
	return recorder.Result()
}

func body(t *testing.T, response *http.Response) string {
	t.Helper()
	content, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

// address finds the folder all files are served under.
func address(t *testing.T) string {
	t.Helper()
	all, err := loadAssets(files)
	if err != nil {
		t.Fatal(err)
	}
	return all.base
}

func TestEveryAddressOfAScreenServesThePage(t *testing.T) {
	for _, target := range []string{"/", "/cases", "/cases/0197/sign-off", "/trainees/1/standing/biatrial-cases?on=2026-01-01"} {
		response := ask(t, http.MethodGet, target)
		if response.StatusCode != http.StatusOK || response.Header.Get("Cache-Control") != "no-cache" {
			t.Errorf("%s: %s, Cache-Control %q", target, response.Status, response.Header.Get("Cache-Control"))
		}
		if got := body(t, response); !strings.Contains(got, `<div id="app">`) {
			t.Errorf("%s does not serve the page", target)
		}
	}
}

func TestWhatIsNotThereIsNotFound(t *testing.T) {
	for _, target := range []string{"/favicon.ico", "/a/0000000000000000/js/main.js", address(t) + "/js/none.js", address(t) + "/vendor/SHA256SUMS", address(t) + "/index.html", "/robots.txt", "/a/x"} {
		if response := ask(t, http.MethodGet, target); response.StatusCode != http.StatusNotFound {
			t.Errorf("%s: %s, want 404", target, response.Status)
		}
	}
	if response := ask(t, http.MethodPost, "/"); response.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("POST /: %s, want 405", response.Status)
	}
}

func TestAssetsAreKeptForEverAndCompressed(t *testing.T) {
	target := address(t) + "/vendor/preact.mjs"
	plain := ask(t, http.MethodGet, target, "Accept-Encoding", "gzip;q=0, br")
	if got := plain.Header.Get("Content-Encoding"); got != "" {
		t.Errorf("Content-Encoding = %q for a browser that refuses gzip", got)
	}
	if got := plain.Header.Get("Content-Type"); !strings.HasPrefix(got, "text/javascript") {
		t.Errorf("Content-Type = %q", got)
	}
	zipped := ask(t, http.MethodGet, target, "Accept-Encoding", "br, gzip")
	if got := zipped.Header.Get("Content-Encoding"); got != "gzip" {
		t.Fatalf("Content-Encoding = %q, want gzip", got)
	}
	if got := zipped.Header.Get("Cache-Control"); !strings.Contains(got, "immutable") {
		t.Errorf("Cache-Control = %q", got)
	}
	reader, err := gzip.NewReader(zipped.Body)
	if err != nil {
		t.Fatal(err)
	}
	unzipped, err := io.ReadAll(reader)
	if err != nil || string(unzipped) != body(t, plain) {
		t.Errorf("the two forms differ (%v)", err)
	}
	if head := ask(t, http.MethodHead, target); body(t, head) != "" || head.Header.Get("Content-Length") == "" {
		t.Error("HEAD must give the length and no body")
	}
}

func TestHTTPSIsSaidOnlyWhereItIs(t *testing.T) {
	for _, https := range []bool{true, false} {
		recorder := httptest.NewRecorder()
		Handler(Options{HTTPS: https}).ServeHTTP(recorder, httptest.NewRequest(http.MethodGet, "/", nil))
		if got := recorder.Header().Get("Strict-Transport-Security") != ""; got != https {
			t.Errorf("HTTPS %v: Strict-Transport-Security set is %v", https, got)
		}
	}
}

// The policy allows nothing inline but the import map, whose hash is computed here from the page as a browser reads it.
func TestPolicyLetsExactlyThePageRun(t *testing.T) {
	response := ask(t, http.MethodGet, "/")
	policy, page := response.Header.Get("Content-Security-Policy"), body(t, response)
	if strings.Contains(policy, "unsafe") || strings.Contains(policy, "*") || strings.Contains(policy, "http") {
		t.Errorf("the policy is loose: %s", policy)
	}
	for _, part := range []string{"default-src 'self'", "object-src 'none'", "base-uri 'none'", "form-action 'self'", "frame-ancestors 'none'"} {
		if !strings.Contains(policy, part) {
			t.Errorf("the policy lacks %s", part)
		}
	}
	inline := regexp.MustCompile(`<script type="importmap">(.*?)</script>`).FindStringSubmatch(page)
	if inline == nil {
		t.Fatal("no import map in the page")
	}
	sum := sha256.Sum256([]byte(inline[1]))
	if want := "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"; !strings.Contains(policy, want) {
		t.Errorf("the policy does not name the import map: %s", policy)
	}
	for _, forbidden := range []string{"<style", " style=", " onclick=", "http://", "https://"} {
		if strings.Contains(page, forbidden) {
			t.Errorf("the page holds %q", forbidden)
		}
	}
}

// Every file the page, a module or a style sheet names is there.
func TestEveryFileReferencedExists(t *testing.T) {
	page := body(t, ask(t, http.MethodGet, "/"))
	for _, found := range regexp.MustCompile(`(?:href|src)="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		if response := ask(t, http.MethodGet, found[1]); response.StatusCode != http.StatusOK {
			t.Errorf("index.html names %s: %s", found[1], response.Status)
		}
	}
	imports := regexp.MustCompile(`(?m)(?:from|import) "([^"]+)";|url\("([^"]+)"\)`)
	eachFile(t, func(name, content string) {
		if strings.HasPrefix(name, "vendor/") {
			return
		}
		for _, found := range imports.FindAllStringSubmatch(content, -1) {
			target := found[1] + found[2]
			if _, bare := bareNames[target]; bare {
				continue
			}
			if _, err := fs.Stat(files, path.Join(path.Dir(name), target)); err != nil || !strings.HasPrefix(target, ".") {
				t.Errorf("%s names %s, which is not there", name, target)
			}
		}
	})
}

// Imports go down one list only, and lib/api.js is the only caller of fetch.
func TestBrowserModulesKeepTheirOrder(t *testing.T) {
	order := map[string]int{"js": 0, "js/pages": 1, "js/parts": 2, "js/model": 3, "js/acts": 4, "js/lib": 5}
	imports := regexp.MustCompile(`(?m)from "(\.[^"]+)";`)
	eachFile(t, func(name, content string) {
		rank, ours := order[path.Dir(name)]
		if !ours {
			return
		}
		for _, found := range imports.FindAllStringSubmatch(content, -1) {
			target := path.Dir(path.Join(path.Dir(name), found[1]))
			if order[target] < rank {
				t.Errorf("%s imports %s, which is above it", name, found[1])
			}
		}
		if strings.Contains(content, "fetch(") && name != "js/lib/api.js" {
			t.Errorf("%s calls fetch: lib/api.js is the only caller", name)
		}
		if lines := strings.Count(content, "\n"); lines > 300 {
			t.Errorf("%s has %d lines, at most 300", name, lines)
		}
	})
}

// The libraries are as published: their checksums hold, none is missing, and each has its licence.
func TestVendorChecksumsHold(t *testing.T) {
	sums, err := fs.ReadFile(files, "vendor/SHA256SUMS")
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(string(sums)), "\n") {
		sum, name, _ := strings.Cut(line, "  ")
		known["vendor/"+name] = sum
	}
	eachFile(t, func(name, content string) {
		if !strings.HasPrefix(name, "vendor/") || path.Base(name) == "SHA256SUMS" || path.Base(name) == "README.md" {
			return
		}
		sum := sha256.Sum256([]byte(content))
		if known[name] != hex.EncodeToString(sum[:]) {
			t.Errorf("%s is not the file SHA256SUMS names", name)
		}
		delete(known, name)
	})
	for name := range known {
		t.Errorf("SHA256SUMS names %s, which is not there", name)
	}
}

// A first load must stay small enough for a corridor's network: the page, the modules it needs to start, and everything that is no module.
func TestFirstLoadIsSmall(t *testing.T) {
	const most = 150 << 10
	page := ask(t, http.MethodGet, "/", "Accept-Encoding", "gzip")
	total, count := len(body(t, page)), 0
	all, err := loadAssets(files)
	if err != nil {
		t.Fatal(err)
	}
	first := all.firstModules()
	for name, a := range all.byName {
		module := path.Ext(name) == ".js" || path.Ext(name) == ".mjs"
		if path.Ext(name) == ".txt" || module && !slices.Contains(first, name) {
			continue // licences are for readers, the other modules come with the page that needs them
		}
		count++
		if a.zipped != nil {
			total += len(a.zipped)
		} else {
			total += len(a.plain)
		}
	}
	if total > most {
		t.Errorf("the first load is %d bytes, at most %d", total, most)
	}
	t.Logf("the first load is %.1f kB in %d of %d files", float64(total)/1024, count, len(all.names))
}

// A page that is opened later is not announced at the start, and the address it comes from exists.
func TestLaterPagesComeLater(t *testing.T) {
	all, err := loadAssets(files)
	if err != nil {
		t.Fatal(err)
	}
	first := all.firstModules()
	for _, name := range []string{"js/main.js", "js/lib/api.js", "vendor/preact.mjs", "vendor/signals-core.mjs"} {
		if !slices.Contains(first, name) {
			t.Errorf("%s is needed to start and not announced", name)
		}
	}
	later := regexp.MustCompile(`=> import\("([^"]+)"\)\.then`)
	eachFile(t, func(name, content string) {
		for _, found := range later.FindAllStringSubmatch(content, -1) {
			target := path.Join(path.Dir(name), found[1])
			if _, known := all.byName[target]; strings.HasPrefix(name, "js/") && (!known || slices.Contains(first, target)) {
				t.Errorf("%s opens %s later: it must exist (%t) and not be part of the first load", name, target, known)
			}
		}
	})
}

func TestTheSameFilesGiveTheSamePage(t *testing.T) {
	var pages [2]bytes.Buffer
	for i := range pages {
		recorder := httptest.NewRecorder()
		Handler(Options{}).ServeHTTP(recorder, httptest.NewRequest(http.MethodGet, "/", nil))
		pages[i] = *recorder.Body
	}
	if pages[0].String() != pages[1].String() {
		t.Error("the page differs from one start to the next")
	}
}

// eachFile visits every embedded file, as text.
func eachFile(t *testing.T, visit func(name, content string)) {
	t.Helper()
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		content, err := fs.ReadFile(files, name)
		if err == nil {
			visit(name, string(content))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
