package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"net"
	"net/http"
	"net/netip"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"

	"github.com/acreband/acreband/zoning/page"
)

type serveCmd struct {
	groundFlags
	planFlags
	sheetFlags
	Listen       string        `default:"127.0.0.1:8470" placeholder:"ADDRESS:PORT" help:"Where to serve the page. Addresses beyond this machine need --allow-network."`
	AllowNetwork bool          `help:"Serve beyond this machine: everybody who reaches the address sees the elevation, maps what they like, and nothing is encrypted or asks for a password."`
	MostMaps     int           `default:"6" placeholder:"N" help:"Maps kept in memory; the one unused longest goes first."`
	ForgetAfter  time.Duration `default:"30m" placeholder:"TIME" help:"Forget a map that nobody has touched for this long."`
}

func (c *serveCmd) Run(s streams) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	if err := c.planFlags.on(job.book); err != nil {
		return err
	}
	if err := c.checkAddress(); err != nil {
		return err
	}
	// A server lives long: memory is collected as it comes, unlike that of one run.
	debug.SetGCPercent(100)
	debug.SetMemoryLimit(math.MaxInt64)
	server, err := page.New(page.Config{
		Elevation: job.elevation, Raster: job.raster, Parcels: job.parcels, Boundary: job.quality,
		Fleet: job.fleet, Judge: job.judge, AnyAddress: c.AllowNetwork,
		Book: job.book, Cover: c.class, Outputs: pageOutputs(&c.sheetFlags),
		Limits: page.Limits{Maps: c.MostMaps, Idle: c.ForgetAfter},
		Log:    slog.New(slog.NewTextHandler(s.err, nil)),
	})
	if err != nil {
		return inputError{err}
	}
	defer server.Close()
	listener, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return usageError{fmt.Errorf("--listen %s: %w; choose another port, or 0 for any that is free", c.Listen, err)}
	}
	fmt.Fprintf(s.err, "acreband: open http://%s/ in a browser on this machine; Ctrl-C ends it\n", listener.Addr())
	if c.AllowNetwork {
		fmt.Fprintln(s.err, "acreband: --allow-network: whoever reaches this address sees the elevation and maps what they like; nothing is encrypted and nobody is asked for a password")
	}
	return serveUntilTold(listener, server.Handler())
}

// checkAddress refuses an address beyond this machine that was not asked for.
func (c *serveCmd) checkAddress() error {
	at, err := netip.ParseAddrPort(c.Listen)
	if err != nil {
		return usageError{fmt.Errorf("--listen %q is no address and port; write one such as 127.0.0.1:8470", c.Listen)}
	}
	if !at.Addr().IsLoopback() && !c.AllowNetwork {
		return usageError{fmt.Errorf("--listen %s can be reached from other machines: whoever does sees the elevation and maps what they like, "+
			"nothing is encrypted and nobody is asked for a password; add --allow-network if that is wanted, or listen on 127.0.0.1", c.Listen)}
	}
	return nil
}

// serveUntilTold serves until the program is told to end, and lets what is under way
// finish for a moment.
func serveUntilTold(listener net.Listener, handler http.Handler) error {
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: 10 * time.Minute, IdleTimeout: 2 * time.Minute,
		MaxHeaderBytes: 64 << 10,
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if err := server.Shutdown(ctx); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return nil
}
