package api

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"log/slog"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"
)

// readyTime is how long the database has to answer.
const readyTime = 2 * time.Second

// routeUndescribed adds what is no operation: whether the program lives, its description, and the pages that explain it. Everybody may
// read them; they hold nobody's data.
func (s *server) routeUndescribed(engine *gin.Engine) {
	engine.GET("/healthz", func(c *gin.Context) { c.String(http.StatusOK, "alive\n") })
	engine.GET("/readyz", s.ready)
	serve(engine, "/openapi.json", "application/json", s.description)
	serve(engine, "/docs", "text/html; charset=utf-8", s.reference)
	serve(engine, "/docs.css", "text/css; charset=utf-8", []byte(referenceCSS))
	engine.GET("/problems/:name", problemPage)
}

// ready says whether requests can be served: the database answers and is at this version.
func (s *server) ready(c *gin.Context) {
	ctx, cancel := context.WithTimeout(c.Request.Context(), readyTime)
	defer cancel()
	if err := s.Ready(ctx); err != nil {
		s.Logger.WarnContext(ctx, "not ready", slog.String("error", err.Error()))
		writeProblem(c.Writer, unavailable.problem(c.Request.Context(), "the database does not answer or is not at this version"))
		return
	}
	c.String(http.StatusOK, "ready\n")
}

// serve answers with bytes that never change while the program runs.
func serve(engine *gin.Engine, path, contentType string, body []byte) {
	sum := sha256.Sum256(body)
	tag := `"` + hex.EncodeToString(sum[:8]) + `"`
	answer := func(c *gin.Context) {
		c.Header("ETag", tag)
		c.Header("Cache-Control", "no-cache")
		if c.GetHeader("If-None-Match") == tag {
			c.Status(http.StatusNotModified)
			return
		}
		c.Data(http.StatusOK, contentType, body)
	}
	engine.GET(path, answer)
	engine.HEAD(path, answer)
}
