package fetch

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"time"
)

// Signer has addresses signed by a service before they are asked, as some stores of public data want.
type Signer struct {
	Address string // asked with the address to be signed at its end, escaped; answers JSON with "href" and "msft:expiry" or "expires"
	Hosts   string // end of the names of hosts whose addresses are signed
}

type signature struct {
	address string
	until   time.Time
}

// signedFor is the address to ask for one: itself where it needs no signature.
func (c *Client) signedFor(ctx context.Context, address string) (string, error) {
	u, err := url.Parse(address)
	if err != nil {
		return "", fmt.Errorf("%w: %w", ErrForbidden, err)
	}
	for _, s := range c.o.Sign {
		if host := u.Hostname(); s.Hosts == "" || host != s.Hosts && !strings.HasSuffix(host, "."+strings.TrimPrefix(s.Hosts, ".")) {
			continue
		}
		c.mu.Lock()
		known := c.signed[address]
		c.mu.Unlock()
		if time.Now().Before(known.until) {
			return known.address, nil
		}
		return c.sign(ctx, s, address)
	}
	return address, nil
}

// sign asks for a signature, which is kept in memory only.
func (c *Client) sign(ctx context.Context, s Signer, address string) (string, error) {
	r, err := c.request(ctx, "GET", s.Address+url.QueryEscape(address), nil)
	if err != nil {
		return "", fmt.Errorf("having it signed by %s: %w", shown(s.Address), err)
	}
	body, err := c.whole(r, 1<<16)
	if err != nil {
		return "", fmt.Errorf("having it signed by %s: %w", shown(s.Address), err)
	}
	var said struct {
		Href    string    `json:"href"`
		Expiry  time.Time `json:"msft:expiry"`
		Expires time.Time `json:"expires"`
	}
	if err := json.Unmarshal(body, &said); err != nil || said.Href == "" {
		return "", fmt.Errorf("%w: %s does not answer with a signed address", errBroken, shown(s.Address))
	}
	until := said.Expiry
	if until.IsZero() {
		until = said.Expires
	}
	c.mu.Lock()
	c.signed[address] = signature{said.Href, until.Add(-time.Minute)}
	c.mu.Unlock()
	return said.Href, nil
}
