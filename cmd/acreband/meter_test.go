package main

import (
	"bytes"
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestMeterSpeaksOnlyOfLongWork(t *testing.T) {
	var out bytes.Buffer
	clock := time.Unix(0, 0)
	m := newMeter(streams{io.Discard, &out})
	m.now = func() time.Time { return clock }
	at := func(d time.Duration, step string, done int) {
		clock = time.Unix(0, 0).Add(d)
		m.tell(step, done, 200)
	}
	at(0, "reading", 0)
	at(time.Second, "reading", 200)
	assert.Empty(t, out.String(), "soon done")
	at(2*time.Second, "cutting", 0)
	at(11*time.Second, "cutting", 50)
	assert.Empty(t, out.String(), "too early to say")
	at(12*time.Second, "cutting", 60)
	at(13*time.Second, "cutting", 61)
	at(22*time.Second, "cutting", 120)
	m.done()
	assert.Equal(t, "cutting: 60 of 200\ncutting: 120 of 200\n", out.String())
}

func TestMeterDrawsABarOnATerminal(t *testing.T) {
	var out bytes.Buffer
	clock := time.Unix(0, 0)
	m := newMeter(streams{io.Discard, &out})
	m.terminal = true
	m.now = func() time.Time { return clock }
	m.tell("reading", 0, 200)
	clock = clock.Add(3 * time.Second)
	m.tell("reading", 50, 200)
	assert.Contains(t, out.String(), "reading")
	assert.Contains(t, out.String(), "25%")
	m.done()
}
