package main

import (
	"bytes"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// browser is somebody who signs in to the whole program, assembled on a test's database.
type browser struct {
	t      *testing.T
	base   string
	client *http.Client
}

func (on database) browser(t *testing.T) *browser {
	t.Helper()
	config := Config{Database: on.url, Cookies: "plain", Idle: time.Hour, SignedIn: time.Hour}
	program, err := assemble(t.Context(), config, wallClock, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(program.handler)
	t.Cleanup(func() { server.Close(); program.close() })
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &browser{t, server.URL, &http.Client{Jar: jar}}
}

// signIn gives the status of a sign-in.
func (b *browser) signIn(email, password string) int {
	b.t.Helper()
	body, err := json.Marshal(map[string]string{"email": email, "password": password})
	if err != nil {
		b.t.Fatal(err)
	}
	return b.status(b.client.Post(b.base+"/api/session", "application/json", bytes.NewReader(body)))
}

// session is the status of asking who is signed in.
func (b *browser) session() int {
	b.t.Helper()
	return b.status(b.client.Get(b.base + "/api/session"))
}

// token makes a bearer token of the signed-in person.
func (b *browser) token() string {
	b.t.Helper()
	response, err := b.client.Post(b.base+"/api/tokens", "application/json", strings.NewReader(`{"name": "reports", "expires_in_days": 30}`))
	if err != nil {
		b.t.Fatal(err)
	}
	defer response.Body.Close()
	var made struct {
		Token string `json:"token"`
	}
	if err := json.NewDecoder(response.Body).Decode(&made); err != nil || made.Token == "" {
		b.t.Fatalf("no token: status %d, %v", response.StatusCode, err)
	}
	return made.Token
}

// withToken is the status of asking who a token belongs to, without a cookie.
func (b *browser) withToken(token string) int {
	b.t.Helper()
	request, err := http.NewRequestWithContext(b.t.Context(), http.MethodGet, b.base+"/api/session", nil)
	if err != nil {
		b.t.Fatal(err)
	}
	request.Header.Set("Authorization", "Bearer "+token)
	return b.status(http.DefaultClient.Do(request))
}

func (b *browser) status(response *http.Response, err error) int {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	response.Body.Close()
	return response.StatusCode
}

// shownOnce takes the generated password from what a command printed.
func shownOnce(t *testing.T, email, out string) string {
	t.Helper()
	found := regexp.MustCompile(`^Password of ` + regexp.QuoteMeta(email) + `, shown this once: (\S+)\n$`).FindStringSubmatch(out)
	if found == nil || signin.CheckPassword(found[1]) != nil {
		t.Fatalf("no password in\n%s", out)
	}
	return found[1]
}

// person is the account of an address.
func (on database) person(t *testing.T, email string) (person store.Person) {
	t.Helper()
	on.look(t, func(tx *store.Tx) (err error) {
		person, err = tx.PersonByEmail(email)
		return err
	})
	return person
}

func TestUser(t *testing.T) {
	eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
		programme := strings.TrimSpace(on.do(t, "programme", "add", "North"))
		first := shownOnce(t, "Amara@Example.org", on.do(t, "user", "add", "--email", "Amara@Example.org", "--name", " Amara Okafor ", "--programme", programme, "--role", "director"))
		visitor := on.browser(t)
		if got := visitor.signIn("amara@example.org", first); got != http.StatusOK || visitor.session() != http.StatusOK {
			t.Fatalf("the generated password: %d", got)
		}
		token := visitor.token()
		if got := visitor.withToken(token); got != http.StatusOK {
			t.Fatalf("a new token: %d", got)
		}
		if hash := on.person(t, "amara@example.org").PasswordHash; !strings.HasPrefix(hash, "$argon2id$") || strings.Contains(hash, first) {
			t.Errorf("kept as %q", hash)
		}
		on.addRoles(t, programme)
		list := on.do(t, "user", "list")
		if strings.Contains(list, first) || strings.Contains(list, "argon2") {
			t.Errorf("the list tells too much:\n%s", list)
		}
		second := shownOnce(t, "AMARA@example.org", on.do(t, "user", "reset-password", "--email", "AMARA@example.org"))
		if got := on.person(t, "amara@example.org"); second == first || got.Epoch != 2 {
			t.Errorf("epoch %d after a reset, want 2", got.Epoch)
		}
		if got := visitor.session(); got != http.StatusUnauthorized {
			t.Errorf("a sign-in of before the reset goes on: %d", got)
		}
		if got := visitor.withToken(token); got != http.StatusUnauthorized {
			t.Errorf("a token of before the reset is good: %d", got)
		}
		if before, after := visitor.signIn("amara@example.org", first), visitor.signIn("amara@example.org", second); before != http.StatusUnauthorized || after != http.StatusOK {
			t.Errorf("old password %d, new password %d", before, after)
		}
		on.refuse(t, "nobody@example.org: account: not found", "user", "reset-password", "--email", "nobody@example.org")
		if out := on.do(t, "audit", "verify"); !strings.Contains(out, "the platform: 2 entries sound") || !strings.Contains(out, "North: 6 entries sound") {
			t.Errorf("audit:\n%s", out)
		}
	})
}

