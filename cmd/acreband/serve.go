package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/netip"
	"os"
	"os/signal"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/acreband/acreband/cmd/acreband/internal/page"
	"github.com/acreband/acreband/zoning"
)

type serveCmd struct {
	groundFlags
	planFlags
	sheetFlags
	Listen       string        `default:"127.0.0.1:8470" placeholder:"ADDRESS:PORT" help:"Where to serve the page. Addresses beyond this machine need --allow-network."`
	AllowNetwork bool          `help:"Serve beyond this machine: whoever has the printed address, which carries a key, sees the elevation and maps what they like; nothing is encrypted."`
	Units        unitsFlag     `default:"us" placeholder:"us|metric" help:"Units that a new page begins in: acres, feet and pounds, or hectares, meters and kilograms. Its switch changes them."`
	MostMaps     int           `default:"6" placeholder:"N" help:"Maps kept in memory; the one unused longest goes first."`
	ForgetAfter  time.Duration `default:"30m" placeholder:"TIME" help:"Forget a map that nobody has touched for this long."`
}

func (c *serveCmd) Run(s streams) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	job.tellIn(c.Units)
	c.told = c.Units.Units
	if err := c.planFlags.on(job.book, job.fleet); err != nil {
		return err
	}
	if c.byLidar {
		return usageError{errors.New("--cover lidar: the page measures no growth; write open, light, medium or heavy")}
	}
	if err := c.checkAddress(); err != nil {
		return err
	}
	child, err := anotherReader()
	if err != nil {
		return err
	}
	limits := page.DefaultLimits()
	limits.Maps, limits.Idle = c.MostMaps, c.ForgetAfter
	// A server lives long: memory is collected as it comes, unlike that of one run, and
	// sooner where it would pass its bound.
	debug.SetGCPercent(100)
	debug.SetMemoryLimit(limits.MemoryBytes() / 8 * 7) // C libraries take memory too
	if os.Getenv("GDAL_CACHEMAX") == "" {
		if err := os.Setenv("GDAL_CACHEMAX", "64"); err != nil { // MB; else a share of the machine's memory
			return err
		}
	}
	server, err := page.New(page.Config{
		Elevation: job.elevation, Raster: job.raster, Parcels: job.parcels, Boundary: job.quality,
		Fleet: job.fleet, Judge: job.judge, AnyAddress: c.AllowNetwork,
		Book: job.book, Cover: c.class, ByLimits: c.View == zoning.ByLimits.String(), Outputs: pageOutputs(&c.sheetFlags),
		Limits: limits, Child: child,
		Log: slog.New(slog.NewTextHandler(s.err, nil)),
	})
	if err != nil {
		return inputError{err}
	}
	defer server.Close()
	listener, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return usageError{fmt.Errorf("--listen %s: %w; choose another port, or 0 for any that is free", c.Listen, err)}
	}
	fmt.Fprintf(s.err, "acreband: open %s in a browser %s; Ctrl-C ends it\n", strings.Join(addresses(server, listener.Addr()), " or "), c.where())
	fmt.Fprintf(s.err, "acreband: it takes no more than %.1f GB of memory, and %.1f GB for each of %d files that it reads at once\n",
		float64(limits.MemoryBytes())/1e9, float64(limits.ReaderBytes)/1e9, limits.Workers)
	if c.AllowNetwork {
		fmt.Fprintln(s.err, "acreband: --allow-network: whoever has this address sees the elevation and maps what they like; nothing is encrypted, so that others on the way can read the address and the maps")
	}
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	onPage.Store(true)
	defer onPage.Store(false)
	return server.Serve(ctx, listener)
}

// where says in words who can open the page.
func (c *serveCmd) where() string {
	if c.AllowNetwork {
		return "on this machine or another"
	}
	return "on this machine"
}

// addresses are where the page is opened: of a server that listens on every address of this
// machine those that others can reach, and loopback.
func addresses(server *page.Server, at net.Addr) []string {
	tcp, ok := at.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return []string{server.Address(at.String())}
	}
	port := strconv.Itoa(tcp.Port)
	all := []string{server.Address(net.JoinHostPort("127.0.0.1", port))}
	mine, err := net.InterfaceAddrs()
	if err != nil {
		return all // that one works
	}
	for _, a := range mine {
		if ip, ok := a.(*net.IPNet); ok && ip.IP.IsGlobalUnicast() && (ip.IP.To4() != nil || tcp.IP.To4() == nil) {
			all = append(all, server.Address(net.JoinHostPort(ip.IP.String(), port)))
		}
	}
	return all
}

// checkAddress refuses an address beyond this machine that was not asked for.
func (c *serveCmd) checkAddress() error {
	at, err := netip.ParseAddrPort(c.Listen)
	if err != nil {
		return usageError{fmt.Errorf("--listen %q is no address and port; write one such as 127.0.0.1:8470", c.Listen)}
	}
	if !at.Addr().IsLoopback() && !c.AllowNetwork {
		return usageError{fmt.Errorf("--listen %s can be reached from other machines: whoever has the address that is printed sees the elevation and maps what they like, "+
			"and nothing is encrypted; add --allow-network if that is wanted, or listen on 127.0.0.1", c.Listen)}
	}
	return nil
}
