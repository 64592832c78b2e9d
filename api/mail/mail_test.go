package mail

import (
	"bufio"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"fmt"
	"math/big"
	"net"
	"net/textproto"
	"strings"
	"testing"
	"time"
)

// certified makes a certificate of this machine for a day, and the roots that trust it.
func certified(t *testing.T) (tls.Certificate, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	own := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, NotAfter: time.Now().Add(24 * time.Hour),
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign, IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, own, own, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(parsed)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, roots
}

// post is a mail server for one conversation: what was said to it, a line each; protected lines begin with "tls ".
type post struct {
	address string
	said    chan []string
}

// open serves one conversation. offers says whether STARTTLS can be asked for.
func open(t *testing.T, certificate tls.Certificate, security string, offers bool) post {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { listener.Close() })
	p := post{listener.Addr().String(), make(chan []string, 1)}
	secure := &tls.Config{Certificates: []tls.Certificate{certificate}}
	go func() {
		conn, err := listener.Accept()
		if err != nil {
			return
		}
		defer conn.Close()
		if security == FromTLS {
			conn = tls.Server(conn, secure)
		}
		p.said <- talk(conn, secure, security == FromTLS, offers)
	}()
	return p
}

func talk(conn net.Conn, secure *tls.Config, protected, offers bool) (said []string) {
	in := textproto.NewReader(bufio.NewReader(conn))
	say := func(lines ...string) { fmt.Fprint(conn, strings.Join(lines, "\r\n")+"\r\n") }
	say("220 ready")
	for {
		line, err := in.ReadLine()
		if err != nil {
			return said
		}
		if protected {
			line = "tls " + line
		}
		said = append(said, line)
		switch verb := strings.ToUpper(strings.Fields(strings.TrimPrefix(line, "tls ") + " .")[0]); {
		case verb == "EHLO" && !protected && offers:
			say("250-here", "250 STARTTLS")
		case verb == "EHLO" && protected:
			say("250-here", "250 AUTH PLAIN")
		case verb == "STARTTLS" && offers:
			say("220 go on")
			conn = tls.Server(conn, secure)
			in, protected = textproto.NewReader(bufio.NewReader(conn)), true
		case verb == "STARTTLS":
			say("502 no such command")
		case verb == "AUTH":
			say("235 welcome")
		case verb == "DATA":
			say("354 go on")
			text, err := in.ReadDotLines()
			if err != nil {
				return said
			}
			said = append(said, text...)
			say("250 taken")
		case verb == "QUIT":
			say("221 bye")
			return said
		default:
			say("250 ok")
		}
	}
}

var letter = Message{
	To: "mei@example.org", Subject: "What waits: zwölf", Text: "Twelve cases.\n.\nThe end.", ID: "digest-1", At: time.Date(2026, 6, 2, 9, 0, 0, 0, time.UTC),
	Unsubscribe: "https://isthmus.example.org/unsubscribe#x\r\nBcc: else@example.org",
}

// TestSendProtected: with TLS from the start and by STARTTLS nothing but the greeting is said before the connection is protected, and the account is
// given only then; a certificate nobody vouches for, and a server that cannot protect, are refused.
func TestSendProtected(t *testing.T) {
	certificate, roots := certified(t)
	for _, security := range []string{FromTLS, StartTLS} {
		t.Run(security, func(t *testing.T) {
			p := open(t, certificate, security, true)
			server := Server{Address: p.address, Security: security, User: "isthmus", Password: "secret", From: "Isthmus <isthmus@example.org>", Roots: roots}
			if err := server.Send(t.Context(), letter); err != nil {
				t.Fatal(err)
			}
			said := <-p.said
			auth := "tls AUTH PLAIN " + base64.StdEncoding.EncodeToString([]byte("\x00isthmus\x00secret"))
			text := strings.Join(said, "\n")
			for _, want := range []string{auth, "tls RCPT TO:<mei@example.org>", "Date: Tue, 02 Jun 2026 09:00:00 +0000", "Message-ID: <digest-1@example.org>", "Subject: =?utf-8?q?What_waits:_zw=C3=B6lf?=", "\n.\nThe end."} {
				if !strings.Contains(text, want) {
					t.Errorf("no %q in\n%s", want, text)
				}
			}
			if strings.Contains(text, "\nBcc:") {
				t.Errorf("a line break began a header of its own:\n%s", text)
			}
		})
		t.Run(security+", unknown certificate", func(t *testing.T) {
			p := open(t, certificate, security, true)
			err := Server{Address: p.address, Security: security, From: "isthmus@example.org"}.Send(t.Context(), letter)
			if err == nil || Permanent(err) {
				t.Errorf("%v, want a refusal that may pass", err)
			}
		})
	}
	p := open(t, certificate, StartTLS, false)
	if err := (Server{Address: p.address, Security: StartTLS, From: "isthmus@example.org"}).Send(t.Context(), letter); err == nil {
		t.Error("sent without protection")
	}
}

// TestSendStops: a server that says nothing is waited for no longer than the context lasts.
func TestSendStops(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if err := (Server{Address: listener.Addr().String(), Security: NoTLS, From: "isthmus@example.org"}).Send(ctx, letter); err == nil {
		t.Error("sent to nobody")
	}
}

func TestCheck(t *testing.T) {
	sound := Server{Address: "mail.example.org:587", Security: StartTLS, From: "Isthmus <isthmus@example.org>"}
	if err := sound.Check(); err != nil {
		t.Error(err)
	}
	for _, broken := range []Server{
		{Address: "mail.example.org", Security: StartTLS, From: sound.From}, {Address: sound.Address, Security: "some", From: sound.From}, {Address: sound.Address, Security: FromTLS, From: "nobody"},
	} {
		if broken.Check() == nil {
			t.Errorf("%+v passes", broken)
		}
	}
}
