package zoning

// Keys of the bands that are no machine.
const (
	NeedsMachineKey = "needs-machine" // as planned alone
	WaitsDryKey     = "waits-dry"     // as planned alone
	NoMachineKey    = "no-machine"
	UnknownKey      = "no_data"
	NoGoKey         = "no-go"
)

// Band is one answer a cell can have: the machine that works it, or why none does.
type Band struct {
	Key     string
	Name    string
	Machine int // index in the fleet; -1 for the others
}

// Bands returns the fleet's bands in the order maps list them: each machine, ground that
// needs a machine which does not come, ground that waits until it is dry, no machine,
// unknown, no-go. By limits no ground is of the first two that are no machine's.
func (f Fleet) Bands() []Band {
	bands := make([]Band, 0, len(f)+5)
	for i, m := range f {
		bands = append(bands, Band{m.Key, m.Name, i})
	}
	return append(bands,
		Band{NeedsMachineKey, "Needs a machine not brought", -1},
		Band{WaitsDryKey, "Waits for dry ground", -1},
		Band{NoMachineKey, "No machine: hand work or leave", -1},
		Band{UnknownKey, "No elevation data", -1},
		Band{NoGoKey, "No-go: closed to machines", -1})
}

// Band returns the index in [Fleet.Bands] of the band that a mask belongs to. A mask of
// machines that the fleet does not have belongs to no machine.
func (f Fleet) Band(m Mask) int {
	if m.First() >= len(f) {
		return f.NoMachineBand()
	}
	return m.Class(len(f))
}

// IsMachine reports whether a band, by its index in [Fleet.Bands], is a machine's, which
// is then the machine of the same index.
func (f Fleet) IsMachine(band int) bool { return band >= 0 && band < len(f) }

// NeedsMachineBand returns the index in [Fleet.Bands] of ground that a machine of the fleet
// may work and none that comes does.
func (f Fleet) NeedsMachineBand() int { return NeedsMachine.Class(len(f)) }

// WaitsDryBand returns the index in [Fleet.Bands] of ground that the crew works when it is
// dry.
func (f Fleet) WaitsDryBand() int { return WaitsDry.Class(len(f)) }

// NoMachineBand returns the index in [Fleet.Bands] of ground that no machine may work.
func (f Fleet) NoMachineBand() int { return Mask(0).Class(len(f)) }

// UnknownBand returns the index in [Fleet.Bands] of ground whose slope is not known.
func (f Fleet) UnknownBand() int { return Unknown.Class(len(f)) }

// NoGoBand returns the index in [Fleet.Bands] of ground that is closed to machines.
func (f Fleet) NoGoBand() int { return NoGo.Class(len(f)) }
