package main

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/lots"
)

func TestProgressInWords(t *testing.T) {
	p := lots.Progress{Step: "mapping", Done: 10, Total: 400}
	require.Equal(t, "mapping lots", inWords(p, true))
	p.Failed, p.Rate, p.Left = 2, 281.7, 83*time.Second+time.Millisecond
	require.Equal(t, "mapping lots, 2 failed, 282 a second, 1m23s left", inWords(p, true))
	require.Equal(t, "mapping lots, 2 failed, 282 a second", inWords(p, false))
}

func TestProgressAsJSON(t *testing.T) {
	var out bytes.Buffer
	p := newProgress("json", &out)
	p.tell(lots.Progress{}) // nothing is begun
	p.tell(lots.Progress{Step: "reading", Done: 7})
	p.tell(lots.Progress{Step: "mapping", Done: 1, Total: 7, Rate: 3.14159, Left: 1900 * time.Millisecond})
	p.tell(lots.Progress{Step: "mapping", Done: 7, Total: 7, Failed: 1})
	require.Equal(t, strings.Join([]string{
		`{"step":"reading","done":7,"total":0,"failed":0,"per_second":0,"seconds_left":0}`,
		`{"step":"mapping","done":1,"total":7,"failed":0,"per_second":3.1,"seconds_left":2}`,
		`{"step":"mapping","done":7,"total":7,"failed":1,"per_second":0,"seconds_left":0}`,
	}, "\n")+"\n", out.String())
}
