package plan

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/text"
)

// makeOf plans a site for the default fleet with edits of the default figures.
func makeOf(t *testing.T, s *Site, edits ...string) (*Plan, error) {
	t.Helper()
	book := Default()
	for i := 0; i < len(edits); i += 3 {
		set := book.Job.Set
		if edits[i] != "job" {
			set = book.Machine(edits[i]).Set
		}
		require.NoError(t, set(edits[i+1], edits[i+2]))
	}
	return Make(s, fleet.Default(), book)
}

func crewOf(o Option) (keys []string) {
	for _, b := range o.Crew {
		keys = append(keys, b.Key)
	}
	return keys
}

const (
	loaderMay  = zoning.Mask(1)
	crawlerMay = zoning.Mask(8)
)

// stand is a piece of net acres that machines may work.
func stand(may zoning.Mask, acres, slopePct float64, c Cover) Piece {
	return Piece{Zone: "zone", May: may, GrossAcres: acres, NetAcres: acres, SlopeMeanPct: slopePct, Cover: c}
}

// Common practice, no source: one acre of yard with a tenth of an acre at 31% is the loader
// alone; no crawler is trailered for a tenth of an acre.
func TestOneAcreOfYardIsTheLoaderAlone(t *testing.T) {
	for _, cover := range []Cover{Open, Light, Medium} {
		s := &Site{Pieces: []Piece{stand(0b1111, 0.9, 6, cover), stand(crawlerMay, 0.1, 31, cover)}}
		for _, worth := range []string{"$0/ac", "$900/ac"} {
			p, err := makeOf(t, s, "job", "worth", worth)
			require.NoError(t, err)
			assert.Equal(t, []string{"track-loader"}, crewOf(p.Options[0]), "%s cover, %s", cover, worth)
			require.Len(t, p.Ladder[0].Left, 1)
			assert.Equal(t, zoning.NeedsMachineKey, p.Ladder[0].Left[0].Why)
			assert.InDelta(t, 0.1, p.Ladder[0].Left[0].Acres, 1e-9)
		}
	}
}

// A machine joins a crew for the least work of its own, and not for less.
func TestAMachineJoinsForTheLeastWork(t *testing.T) {
	at := func(acres float64, edits ...string) int {
		p, err := makeOf(t, &Site{Pieces: []Piece{stand(loaderMay, 20, 6, Light), stand(crawlerMay, acres, 30, Light)}}, edits...)
		require.NoError(t, err)
		return len(p.Ladder)
	}
	p, err := makeOf(t, &Site{Pieces: []Piece{stand(crawlerMay, 1, 30, Light)}})
	require.NoError(t, err)
	h := p.Ladder[0].ScheduledH // of an acre
	assert.Equal(t, 2, at(4.501/h))
	assert.Equal(t, 1, at(4.499/h))
	assert.Equal(t, 2, at(4.499/h, "job", "least_work", "0days"))
	assert.Equal(t, 1, at(8.999/h, "job", "least_work", "1day"))
}

// The owner's crew is the crew, with work for half a day or without; what cannot come is
// said, with the cure.
func TestTheCrewThatIsBrought(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(0b1111, 9, 6, Medium), stand(crawlerMay, 0.1, 31, Medium), stand(0, 2, 90, Medium)}}
	p, err := makeOf(t, s, "job", "bring", "remote-crawler, track-loader")
	require.NoError(t, err)
	require.Len(t, p.Ladder, 1)
	assert.Equal(t, []string{"track-loader", "remote-crawler"}, crewOf(p.Ladder[0].Option))
	assert.Equal(t, "The crew is the one that you bring.", p.Why)
	assert.Equal(t, AsAsked, p.Options[0].Goal)
	assert.InDelta(t, 9.1, p.Ladder[0].Acres, 1e-9)
	p, err = makeOf(t, s, "track-loader", "owned", "2", "job", "bring", "track-loader,track-loader")
	require.NoError(t, err)
	assert.Equal(t, 2, p.Options[0].Crew[0].Count)
	for want, edits := range map[string][]string{
		`bring names "loader", and the fleet has no such machine; write keys of the fleet: track-loader, dedicated-carrier, boom-head, remote-crawler`: {"job", "bring", "loader"},
		`bring names track-loader 2 times, and 1 may come; raise owned: under plan: track-loader, or bring fewer`:                                      {"job", "bring", "track-loader,track-loader"},
		`bring names track-loader, which cannot come: none is owned; bring another machine, or change what keeps it away`:                              {"track-loader", "owned", "0", "job", "bring", "track-loader"},
	} {
		_, err := makeOf(t, s, edits...)
		assert.EqualError(t, err, want)
	}
	var j Job
	assert.ErrorContains(t, j.Set("bring", "track-loader,,boom-head"), "names a machine with nothing")
}

// Working days are counted as they are printed, whole jobs that fit fit: a bound of the days
// that a plan prints changes nothing, half a day less leaves ground.
func TestDaysThatArePrintedAreEnough(t *testing.T) {
	for _, acres := range []float64{0.3, 1, 2.7, 9, 14, 33} {
		s := &Site{Pieces: []Piece{stand(loaderMay, acres, 6, Medium)}}
		free, err := makeOf(t, s)
		require.NoError(t, err)
		o := free.Options[0]
		same, err := makeOf(t, s, "job", "days", text.Days(o.WorkingDays)+"days")
		require.NoError(t, err)
		assert.Equal(t, o, same.Options[0], "%g acres", acres)
		short, err := makeOf(t, s, "job", "days", text.Days(max(0.5, o.WorkingDays-0.5))+"days")
		require.NoError(t, err)
		if o.WorkingDays > 0.5 {
			assert.Positive(t, short.Options[0].LeftAcres)
			assert.LessOrEqual(t, short.Options[0].WorkingDays, o.WorkingDays-0.5)
			assert.Equal(t, LeftByDays, short.Ladder[0].Left[0].Why)
		}
		assert.Greater(t, o.CalendarDays, o.WorkingDays-1)
	}
}

