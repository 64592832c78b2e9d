package service

import (
	"bufio"
	"fmt"
	"io"
	"mime/quotedprintable"
	"net"
	"net/mail"
	"strings"
	"sync"
	"testing"
	"time"

	post "isthmus/api/mail"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/policies"
)

// mailbox is a mail server (RFC 5321) that keeps what it takes, and refuses so many recipients first with a reply.
type mailbox struct {
	address string
	lock    sync.Mutex
	taken   []string
	refuse  int
	reply   string
}

// openMailbox serves a mailbox until the test ends.
func openMailbox(t *testing.T) *mailbox {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { listener.Close() })
	box := &mailbox{address: listener.Addr().String()}
	go func() {
		for {
			conn, err := listener.Accept()
			if err != nil {
				return
			}
			go box.talk(conn)
		}
	}()
	return box
}

// talk is one conversation.
func (b *mailbox) talk(conn net.Conn) {
	defer conn.Close()
	in := bufio.NewReader(conn)
	say := func(line string) { fmt.Fprintf(conn, "%s\r\n", line) }
	say("220 ready")
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		switch verb := strings.ToUpper(strings.Fields(line + " .")[0]); verb {
		case "RCPT":
			b.lock.Lock()
			if b.refuse > 0 {
				b.refuse--
				say(b.reply)
			} else {
				say("250 ok")
			}
			b.lock.Unlock()
		case "DATA":
			say("354 go on")
			var text strings.Builder
			for {
				line, err := in.ReadString('\n')
				if err != nil {
					return
				}
				if line == ".\r\n" {
					break
				}
				text.WriteString(strings.TrimPrefix(line, "."))
			}
			b.lock.Lock()
			b.taken = append(b.taken, text.String())
			b.lock.Unlock()
			say("250 taken")
		case "QUIT":
			say("221 bye")
			return
		default:
			say("250 ok")
		}
	}
}

func (b *mailbox) count() int {
	b.lock.Lock()
	defer b.lock.Unlock()
	return len(b.taken)
}

// mailed is a place where mei has a case to sign, wants a mail every day at 9, and the server is b.
func mailed(t *testing.T, db *store.Store, b *mailbox) (*place, Actor) {
	p := newPlace(t, db)
	p.service.deps.Mail = post.Server{Address: b.address, Security: post.NoTLS, From: "Isthmus <isthmus@example.org>"}
	p.service.deps.URL = "https://isthmus.example.org"
	ines, mei := p.join("ines", policies.Trainee), p.join("mei", policies.Faculty)
	made, err := p.service.CreateCase(t.Context(), ines, programme, CaseCreation{Record: smallRecord()})
	p.must(err)
	_, err = p.service.SubmitCase(t.Context(), ines, programme, made.Case.ID, made.Case.Revision)
	p.must(err)
	choices := competency.DigestChoices{Rhythm: competency.RhythmDaily, Weekday: "monday", Hour: 9, Zone: "UTC", QuietFrom: 20, QuietUntil: 7}
	if _, err := p.service.ChooseDigest(t.Context(), mei, choices); err != nil {
		t.Fatal(err)
	}
	return p, mei
}

// workAll lets a process work until nothing is due.
func (p *place) workAll() {
	p.Helper()
	for range 20 {
		worked, err := p.service.WorkOnDigests(p.Context())
		p.must(err)
		if !worked {
			return
		}
	}
	p.Fatal("the digests never end")
}

