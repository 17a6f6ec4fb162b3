package main

import (
	"os"
	"os/signal"
	"syscall"
)

// interrupts are the requests to stop that come until done is called, which closes
// the channel.
func interrupts() (signals chan os.Signal, done func()) {
	signals = make(chan os.Signal, 2)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	return signals, func() {
		signal.Stop(signals)
		close(signals)
	}
}