// On wet ground what a machine of the crew works once it is dry waits for that, and is no
// reason to send another, however much an acre is worth.
func TestWetGroundWaits(t *testing.T) {
	wet := stand(crawlerMay, 3, 25, Medium)
	wet.MayDry = loaderMay
	s := &Site{Pieces: []Piece{stand(loaderMay|crawlerMay, 9, 10, Medium), wet}}
	p, err := makeOf(t, s, "job", "worth", "$100,000/ac")
	require.NoError(t, err)
	assert.Equal(t, []string{"track-loader"}, crewOf(p.Options[0]))
	r := p.Ladder[p.Recommended]
	assert.Equal(t, []Left{{zoning.WaitsDryKey, 3}}, r.Left)
	assert.Equal(t, []Waiting{{"track-loader", "Track loader", 3}}, r.Waits)
	assert.Equal(t, zoning.WaitsDryKey, r.Tasks[1].By)
	var b bytes.Buffer
	require.NoError(t, WriteText(&b, p))
	assert.Contains(t, b.String(), "3.0 acres wait for dry ground: Track loader works them then\n")
	s.Pieces[1].MayDry = 0
	p, err = makeOf(t, s, "job", "worth", "$100,000/ac")
	require.NoError(t, err)
	assert.Contains(t, crewOf(p.Options[0]), "remote-crawler", "it is worth going there when no dry day helps")
}

// A first rung that clears less than half of what could be cleared is said, with the next.
func TestLessThanHalfIsSaid(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 8, 6, Light), stand(crawlerMay, 12, 30, Medium)}}
	p, err := makeOf(t, s)
	require.NoError(t, err)
	require.Len(t, p.Ladder, 2)
	assert.Zero(t, p.Recommended)
	assert.Regexp(t, `^The least price per acre\. It clears less than half of the 20\.0 acres that machines of the fleet could work: Track loader, Remote.* clears 20\.0 acres for \$[\d,]+, \$[\d,]+ for each acre more\.$`, p.Why)
	s.Pieces[0].GrossAcres, s.Pieces[0].NetAcres = 14, 14
	p, err = makeOf(t, s)
	require.NoError(t, err)
	assert.Equal(t, "The least price per acre.", p.Why)
}

// left_standing of an older file is worth where that is not written, and says so; the value
// that every file had is nobody's.
func TestTheKeyThatWorthReplaces(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 8, 6, Light), stand(crawlerMay, 8, 30, Light)}}
	for _, c := range []struct {
		standing string
		rung     int
		note     string
	}{
		{"$3,900/ac", 1, "left_standing: is replaced by worth:, and understood as worth: $3,900/ac where that is not written."},
		{"$4,000/ac", 0, "left_standing: is no longer asked for"},
	} {
		p, err := makeOf(t, s, "job", "left_standing", c.standing)
		require.NoError(t, err)
		require.Len(t, p.Ladder, 2)
		assert.Equal(t, c.rung, p.Recommended, c.standing)
		assert.Contains(t, strings.Join(p.Notes, "\n"), c.note)
	}
}

// Every line of an answer fits 80 columns, and a rung's JSON has its figures.
func TestTheLadderAsItIsWritten(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(0b1111, 24, 6, Medium), stand(0b1100, 9, 20, Medium), stand(crawlerMay, 12, 45, Medium), stand(0, 3, 90, Medium), {Zone: zoning.NoGoKey, May: zoning.NoGo, GrossAcres: 2}}}
	p, err := makeOf(t, s, "job", "worth", "$2500/ac", "track-loader", "owned", "2")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, WriteText(&b, p))
	for line := range strings.SplitSeq(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	got := p.Summary()
	require.Len(t, got.Ladder, len(p.Ladder))
	assert.Equal(t, p.Recommended, *got.Rung)
	assert.Nil(t, got.Ladder[0].ExtraPerAcreUSD)
	for i, r := range p.Ladder {
		j := got.Ladder[i]
		assert.InDelta(t, r.Acres, float64(j.Acres), 1e-6)
		assert.InDelta(t, r.Price.P10, float64(j.Ranges.Price.P10), 1e-6)
		assert.InDelta(t, r.Price.P90, float64(j.Ranges.Price.P90), 1e-6)
		assert.Len(t, j.Left, len(r.Left))
		if i > 0 {
			assert.InDelta(t, (r.PriceUSD-p.Ladder[i-1].PriceUSD)/(r.Acres-p.Ladder[i-1].Acres), float64(*j.ExtraPerAcreUSD), 1e-6)
			assert.False(t, math.IsNaN(r.ExtraPerAcreUSD))
		}
	}
}

// Common practice, no source: the dedicated carrier pays against the loader from some 15 to 40
// acres, whatever stands on them.
func TestCarrierPaysOnLargeGround(t *testing.T) {
	for _, cover := range Classes() {
		p, err := makeOf(t, &Site{Pieces: []Piece{stand(0b0011, 10, 10, cover)}})
		require.NoError(t, err)
		assert.Equal(t, []string{"track-loader"}, crewOf(p.Options[0]), cover)
		i := slices.IndexFunc(p.BreakEven, func(b BreakEven) bool { return b.Key == "dedicated-carrier" })
		require.GreaterOrEqual(t, i, 0)
		assert.True(t, 15 <= p.BreakEven[i].Acres && p.BreakEven[i].Acres <= 40, "%s: %.0f acres", cover, p.BreakEven[i].Acres)
	}
}
