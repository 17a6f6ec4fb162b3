package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// The key of a cell: which machines may work it in its band, what grows there, and on wet
// ground which others may once it is dry.
func TestWhatGroundHasInCommon(t *testing.T) {
	c := counterOf()
	fleet := c.m.Fleet
	c.Site.Class = []site.Class{site.NoClass, site.Heavy, site.Open}
	c.Site.TypicalM, c.Site.StemM = []float32{0, 0.05, -1}, []float32{0.2, 0, 0.1}
	dry := []zoning.Mask{0b11, 0b11, 0b11 | zoning.NoGo}
	for _, k := range []struct {
		what      string
		ground    zoning.Moisture
		otherwise []zoning.Mask
		cell      int
		band      int
		mask      zoning.Mask
		want      pieceKey
	}{
		{"of no class, with stems", zoning.Dry, nil, 0, 0, 0b11, pieceKey{band: 0, may: 0b11, cover: Light, thickestM: 0.2}},
		{"of a class", zoning.Dry, nil, 1, 0, 0b01, pieceKey{band: 0, may: 0b01, cover: Heavy, typicalM: 0.05}},
		{"stems below nothing are none", zoning.Dry, nil, 2, 1, 0b11, pieceKey{band: 1, may: 0b10, cover: Open, thickestM: 0.1}},
		{"wet, the first when dry", zoning.Wet, dry, 1, 1, 0b10, pieceKey{band: 1, may: 0b10, dry: 0b01, cover: Heavy, typicalM: 0.05}},
		{"wet, nobody now", zoning.Wet, dry, 1, fleet.NoMachineBand(), 0, pieceKey{band: fleet.NoMachineBand(), dry: 0b11, cover: Heavy, typicalM: 0.05}},
		{"closed when dry", zoning.Wet, dry, 2, 1, 0b10, pieceKey{band: 1, may: 0b10, cover: Open, thickestM: 0.1}},
		{"dry, though the other state is known", zoning.Dry, dry, 1, 1, 0b10, pieceKey{band: 1, may: 0b10, cover: Heavy, typicalM: 0.05}},
		{"wet, the other state not known", zoning.Wet, nil, 1, 1, 0b10, pieceKey{band: 1, may: 0b10, cover: Heavy, typicalM: 0.05}},
		{"no-go", zoning.Wet, dry, 1, fleet.NoGoBand(), zoning.NoGo, pieceKey{band: fleet.NoGoBand(), may: zoning.NoGo}},
		{"unknown", zoning.Wet, dry, 1, fleet.UnknownBand(), zoning.Unknown, pieceKey{band: fleet.UnknownBand(), may: zoning.Unknown}},
	} {
		c.m.Ground, c.m.Cells.Otherwise = k.ground, k.otherwise
		assert.Equal(t, k.want, c.key(k.cell, k.band, k.mask), k.what)
	}
}

// Pieces are ordered by band, machines, machines when dry, cover, typical and thickest stems.
func TestPiecesAreOrdered(t *testing.T) {
	keys := []pieceKey{{typicalM: 1, thickestM: 2}, {typicalM: 1, thickestM: 3}, {typicalM: 2, thickestM: 1}, {cover: 1}, {dry: 1}, {may: 1}, {may: 1, thickestM: 1}, {band: 1}}
	for i, k := range keys {
		for j, o := range keys {
			want := map[bool]int{true: -1, false: 1}[i < j]
			if i == j {
				want = 0
			}
			assert.Equal(t, want, k.compare(o), "%d and %d", i, j)
		}
	}
}

// A line of which the voltage is not known may have any; else the highest counts.
func TestTheHighestVoltage(t *testing.T) {
	line := func(kV float64) site.Feature { return site.Feature{Kind: site.OverheadLine, KV: kV} }
	for want, features := range map[float64][]site.Feature{
		0: {line(69), line(0), line(345)}, 345: {line(69), line(345), line(13), {Kind: site.Staging}}, 7: {line(7)},
	} {
		assert.Equal(t, want, mostKV(features))
	}
	assert.Zero(t, mostKV(nil))
}

