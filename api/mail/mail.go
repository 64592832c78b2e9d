// Package mail hands a short text to a mail server by SMTP (RFC 5321), with TLS from the start or by STARTTLS (RFC 3207). It knows no noun of
// the domain.
package mail

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"mime"
	"mime/quotedprintable"
	"net"
	"net/mail"
	"net/smtp"
	"net/textproto"
	"strings"
	"time"
)

// How the connection is protected.
const (
	StartTLS = "starttls" // plain at first, protected before anything is said; refused when the server cannot
	FromTLS  = "tls"      // protected from the start
	NoTLS    = "none"     // for a server on this machine
)

// Server is the mail server that takes the texts, and whom they come from.
type Server struct {
	Address  string // HOST:PORT
	Security string
	User     string // empty: the server asks for none
	Password string
	From     string         // NAME <ADDRESS> or ADDRESS
	Roots    *x509.CertPool // whose certificates are trusted; nil: those the machine trusts
}

// Message is a text for one person.
type Message struct {
	To, Subject, Text string
	At                time.Time
	ID                string // unique; a resend keeps it, so that a reader's program may join two
	Unsubscribe       string // address by which no more is sent (RFC 2369); empty: none
}

// dialling is how long a connection may take.
const dialling = 20 * time.Second

// Check reports what of the settings cannot work.
func (s Server) Check() error {
	if _, _, err := net.SplitHostPort(s.Address); err != nil {
		return fmt.Errorf("the mail server must be HOST:PORT, not %q", s.Address)
	}
	if _, err := mail.ParseAddress(s.From); err != nil {
		return fmt.Errorf("the sender %q is no mail address", s.From)
	}
	if s.Security != StartTLS && s.Security != FromTLS && s.Security != NoTLS {
		return fmt.Errorf("mail must be protected by %s, %s or %s, not %q", StartTLS, FromTLS, NoTLS, s.Security)
	}
	return nil
}

// Permanent reports whether a server refused for good (a reply of 500 or above, RFC 5321 section 4.2.1): sending again cannot help.
func Permanent(err error) bool {
	var reply *textproto.Error
	return errors.As(err, &reply) && reply.Code >= 500
}

// Send hands a message over. The error says what the server said; ask Permanent whether to try again.
func (s Server) Send(ctx context.Context, m Message) error {
	from, err := mail.ParseAddress(s.From)
	if err != nil {
		return err
	}
	client, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer client.Close()
	if s.User != "" {
		host, _, _ := net.SplitHostPort(s.Address)
		if err := client.Auth(smtp.PlainAuth("", s.User, s.Password, host)); err != nil {
			return err
		}
	}
	if err := client.Mail(from.Address); err != nil {
		return err
	}
	if err := client.Rcpt(m.To); err != nil {
		return err
	}
	data, err := client.Data()
	if err != nil {
		return err
	}
	if _, err := data.Write(m.bytes(from)); err != nil {
		return err
	}
	if err := data.Close(); err != nil {
		return err
	}
	_ = client.Quit() // the message is taken: how the goodbye goes changes nothing
	return nil
}

// connect opens a connection as protected as asked for.
func (s Server) connect(ctx context.Context) (*smtp.Client, error) {
	host, _, err := net.SplitHostPort(s.Address)
	if err != nil {
		return nil, err
	}
	dialer, secure := &net.Dialer{Timeout: dialling}, &tls.Config{ServerName: host, RootCAs: s.Roots, MinVersion: tls.VersionTLS12}
	var conn net.Conn
	if s.Security == FromTLS {
		conn, err = (&tls.Dialer{NetDialer: dialer, Config: secure}).DialContext(ctx, "tcp", s.Address)
	} else {
		conn, err = dialer.DialContext(ctx, "tcp", s.Address)
	}
	if err != nil {
		return nil, err
	}
	if deadline, ok := ctx.Deadline(); ok {
		_ = conn.SetDeadline(deadline)
	}
	client, err := smtp.NewClient(conn, host)
	if err != nil {
		conn.Close()
		return nil, err
	}
	if s.Security == StartTLS {
		if err := client.StartTLS(secure); err != nil {
			client.Close()
			return nil, err
		}
	}
	return client, nil
}

// bytes is the message as RFC 5322 writes it. A line break in a header would begin another one: it is left out.
func (m Message) bytes(from *mail.Address) []byte {
	var b strings.Builder
	head := func(name, value string) {
		fmt.Fprintf(&b, "%s: %s\r\n", name, strings.NewReplacer("\r", "", "\n", "").Replace(value))
	}
	head("From", from.String())
	head("To", m.To)
	head("Date", m.At.Format(time.RFC1123Z))
	head("Subject", mime.QEncoding.Encode("utf-8", m.Subject))
	head("Message-ID", "<"+m.ID+"@"+from.Address[strings.LastIndex(from.Address, "@")+1:]+">")
	head("MIME-Version", "1.0")
	head("Content-Type", "text/plain; charset=utf-8")
	head("Content-Transfer-Encoding", "quoted-printable")
	head("Auto-Submitted", "auto-generated") // RFC 3834: nobody's absence note answers it
	if m.Unsubscribe != "" {
		head("List-Unsubscribe", "<"+m.Unsubscribe+">")
	}
	b.WriteString("\r\n")
	writer := quotedprintable.NewWriter(&b)
	_, _ = writer.Write([]byte(strings.ReplaceAll(m.Text, "\n", "\r\n"))) // a builder takes everything
	_ = writer.Close()
	return []byte(b.String())
}