// addRoles gives the account further roles: its name and its password stay, and a role it has is refused.
func (on database) addRoles(t *testing.T, programme string) {
	t.Helper()
	before := on.person(t, "amara@example.org")
	add := func(args ...string) []string {
		return append([]string{"user", "add", "--email", "amara@EXAMPLE.org", "--programme", programme}, args...)
	}
	if out := on.do(t, add("--role", "faculty", "--from", "2026-01-05", "--until", "2026-12-31")...); out != "" {
		t.Errorf("a second role prints\n%s", out)
	}
	on.do(t, add("--role", "committee", "--name", "Somebody Else")...)
	on.refuse(t, "does the account not have the role already?", add("--role", "committee")...)
	if after := on.person(t, "amara@example.org"); after != before || after.Name != "Amara Okafor" {
		t.Errorf("the account changed from %+v to %+v", before, after)
	}
	today := string(competency.DayOf(wallClock()))
	for _, want := range []string{"director +North +" + today, "faculty +North +2026-01-05 +2026-12-31", "committee +North +" + today} {
		if list := on.do(t, "user", "list"); !regexp.MustCompile(`(?m)^amara@example\.org +Amara Okafor +` + want).MatchString(list) {
			t.Errorf("no %q in\n%s", want, list)
		}
	}
}

func TestUserRefuses(t *testing.T) {
	eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
		programme := strings.TrimSpace(on.do(t, "programme", "add", "North"))
		tests := []struct {
			says string
			args []string
		}{
			{`--email: "amara" is no e-mail address`, []string{"--email", "amara"}},
			{`--email: "amara@" is no e-mail address`, []string{"--email", "amara@"}},
			{"is no e-mail address", []string{"--email", "Amara <amara@example.org>"}},
			{"is no e-mail address", []string{"--email", " amara@example.org"}},
			{`--email: "" is no e-mail address`, []string{"--email", ""}},
			{"amara@example.org has no account yet: add --name", []string{"--name", " "}},
			{"--name must be 1 to 120 characters on one line", []string{"--name", "Amara\tOkafor"}},
			{"--name must be 1 to 120 characters", []string{"--name", strings.Repeat("a", 121)}},
			{"is there such a programme", []string{"--programme", "nowhere"}},
			{"is there such a programme", []string{"--programme", ""}},
			{"--from: ", []string{"--from", "5 January"}},
			{"--until: ", []string{"--until", "2026-02-30"}},
			{"--until 2026-01-04 lies before --from 2026-01-05", []string{"--from", "2026-01-05", "--until", "2026-01-04"}},
		}
		for _, tt := range tests {
			args := []string{"user", "add"}
			for flag, value := range map[string]string{"--email": "amara@example.org", "--name": "Amara Okafor", "--programme": programme, "--role": "director"} {
				if !slices.Contains(tt.args, flag) {
					args = append(args, flag, value)
				}
			}
			on.refuse(t, tt.says, append(args, tt.args...)...)
		}
		if list := on.do(t, "user", "list"); strings.Count(list, "\n") != 1 {
			t.Errorf("a refused account is there:\n%s", list)
		}
		if out := on.do(t, "audit", "verify"); !strings.Contains(out, "North: 2 entries sound") {
			t.Errorf("audit:\n%s", out)
		}
	})
}

// TestAskedPassword: it comes from standard input, one line, and is never printed.
func TestAskedPassword(t *testing.T) {
	eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
		programme := strings.TrimSpace(on.do(t, "programme", "add", "North"))
		add := []string{"user", "add", "--email", "mei@example.org", "--name", "Mei Castellano", "--programme", programme, "--role", "faculty", "--password", "ask", "--database", on.url}
		reset := []string{"user", "reset-password", "--email", "mei@example.org", "--password", "ask", "--database", on.url}
		for _, weak := range []string{"", "\n", "short\n", "fourteen chars", strings.Repeat("a", 20) + "\n", strings.Repeat("ab", 200)} {
			code, out, errs := commandIn(t, nil, weak, add...)
			if code != 1 || out != "" || !strings.Contains(errs, signin.ErrWeakPassword.Error()) {
				t.Errorf("%q: exit %d\n%s%s", weak, code, out, errs)
			}
		}
		if list := on.do(t, "user", "list"); strings.Contains(list, "mei@") {
			t.Errorf("an account with a weak password is there:\n%s", list)
		}
		visitor := on.browser(t)
		for _, step := range []struct {
			args         []string
			in, password string
		}{
			{add, "a narrow passage\r\nand more\n", "a narrow passage"},
			{reset, " a wider passage ", " a wider passage "}, // the last line may lack its end; spaces belong to the password
		} {
			code, out, errs := commandIn(t, nil, step.in, step.args...)
			if code != 0 || out != "Password of mei@example.org set.\n" || errs != "New password (one line): " {
				t.Errorf("exit %d\n%s%s", code, out, errs)
			}
			if got := visitor.signIn("mei@example.org", step.password); got != http.StatusOK {
				t.Errorf("%q: %d", step.password, got)
			}
		}
		if code, _, _ := commandIn(t, nil, "weak", reset...); code != 1 || on.person(t, "mei@example.org").Epoch != 2 || visitor.session() != http.StatusOK {
			t.Error("a refused reset ends sign-ins")
		}
	})
}

// TestPasswordNobodySaw: an account whose password could not be shown is reported, not passed over.
func TestPasswordNobodySaw(t *testing.T) {
	on := database{storetest.URL(t, storetest.Dialects[0])}
	programme := strings.TrimSpace(on.do(t, "programme", "add", "North"))
	closed, writer := io.Pipe()
	closed.Close()
	var errs bytes.Buffer
	args := []string{"user", "add", "--email", "mei@example.org", "--name", "Mei Castellano", "--programme", programme, "--role", "faculty", "--database", on.url}
	code := run(t.Context(), args, nil, Streams{In: strings.NewReader(""), Out: writer, Err: &errs})
	if code != 1 || !strings.Contains(errs.String(), "could not be shown") {
		t.Errorf("exit %d\n%s", code, &errs)
	}
	shownOnce(t, "mei@example.org", on.do(t, "user", "reset-password", "--email", "mei@example.org"))
}
