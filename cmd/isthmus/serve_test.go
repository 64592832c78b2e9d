package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"isthmus/api/store/storetest"
)

// TestAuditVerify: whoever changes the trail behind the program's back, past the database's own guards, is found out, and where.
func TestAuditVerify(t *testing.T) {
	tests := []struct {
		name, change string
		says         string
	}{
		{"an entry changed", "UPDATE audit_entries SET act = 'user.love' WHERE programme_id = '%s' AND seq = 3", "North: entry 3: the entry was changed after it was written"},
		{"another actor", "UPDATE audit_entries SET actor_id = 'x' WHERE programme_id = '%s' AND seq = 1", "North: entry 1: the entry was changed after it was written"},
		{"an entry removed", "DELETE FROM audit_entries WHERE programme_id = '%s' AND seq = 2", "North: entry 2: the entry is missing: 3 comes next"},
		{"the last entry removed", "DELETE FROM audit_entries WHERE programme_id = '%s' AND seq = 4", "North: entry 4: the last entries are missing: there were 4"},
		{"all removed", "DELETE FROM audit_entries WHERE programme_id = '%s'", "North: entry 1: the last entries are missing"},
		{"the head removed", "DELETE FROM audit_heads WHERE programme_id = '%s'", "North: entry 1: the head of the chain stands at 0"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
				programme := strings.TrimSpace(on.do(t, "programme", "add", "North"))
				on.do(t, "user", "add", "--email", "amara@example.org", "--name", "Amara Okafor", "--programme", programme, "--role", "director")
				on.do(t, "programme", "add", "South")
				if out := on.do(t, "audit", "verify"); strings.Count(out, "\n") != 3 || !strings.Contains(out, "North: 4 entries sound, head ") {
					t.Fatalf("sound:\n%s", out)
				}
				change := fmt.Sprintf(tt.change, programme)
				if err := on.change(t, change); err == nil || !strings.Contains(err.Error(), "append-only") {
					t.Errorf("the database lets it through: %v", err)
				}
				guards := []string{"DROP TRIGGER audit_entries_no_change ON audit_entries", "DROP TRIGGER audit_heads_no_change ON audit_heads"}
				if strings.HasPrefix(on.url, "sqlite:") {
					guards = []string{"DROP TRIGGER audit_entries_no_update", "DROP TRIGGER audit_entries_no_delete", "DROP TRIGGER audit_heads_no_delete"}
				}
				on.tamper(t, append(guards, change)...)
				code, out, errs := command(t, "audit", "verify", "--database", on.url)
				if code != 1 || !strings.Contains(out, tt.says) || !strings.Contains(out, "South: 2 entries sound") || errs != "isthmus: the records were changed from outside the program\n" {
					t.Errorf("exit %d, want 1 with %q\n%s%s", code, tt.says, out, errs)
				}
			})
		})
	}
}

// serving is a program that serves in this process.
type serving struct {
	base string
	stop context.CancelFunc
	code <-chan int
	errs *lockedBuffer
}

// lockedBuffer takes what the program's goroutines write.
type lockedBuffer struct {
	mu   sync.Mutex
	text strings.Builder
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.String()
}

// serve starts isthmus serve on a free port and waits until it says where.
func (on database) serve(t *testing.T, args ...string) serving {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	reader, writer := io.Pipe()
	code := make(chan int, 1)
	errs := &lockedBuffer{}
	go func() {
		defer writer.Close()
		code <- run(ctx, append([]string{"serve", "--listen", "127.0.0.1:0", "--database", on.url}, args...), nil, Streams{In: strings.NewReader(""), Out: writer, Err: errs})
	}()
	t.Cleanup(stop)
	lines := bufio.NewScanner(reader)
	for lines.Scan() {
		if base, found := strings.CutPrefix(lines.Text(), "Isthmus serves on "); found {
			go io.Copy(io.Discard, reader)
			return serving{base, stop, code, errs}
		}
	}
	stop()
	t.Fatalf("exit %d without serving\n%s", <-code, errs)
	return serving{}
}

