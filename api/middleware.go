package api

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"runtime/debug"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/gin-gonic/gin"

	"isthmus/competency"
)

// Limits of every request.
const (
	maxBody     = 1 << 20          // bytes; huma answers 413 at this size
	maxFileBody = 28 << 20         // of a request with a file of cases, which are 20 MB at most and a third more in a body
	requestTime = 20 * time.Second // from the first byte of the body to the answer
)

// chain puts what every request passes through round the router: outermost first.
func (s *server) chain(engine *gin.Engine) http.Handler {
	protection := http.NewCrossOriginProtection()
	protection.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		writeProblem(w, crossOrigin.problem(r.Context(), "a write must come from this site's own pages"))
	}))
	ours := s.readable(protection.Handler(s.limits(s.gate.Sessions(zipping(engine)))))
	return s.observe(s.recovering(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		setHeaders(w.Header())
		if isOurs(r.URL.Path) {
			ours.ServeHTTP(w, r)
			return
		}
		s.Web.ServeHTTP(w, r)
	})))
}

// isOurs reports whether a path is the API's and not the web application's.
func isOurs(p string) bool {
	switch p {
	case "/api", "/openapi.json", "/docs", "/docs.css", "/problems", "/healthz", "/readyz":
		return true
	}
	return strings.HasPrefix(p, "/api/") || strings.HasPrefix(p, "/problems/")
}

// setHeaders tells the browser to trust nothing it was not told. The web application sets a policy of its own for its pages.
func setHeaders(header http.Header) {
	header.Set("X-Content-Type-Options", "nosniff")
	header.Set("X-Frame-Options", "DENY")
	header.Set("Referrer-Policy", "same-origin")
	header.Set("Cross-Origin-Opener-Policy", "same-origin")
	header.Set("Cross-Origin-Resource-Policy", "same-origin")
	header.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
}

// passage is what is known of a request while it is on its way; it is logged at the end.
type passage struct {
	requestID string
	route     string              // the template, never the path: that holds ids
	person    competency.PersonID // who calls, once known
}

type passageKey struct{}

func passageOf(ctx context.Context) *passage {
	known, _ := ctx.Value(passageKey{}).(*passage)
	if known == nil {
		return &passage{}
	}
	return known
}

// requestID names the request in answers, log and audit trail.
func requestID(ctx context.Context) string { return passageOf(ctx).requestID }

func noteCaller(ctx context.Context, person competency.PersonID) { passageOf(ctx).person = person }

// observe gives every request its id and logs it once at the end: no path, no query, no name, no text of a user.
func (s *server) observe(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		way := &passage{requestID: s.NewID(), route: "(web)"}
		w.Header().Set("X-Request-ID", way.requestID)
		seen := &statusWriter{ResponseWriter: w, status: http.StatusOK}
		start := s.Clock()
		ctx := context.WithValue(r.Context(), passageKey{}, way)
		next.ServeHTTP(seen, r.WithContext(ctx))
		level := slog.LevelInfo
		if way.route == "(web)" || way.route == "/healthz" || way.route == "/readyz" {
			level = slog.LevelDebug
		}
		s.Logger.LogAttrs(ctx, level, "request", slog.String("method", method(r.Method)), slog.String("route", way.route),
			slog.Int("status", seen.status), slog.Int64("microseconds", s.Clock().Sub(start).Microseconds()),
			slog.String("request_id", way.requestID), slog.String("person", string(way.person)))
	})
}

// method keeps made-up methods out of the log.
func method(name string) string {
	switch name {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return name
	}
	return "other"
}

// statusWriter remembers the status.
type statusWriter struct {
	http.ResponseWriter
	status int
	sent   bool
}

// WriteHeader remembers the first status.
func (w *statusWriter) WriteHeader(status int) {
	if !w.sent {
		w.status, w.sent = status, true
	}
	w.ResponseWriter.WriteHeader(status)
}

// Write sends the status 200 when none was.
func (w *statusWriter) Write(data []byte) (int, error) {
	w.sent = true
	return w.ResponseWriter.Write(data)
}

// Unwrap gives the writer underneath; http.ResponseController asks for it.
func (w *statusWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// recovering turns a panic into a problem; the log has where it was, and what the panic said.
func (s *server) recovering(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			cause := recover()
			if cause == nil {
				return
			}
			if cause == http.ErrAbortHandler { // the server's own way to break off a request
				panic(cause)
			}
			s.Logger.Error("panic", slog.String("request_id", requestID(r.Context())), slog.String("cause", fmt.Sprint(cause)), slog.String("stack", string(debug.Stack())))
			if seen, ok := w.(*statusWriter); !ok || !seen.sent {
				writeProblem(w, internal.problem(r.Context(), internal.says))
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// readable refuses addresses that hold no text: PostgreSQL could not even compare them.
func (s *server) readable(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		query, err := url.QueryUnescape(r.URL.RawQuery)
		if text := r.URL.Path + query; err != nil || !utf8.ValidString(text) || strings.ContainsRune(text, 0) {
			writeProblem(w, malformed.problem(r.Context(), "the address holds characters that belong in no address"))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// limits bounds the body and the time of a request.
func (s *server) limits(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ctx, cancel := context.WithTimeout(r.Context(), requestTime)
		defer cancel()
		r = r.WithContext(ctx)
		r.Body = http.MaxBytesReader(w, r.Body, s.bodyLimit(r)+1)
		w.Header().Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// bodyLimit is how large the body of a request may be: as large as the operation at this address says, where it says anything.
func (s *server) bodyLimit(r *http.Request) int64 {
	if of, found := strings.CutPrefix(r.URL.Path, "/api/programmes/"); found && r.Method == http.MethodPost {
		_, path, _ := strings.Cut(of, "/")
		if most, large := s.large["/"+path]; large {
			return most
		}
	}
	return maxBody
}

// failed answers when the session could not be loaded or saved.
func (s *server) failed(w http.ResponseWriter, r *http.Request, err error) {
	s.Logger.Error("session", slog.String("request_id", requestID(r.Context())), slog.String("error", err.Error()))
	writeProblem(w, unavailable.problem(r.Context(), unavailable.says))
}

// newEngine is a router that answers in problems. It trusts a proxy on this machine, and no other, with the caller's address.
func newEngine() *gin.Engine {
	engine := gin.New()
	engine.HandleMethodNotAllowed = true
	engine.RedirectTrailingSlash = false
	if err := engine.SetTrustedProxies([]string{"127.0.0.1", "::1"}); err != nil {
		panic("api: " + err.Error()) // the two addresses above are not addresses
	}
	engine.Use(func(c *gin.Context) {
		way := passageOf(c.Request.Context())
		if way.route = c.FullPath(); way.route == "" {
			way.route = "(none)"
		}
	})
	engine.NoRoute(func(c *gin.Context) {
		writeProblem(c.Writer, notFound.problem(c.Request.Context(), "there is no such address"))
	})
	engine.NoMethod(func(c *gin.Context) {
		writeProblem(c.Writer, wrongMethod.problem(c.Request.Context(), "the address does not take this method"))
	})
	return engine
}
