package fetch

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"syscall"
)

const mostRedirects = 5

// Allow lets addresses, or hosts with or without their port, be private and speak http: the user named them.
func (c *Client) Allow(addresses ...string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, a := range addresses {
		if u, err := url.Parse(a); err == nil && u.Host != "" {
			a = hostPort(u)
		}
		c.allow[strings.ToLower(a)] = true
	}
}

// allowed reports whether a host may be private; at is the host with its port.
func (c *Client) allowed(at string) bool {
	if c.o.AllowAll {
		return true
	}
	host, _, _ := net.SplitHostPort(at)
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.allow[strings.ToLower(at)] || c.allow[strings.ToLower(host)]
}

func hostPort(u *url.URL) string {
	port := u.Port()
	if port == "" {
		port = "443"
		if u.Scheme == "http" {
			port = "80"
		}
	}
	return net.JoinHostPort(u.Hostname(), port)
}

// checkAddress refuses what must not be asked, as far as its text tells.
func (c *Client) checkAddress(u *url.URL) error {
	if u.Scheme != "https" && u.Scheme != "http" || u.Host == "" {
		return fmt.Errorf("%w: it is no https address", ErrForbidden)
	}
	if c.allowed(hostPort(u)) {
		return nil
	}
	if u.Scheme != "https" {
		return fmt.Errorf("%w: it is not https, so that anybody on the way may change what it gives; name it yourself if that may be", ErrForbidden)
	}
	if ip, err := netip.ParseAddr(strings.Trim(u.Hostname(), "[]")); err == nil {
		return checkPublic(ip)
	}
	return nil
}

func (c *Client) checkRedirect(r *http.Request, via []*http.Request) error {
	if len(via) > mostRedirects {
		return fmt.Errorf("%w: it leads from one address to the next without end", ErrForbidden)
	}
	if err := c.checkAddress(r.URL); err != nil {
		return fmt.Errorf("it leads to %s: %w", shown(r.URL.String()), err)
	}
	return nil
}

// transport connects to no address that must not be asked: what a name leads to is known only then.
func (c *Client) transport() *http.Transport {
	free := net.Dialer{Timeout: connectTime}
	held := free
	held.ControlContext = func(_ context.Context, _, at string, _ syscall.RawConn) error {
		ip, err := netip.ParseAddrPort(at)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrForbidden, err)
		}
		return checkPublic(ip.Addr())
	}
	t := http.DefaultTransport.(*http.Transport).Clone()
	t.Proxy = func(r *http.Request) (*url.URL, error) {
		proxy, err := http.ProxyFromEnvironment(r)
		if proxy != nil {
			c.Allow(proxy.String())
		}
		return proxy, err
	}
	t.DialContext = func(ctx context.Context, network, at string) (net.Conn, error) {
		if c.allowed(at) {
			return free.DialContext(ctx, network, at)
		}
		return held.DialContext(ctx, network, at)
	}
	t.TLSHandshakeTimeout = connectTime
	t.ResponseHeaderTimeout = c.o.Patience
	t.MaxConnsPerHost = atOnce
	return t
}

// notPublic are the blocks of the IANA registries of special-purpose addresses that are not reachable on the internet, or lead
// elsewhere than they say.
var notPublic = blocks("0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24", "192.0.2.0/24",
	"192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24", "224.0.0.0/3",
	"::/127", "64:ff9b::/96", "64:ff9b:1::/48", "100::/64", "2001::/23", "2001:db8::/32", "2002::/16", "fc00::/7", "fe80::/10", "ff00::/8")

func blocks(texts ...string) (all []netip.Prefix) {
	for _, t := range texts {
		all = append(all, netip.MustParsePrefix(t))
	}
	return all
}

var errPrivate = errors.New("it leads to a private address, as no public service does; name the host yourself if that may be")

func checkPublic(ip netip.Addr) error {
	ip = ip.Unmap().WithZone("")
	for _, b := range notPublic {
		if b.Contains(ip) {
			return fmt.Errorf("%w: %w (%v)", ErrForbidden, errPrivate, ip)
		}
	}
	return nil
}