// TestDigest: due once at the chosen hour, sent once by two processes, counts and links only, nothing in quiet hours or when nothing waits, and
// turned off by the link in it.
func TestDigest(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		box := openMailbox(t)
		p, mei := mailed(t, db, box)
		p.workAll()
		if box.count() != 0 {
			t.Fatal("sent before its hour")
		}
		p.now = nextHour(p.now, 9)
		var both sync.WaitGroup
		for range 2 {
			both.Go(func() {
				for range 3 {
					if _, err := p.service.WorkOnDigests(t.Context()); err != nil {
						t.Error(err)
					}
				}
			})
		}
		both.Wait()
		p.workAll()
		if box.count() != 1 {
			t.Fatalf("%d mails, want 1", box.count())
		}
		text := readMail(t, box.taken[0])
		if !strings.Contains(text, "A case waits for your signature") || !strings.Contains(text, "https://isthmus.example.org/unsubscribe#") {
			t.Errorf("the mail says:\n%s", text)
		}
		for _, secret := range []string{"Ines", "ines", "itral", "Main site", "/cases/"} {
			if strings.Contains(text, secret) {
				t.Errorf("the mail holds %q:\n%s", secret, text)
			}
		}
		p.now = p.now.Add(13 * time.Hour)
		p.workAll()
		if box.count() != 1 {
			t.Error("a second mail on one day")
		}
		_, token, _ := strings.Cut(text, "/unsubscribe#")
		token, _, _ = strings.Cut(token, "\n")
		p.must(p.service.StopDigest(t.Context(), "r", strings.TrimSpace(token)))
		if view, err := p.service.Digest(t.Context(), mei); err != nil || view.Choices.Rhythm != competency.RhythmOff || !view.NextAt.IsZero() {
			t.Errorf("%+v, %v", view, err)
		}
		p.now = p.now.Add(48 * time.Hour)
		p.workAll()
		if box.count() != 1 {
			t.Error("sent after it was turned off")
		}
	})
}

// TestDigestRefused: tried again later after a passing refusal, given up after a lasting one, with what the server said; the next day's is sent.
func TestDigestRefused(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		box := openMailbox(t)
		p, mei := mailed(t, db, box)
		p.now = nextHour(p.now, 9)
		box.refuse, box.reply = 2, "451 try later"
		p.workAll()
		if view, _ := p.service.Digest(t.Context(), mei); !strings.Contains(view.Message, "451") || !view.NextAt.Equal(p.now.Add(time.Minute)) {
			t.Errorf("%+v", view)
		}
		p.now = p.now.Add(time.Minute)
		p.workAll()
		p.now = p.now.Add(2 * time.Minute)
		p.workAll()
		if view, _ := p.service.Digest(t.Context(), mei); box.count() != 1 || view.Message != "" {
			t.Fatalf("%d mails, %+v", box.count(), view)
		}
		p.now = nextHour(p.now, 9)
		box.refuse, box.reply = 1, "550 nobody of that name"
		p.workAll()
		if view, _ := p.service.Digest(t.Context(), mei); box.count() != 1 || !strings.Contains(view.Message, "given up after one try") || !strings.Contains(view.Message, "550") {
			t.Errorf("%d mails, %+v", box.count(), view)
		}
		p.now = nextHour(p.now, 9)
		p.workAll()
		if box.count() != 2 {
			t.Errorf("%d mails, want the next day's too", box.count())
		}
		p.now = nextHour(p.now, 9)
		box.refuse, box.reply = 1, "451 try later"
		p.workAll()
		p.now = p.now.Add(49 * time.Hour) // nothing ran meanwhile: the newest day's mail takes the place of the one tried
		p.workAll()
		if view, _ := p.service.Digest(t.Context(), mei); box.count() != 3 || view.LastDay != competency.DayOf(p.now) {
			t.Errorf("%d mails after two days, the last of %s", box.count(), view.LastDay)
		}
	})
}

// nextHour is the next time the clock shows a full hour.
func nextHour(now time.Time, hour int) time.Time {
	at := time.Date(now.Year(), now.Month(), now.Day(), hour, 0, 0, 0, time.UTC)
	if !at.After(now) {
		at = at.AddDate(0, 0, 1)
	}
	return at
}

// readMail is the text of a mail, with its header looked at.
func readMail(t *testing.T, raw string) string {
	t.Helper()
	message, err := mail.ReadMessage(strings.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	if message.Header.Get("To") != "mei@example.org" || message.Header.Get("Date") == "" || message.Header.Get("List-Unsubscribe") == "" || message.Header.Get("Auto-Submitted") != "auto-generated" {
		t.Errorf("header %v", message.Header)
	}
	body, err := io.ReadAll(quotedprintable.NewReader(message.Body))
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(string(body), "\r\n", "\n")
}
