package page

import (
	"context"
	"encoding/json"
	"errors"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

// costed serves a page that plans, with the costs of the default file.
func costed(c *Config) { c.Book, c.Cover = plan.Default(), plan.Light }

// A fault in one request is answered and logged, and harms no other.
func TestAFaultHarmsNoOther(t *testing.T) {
	faulty := true
	s := serve(t, costed)
	s.plan = func(*mapping.Ground, *zoning.ZoneMap, *plan.Book, plan.Cover) (*plan.Plan, error) {
		if faulty {
			panic("the plan is on fire")
		}
		return nil, errors.New("the plan is on /secret/path")
	}
	status, body := s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	assert.Equal(t, 500, status)
	assert.Equal(t, errBroken.Error(), s.trouble(body).Error)
	assert.Contains(t, s.log.String(), "the plan is on fire")
	faulty = false
	status, body = s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	assert.Equal(t, 500, status)
	assert.NotContains(t, string(body), "secret", "what broke is in the log, not on the page")
	assert.Contains(t, s.log.String(), "/secret/path")
	s.plan = plan.ForMap
	s.mapped("quarry.geojson", parcel(t))
}

func TestAFaultOfAHandlerIsAnswered(t *testing.T) {
	s := serve(t, func(c *Config) {
		c.Outputs = []Output{{Name: "bad.txt", Has: func(*Result) bool { panic("has it?") }}}
	})
	s.config.Outputs[0].Has = nil
	a := s.mapped("quarry.geojson", parcel(t))
	s.config.Outputs[0].Has = func(*Result) bool { panic("has it?") }
	status, body := s.get("/v1/maps/" + a.ID + "/files/bad.txt")
	assert.Equal(t, 500, status)
	assert.Equal(t, errBroken.Error(), s.trouble(body).Error)
	assert.Contains(t, s.log.String(), "has it?")
	status, _ = s.get("/v1/start")
	assert.Equal(t, 200, status)
}

func TestTooManyAreSentAway(t *testing.T) {
	begun, let := make(chan struct{}, 1), make(chan struct{})
	s := serve(t, costed, func(c *Config) { c.Limits = Limits{Workers: 1, Waiting: 1} })
	s.plan = func(*mapping.Ground, *zoning.ZoneMap, *plan.Book, plan.Cover) (*plan.Plan, error) {
		begun <- struct{}{}
		<-let
		return &plan.Plan{}, nil
	}
	done := make(chan int, 2)
	for range 2 {
		go func() {
			status, _ := s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
			done <- status
		}()
	}
	<-begun
	assert.Eventually(t, func() bool { return len(s.threads.waiting) == 2 }, 10*time.Second, time.Millisecond)
	status, body := s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	assert.Equal(t, 503, status)
	assert.Contains(t, s.trouble(body).Error, "too many maps are being made")
	close(let)
	<-begun
	assert.Equal(t, []int{200, 200}, []int{<-done, <-done}, "those that waited are served")
}

func TestLongWorkIsStopped(t *testing.T) {
	let := make(chan struct{})
	s := serve(t, costed, func(c *Config) { c.Limits = Limits{Time: 300 * time.Millisecond} })
	s.plan = func(*mapping.Ground, *zoning.ZoneMap, *plan.Book, plan.Cover) (*plan.Plan, error) {
		<-let
		return &plan.Plan{}, nil
	}
	status, body := s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	assert.Equal(t, 503, status)
	assert.Contains(t, s.trouble(body).Error, "took too long")
	close(let)
	assert.Eventually(t, func() bool { return len(s.threads.waiting) == 0 }, 10*time.Second, time.Millisecond)
	s.shelf.mu.Lock()
	defer s.shelf.mu.Unlock()
	assert.Empty(t, s.shelf.byID, "what nobody waited for is not kept")
}

// The page shows progress where the answer comes late, and the answer.
func TestLateAnswerComesInLines(t *testing.T) {
	s := serve(t)
	s.soon = 0
	status, body := s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	assert.Equal(t, 200, status)
	assert.Contains(t, string(body), `{"step":"finding slope, rows","done":`)
	assert.Equal(t, "Quarry Lot", s.parse(body).Name)
	// What goes wrong late is on the last line.
	s.config.Book = plan.Default()
	s.plan = func(*mapping.Ground, *zoning.ZoneMap, *plan.Book, plan.Cover) (*plan.Plan, error) {
		return nil, &plan.Error{Problem: "no cover", Cure: "draw it"}
	}
	_, body = s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	all := strings.Split(strings.TrimSpace(string(body)), "\n")
	assert.Equal(t, "the plan: no cover; draw it", s.trouble([]byte(all[len(all)-1])).Error)
}

// A change that is cancelled leaves the map as it was.
func TestCancelledChangeLeavesTheMap(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	g := s.kept(a.ID)
	before := g.latest()
	ctx, cancel := context.WithCancel(t.Context())
	err := s.judgeAnew(ctx, g, Setting{Ground: zoning.Wet}, func(string, int, int) { cancel() })
	assert.ErrorIs(t, err, context.Canceled)
	assert.Same(t, before, g.latest())
}

func TestProgressIsToldOfLongWork(t *testing.T) {
	w := httptest.NewRecorder()
	l := &lines{w: w, after: time.Hour, began: time.Now()}
	l.tell("finding slope, rows", 1, 10)
	assert.Empty(t, w.Body.String(), "work that is soon done tells nothing")
	l.after = 0
	l.tell("finding slope, rows", 2, 10)
	l.said = l.said.Add(time.Hour)
	l.tell("finding slope, rows", 3, 10)
	assert.Equal(t, `{"step":"finding slope, rows","done":2,"total":10}`+"\n", w.Body.String(), "now and then")
	assert.True(t, w.Flushed)
	assert.True(t, l.end())
	l.said = time.Time{}
	l.tell("finding slope, rows", 10, 10)
	assert.Equal(t, 1, strings.Count(w.Body.String(), "\n"), "nothing after the end")
}

// A plan follows its costs; the figures are those of the default plan file.
func TestPlanFollowsItsCosts(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	require.NotEmpty(t, a.Plan.Options)
	var operator costOf
	for _, c := range a.Costs {
		if c.Machine == "track-loader" && c.Figure == "operator" {
			operator = c
		}
	}
	assert.Equal(t, "$42/h, $48/h, $60/h", operator.Value)
	status, body := s.set(a.ID, `{"costs":[{"machine":"track-loader","figure":"operator","value":"$400/h"},{"machine":"","figure":"haul_miles","value":"100mi"}]}`)
	require.Equal(t, 200, status, "%s", body)
	dearer := s.parse(body)
	assert.Greater(t, float64(dearer.Plan.Options[0].CostUSD), float64(a.Plan.Options[0].CostUSD))
	text, err := json.Marshal(dearer.Costs)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"value":"$400/h"`)

	status, body = s.set(a.ID, `{"cover": "heavy"}`)
	require.Equal(t, 200, status, "%s", body)
	assert.Equal(t, "heavy", s.parse(body).Cover)
	assert.NotEqual(t, a.Plan.Options, s.parse(body).Plan.Options)
	assert.Equal(t, "light", a.Cover)
	status, body = s.set(a.ID, `{"cover": "jungle"}`)
	assert.Equal(t, 422, status)
	assert.Equal(t, "cover", s.trouble(body).Field)

	status, body = s.set(a.ID, `{"costs":[{"machine":"track-loader","figure":"operator","value":"cheap"}]}`)
	assert.Equal(t, 422, status)
	assert.Equal(t, "track-loader operator", s.trouble(body).Field)
	status, _ = s.set(a.ID, `{"costs":[{"machine":"hovercraft","figure":"operator","value":"$1/h"}]}`)
	assert.Equal(t, 422, status)
	status, body = serve(t).drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	require.Equal(t, 200, status)
	assert.NotContains(t, string(body), `"plan"`)
}

// How long the server takes, for whoever asks: PAGE_TIMES=1 go test -run Times -v.
func TestTimes(t *testing.T) {
	if os.Getenv("PAGE_TIMES") == "" {
		t.Skip("set PAGE_TIMES to measure")
	}
	s := serve(t, costed)
	body := parcel(t)
	for range 4 {
		began := time.Now()
		a := s.mapped("quarry.geojson", body)
		first := time.Since(began)
		began = time.Now()
		s.get("/v1/maps/" + a.ID + "/ground.png?x=0&y=0&m=0.7&w=1200&h=900")
		painted := time.Since(began)
		began = time.Now()
		s.set(a.ID, `{"limits":[{"machine":"track-loader","limit":"limit","value":"20%"}]}`)
		t.Logf("45 acres at 1 m: first answer %v, its picture %v, a changed limit %v", first, painted, time.Since(began))
	}
}