// What a planned map shows of the ground of a key: the machine that works it; what waits,
// needs a machine or is left; of slivers, that no plan has, the first of the crew that may.
func TestWhatAPlannedMapShows(t *testing.T) {
	const first, second, third = zoning.Mask(1), zoning.Mask(2), zoning.Mask(4)
	a := &assigner{crew: second | third, p: &Plan{workers: map[pieceKey]Worker{
		{band: 1}: {Machine: 1, Share: 1}, {band: 2}: {Machine: -1, Why: zoning.WaitsDryKey}, {band: 3}: {Machine: -1, Why: zoning.NeedsMachineKey},
		{band: 4}: {Machine: -1, Why: LeftByDays}, {band: 5}: {Machine: -1, Why: LeftByBudget}, {band: 6}: {Machine: -1, Why: HandKey},
		{band: 7}: {Machine: -1, Why: zoning.NoMachineKey}, {band: 8}: {Machine: 0, Share: 0.5},
	}}}
	for key, want := range map[pieceKey]zoning.Mask{
		{band: 1}: second, {band: 2}: zoning.WaitsDry, {band: 3}: zoning.NeedsMachine, {band: 4}: zoning.NeedsMachine, {band: 5}: zoning.NeedsMachine,
		{band: 6}: 0, {band: 7}: 0, {band: 8}: first,
		{band: 9, may: first | second | third}: second, {band: 9, may: third}: third, {band: 9, may: first, dry: second}: zoning.WaitsDry,
		{band: 9, dry: third}: zoning.WaitsDry, {band: 9, dry: first}: 0, {band: 9, may: first}: zoning.NeedsMachine, {band: 9}: 0,
	} {
		assert.Equal(t, want, a.of(key), "%+v", key)
	}
	for w, want := range map[Worker]bool{{Machine: 0, Share: 0.5}: true, {Machine: 0, Share: 1}: false, {Machine: -1}: false, {Machine: 3, Share: 0.999}: true} {
		assert.Equal(t, want, w.partly(), "%+v", w)
	}
}

// What days or budget leave is told with its acres.
func TestWhatIsNotFinishedIsTold(t *testing.T) {
	p := &Plan{Ladder: []Rung{{Left: []Left{{LeftByDays, 9}}}, {Left: []Left{{LeftByDays, 2.25}, {zoning.NoGoKey, 1}, {LeftByBudget, 3.75}}}}, Recommended: 1}
	assert.Equal(t, []string{
		"2.2 acres that this crew would work are left for want of days: on the map they lie farthest from where it unloads",
		"3.8 acres that this crew would work are left, as the budget does not pay for them: on the map they lie farthest from where it unloads",
	}, p.unfinished())
}

// Who works the ground of each key: a machine by its place in the fleet, with the share that
// limits leave it, a hand crew, or nobody and why.
func TestWhoWorksTheGroundOfAMap(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(crawlerMay, 8, 6, Light), stand(crawlerMay, 1, 6, Light), stand(loaderMay, 2, 6, Light), stand(0, 3, 6, Light)}}
	b := planning(t, s, "dedicated-carrier", "owned", "0", "boom-head", "owned", "0", "job", "rest", "hand").bidder()
	a := b.start(crew{0, 1})
	assert.Nil(t, b.workers(a), "not of a map")
	s.keys = []pieceKey{{band: 3}, {band: 3}, {band: 0}, {band: 4}}
	b = b.planner.bidder()
	a = b.start(crew{0, 1})
	assert.Len(t, b.lumps, 3)
	assert.InDelta(t, 9, b.lumps[0].acres, 1e-12)
	a.by, a.share = []int{1, -1, 0}, []float64{0.25, 0, 1}
	assert.Equal(t, map[pieceKey]Worker{{band: 3}: {Machine: 3, Share: 0.25}, {band: 0}: {Machine: -1, Why: zoning.NeedsMachineKey}, {band: 4}: {Machine: -1, Why: HandKey}}, b.workers(a))
}
