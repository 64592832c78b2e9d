// Package lrs hands a statement to a learning record store, as the Experience API 1.0.3 asks for in its part three (Communication). It knows no
// noun of the domain.
package lrs

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"time"
)

// version is the version of the specification that every request names (Communication 3.3).
const version = "1.0.3"

// Store is a learning record store and the account it knows us by (HTTP Basic, Communication 4.0).
type Store struct {
	Endpoint string // such as https://records.example.org/xapi, without a slash at the end
	User     string
	Secret   string
	Roots    *x509.CertPool // whose certificates are trusted; nil: those the machine trusts
	Timeout  time.Duration  // of one statement; 0 is 20 seconds
}

// usualTimeout is how long one statement may take.
const usualTimeout = 20 * time.Second

// Check reports what of the settings cannot work. Anything but this machine must be reached over TLS.
func (s Store) Check() error {
	at, err := url.Parse(s.Endpoint)
	switch {
	case err != nil || at.Host == "" || at.Scheme != "https" && at.Scheme != "http" || at.RawQuery != "" || at.Fragment != "" || at.User != nil:
		return errors.New("the learning record store must be an address such as https://records.example.org/xapi, without account, query or fragment") // may hold a secret
	case at.Path != "" && at.Path[len(at.Path)-1] == '/':
		return errors.New("the address of the learning record store must not end in a slash")
	case at.Scheme == "http" && !loopback(at.Hostname()):
		return fmt.Errorf("the learning record store %s must be reached over https: only this machine may be reached without", at.Host)
	case s.User == "" || s.Secret == "":
		return errors.New("the learning record store needs an account and its secret")
	}
	return nil
}

// Shown is the address as a log may hold it: not at all where it cannot work, since it may then hold a secret.
func (s Store) Shown() string {
	switch {
	case s.Endpoint == "":
		return ""
	case s.Check() != nil:
		return "(an address that cannot work)"
	}
	return s.Endpoint
}

// loopback reports whether a host is this machine.
func loopback(host string) bool {
	ip, err := netip.ParseAddr(host)
	return host == "localhost" || err == nil && ip.IsLoopback()
}

// Refusal is an answer that is no success.
type Refusal struct{ Status int }

// Error names the status.
func (r Refusal) Error() string {
	return fmt.Sprintf("the store answered %d %s", r.Status, http.StatusText(r.Status))
}

// Permanent reports whether the store refused the statement itself (400, 413, 422): sending it again soon cannot help. A wrong account, an address
// that is not there, too many requests and every fault of the store's own may be over the next time.
func Permanent(err error) bool {
	var refusal Refusal
	if !errors.As(err, &refusal) {
		return false
	}
	return refusal.Status == http.StatusBadRequest || refusal.Status == http.StatusRequestEntityTooLarge || refusal.Status == http.StatusUnprocessableEntity
}

// Send hands one statement over (Communication 2.1.2: POST with the statement's own id). A store that has a statement of that id already keeps it
// as it is and may say 409 (2.1.2.s2.b4): what was sent again is there. The error is a Refusal, or says why nothing was answered; it holds
// neither the statement nor the secret.
func (s Store) Send(ctx context.Context, statement []byte) error {
	timeout := s.Timeout
	if timeout == 0 {
		timeout = usualTimeout
	}
	ctx, cancel := context.WithTimeout(ctx, timeout)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, s.Endpoint+"/statements", bytes.NewReader(statement))
	if err != nil {
		return errors.New("the address of the learning record store cannot be read")
	}
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("X-Experience-API-Version", version)
	request.SetBasicAuth(s.User, s.Secret)
	client := http.Client{Transport: s.transport(), CheckRedirect: func(*http.Request, []*http.Request) error {
		return http.ErrUseLastResponse // the secret goes to the configured address only
	}}
	answer, err := client.Do(request)
	if err != nil {
		return because(err)
	}
	defer answer.Body.Close()
	_, _ = io.Copy(io.Discard, io.LimitReader(answer.Body, 64<<10)) // read what is there, so that the connection ends well
	switch answer.StatusCode {
	case http.StatusOK, http.StatusNoContent, http.StatusConflict:
		return nil
	}
	return Refusal{answer.StatusCode}
}

// transport is a connection for one statement: few are sent, and none is kept open.
func (s Store) transport() http.RoundTripper {
	return &http.Transport{
		TLSClientConfig: &tls.Config{RootCAs: s.Roots, MinVersion: tls.VersionTLS12}, DisableKeepAlives: true,
		Proxy: http.ProxyFromEnvironment, ResponseHeaderTimeout: usualTimeout,
	}
}

// because is the cause of a failure without the address that net/http puts before it.
func because(err error) error {
	var wrong *url.Error
	if errors.As(err, &wrong) {
		err = wrong.Err
	}
	var timeout net.Error
	if errors.As(err, &timeout) && timeout.Timeout() {
		return errors.New("the store did not answer in time")
	}
	return fmt.Errorf("the store cannot be reached: %w", err)
}