func (s serving) get(t *testing.T, path string) (status int, body string) {
	t.Helper()
	response, err := http.Get(s.base + path)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	data, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return response.StatusCode, string(data)
}

// ended is the exit code once the program has ended, which must be soon.
func (s serving) ended(t *testing.T) int {
	t.Helper()
	select {
	case code := <-s.code:
		return code
	case <-time.After(graceful + 5*time.Second):
		t.Fatalf("does not end\n%s", s.errs)
		return -1
	}
}

func TestServe(t *testing.T) {
	eachDatabase(t, storetest.EmptyURL, func(t *testing.T, on database) {
		code, out, errs := command(t, "serve", "--listen", "127.0.0.1:0", "--database", on.url)
		if code != 1 || out != "" || !regexp.MustCompile(`lacks \d+ migrations: run isthmus migrate up`).MatchString(errs) {
			t.Fatalf("on a database that is behind: exit %d\n%s%s", code, out, errs)
		}
		server := on.serve(t, "--migrate")
		if strings.HasSuffix(server.base, ":0") || !strings.HasPrefix(server.base, "http://127.0.0.1:") {
			t.Errorf("serves on %s", server.base)
		}
		for path, want := range map[string]int{"/healthz": 200, "/readyz": 200, "/": 200, "/openapi.json": 200, "/api/session": 401} {
			if got, body := server.get(t, path); got != want {
				t.Errorf("%s: %d, want %d\n%s", path, got, want, body)
			}
		}
		on.do(t, "migrate", "down", "--to", "4", "--lose-the-data")
		if got, body := server.get(t, "/readyz"); got != http.StatusServiceUnavailable {
			t.Errorf("ready without its tables: %d\n%s", got, body)
		}
		if got, _ := server.get(t, "/healthz"); got != http.StatusOK {
			t.Errorf("alive: %d", got)
		}
		server.stop()
		if code := server.ended(t); code != 0 {
			t.Errorf("exit %d\n%s", code, server.errs)
		}
		if _, err := http.Get(server.base + "/healthz"); err == nil {
			t.Error("answers after its end")
		}
	})
}

// TestGracefulStop: a request that runs when the interrupt comes gets its answer, and a new one is not taken.
func TestGracefulStop(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	began, finish := make(chan struct{}), make(chan struct{})
	handler := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		close(began)
		<-finish
		io.WriteString(w, "whole")
	})
	address, ended, answered := make(chan string, 1), make(chan error, 1), make(chan string, 1)
	go func() {
		ended <- listenAndServe(ctx, "127.0.0.1:0", handler, slog.New(slog.DiscardHandler), func(at string) { address <- at })
	}()
	base := "http://" + <-address
	go func() {
		response, err := http.Get(base)
		if err != nil {
			answered <- err.Error()
			return
		}
		defer response.Body.Close()
		data, _ := io.ReadAll(response.Body)
		answered <- string(data)
	}()
	<-began
	stop()
	for deadline := time.Now().Add(10 * time.Second); ; time.Sleep(5 * time.Millisecond) { // until the listener is closed
		connection, err := net.Dial("tcp", strings.TrimPrefix(base, "http://"))
		if err != nil {
			break
		}
		connection.Close()
		if time.Now().After(deadline) {
			t.Fatal("takes new requests after the interrupt")
		}
	}
	select {
	case err := <-ended:
		t.Fatalf("ended with a request running: %v", err)
	default:
	}
	close(finish)
	if got, err := <-answered, <-ended; got != "whole" || err != nil {
		t.Errorf("the running request got %q; %v", got, err)
	}
}

// TestAddressInUse: a second program on the same address says so.
func TestAddressInUse(t *testing.T) {
	on := database{storetest.URL(t, storetest.Dialects[0])}
	server := on.serve(t)
	address := strings.TrimPrefix(server.base, "http://")
	on.refuse(t, "cannot listen on "+address, "serve", "--listen", address)
	server.stop()
	if code := server.ended(t); code != 0 {
		t.Errorf("exit %d\n%s", code, server.errs)
	}
}
