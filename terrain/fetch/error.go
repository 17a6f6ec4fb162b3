package fetch

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"strings"
	"time"
)

var (
	ErrOffline   = errors.New("it was never fetched, and nothing may be asked while offline")
	ErrForbidden = errors.New("that may not be asked")
	ErrRanges    = errors.New("the server gives no parts of files")
	ErrChanged   = errors.New("the file on the server changed while it was read")
	ErrTooLarge  = errors.New("the answer is larger than any honest one")
)

// Error says of an address why it was not answered, and what to do.
type Error struct {
	Address string // without what follows a question mark, which may hold a key
	Err     error
}

func (e *Error) Error() string { return e.Address + ": " + e.Reason() }

// Reason is the error in words, without the address.
func (e *Error) Reason() string { return words(e.Err) }

func (e *Error) Unwrap() error { return e.Err }

// StatusError is a server's refusal.
type StatusError struct {
	Code  int
	Wait  time.Duration // that it asks for; 0 where it asks for none
	Tries int
}

func (e *StatusError) Error() string {
	if e.Wait > 0 {
		return fmt.Sprintf("HTTP %d %s, Retry-After %v", e.Code, http.StatusText(e.Code), e.Wait)
	}
	return fmt.Sprintf("HTTP %d %s", e.Code, http.StatusText(e.Code))
}

// passing reports whether to ask again may help.
func (e *StatusError) passing() bool { return e.Code == http.StatusTooManyRequests || e.Code >= 500 }

// words says in words for people why nothing was fetched.
func words(err error) string {
	const later = "; try later, or download the file and give its path"
	var status *StatusError
	var timeout net.Error
	switch {
	case errors.As(err, &status):
		switch {
		case status.Code == http.StatusNotFound || status.Code == http.StatusGone:
			return fmt.Sprintf("the server has no such file (%d); correct the address", status.Code)
		case status.Code == http.StatusForbidden:
			return "the server refuses to give it (403)"
		case status.Code == http.StatusUnauthorized:
			return "the server asks for a login (401)"
		case status.Code == http.StatusTooManyRequests && status.Wait > 0:
			return fmt.Sprintf("the server is asked too often (429) and asks to wait %v%s", status.Wait, later)
		case status.Code == http.StatusTooManyRequests:
			return "the server is asked too often (429)" + later
		case status.passing():
			return fmt.Sprintf("the server cannot give it now (%d), after %s%s", status.Code, countTries(status.Tries), later)
		}
		return fmt.Sprintf("the server refuses the request (%v)", err)
	case errors.Is(err, ErrOffline):
		return ErrOffline.Error() + "; ask once with the network"
	case errors.Is(err, ErrRanges):
		return err.Error() + "; download the file and give its path"
	case errors.Is(err, ErrChanged):
		return ErrChanged.Error() + "; run again, and it is fetched anew"
	case errors.Is(err, ErrForbidden), errors.Is(err, ErrTooLarge):
		return err.Error()
	case errors.Is(err, errSlow):
		return "the server answers too slowly" + later
	case errors.As(err, &timeout) && timeout.Timeout():
		return "the server does not answer in time" + later
	case errors.Is(err, errBroken):
		return fmt.Sprintf("the server broke off%s (%v)", later, err)
	}
	return fmt.Sprintf("the server cannot be reached; check the address and the network (%v)", err)
}

var (
	errSlow   = errors.New("too slow")
	errBroken = errors.New("the answer is not whole")
)

// shown is an address without what may be a key in it.
func shown(address string) string {
	address, _, _ = strings.Cut(address, "?")
	return address
}

func countTries(n int) string {
	if n == 1 {
		return "1 try"
	}
	return fmt.Sprintf("%d tries", n)
}
