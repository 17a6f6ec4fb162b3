package page

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"time"

	"golang.org/x/net/netutil"
)

// atEnd is how long requests may go on when a server is told to end.
const atEnd = 3 * time.Second

// Serve answers on a listener until the context ends, and lets what is under way finish for a
// moment then. It takes [Limits.Connections] at a time, and leaves those that send or read
// nothing.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{
		Handler: s.Handler(), ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: 10 * time.Minute, IdleTimeout: 30 * time.Second,
		MaxHeaderBytes: 64 << 10, ErrorLog: slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(netutil.LimitListener(l, s.config.Limits.Connections)) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	until, cancel := context.WithTimeout(context.WithoutCancel(ctx), atEnd)
	defer cancel()
	if err := server.Shutdown(until); !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return server.Close()
}
