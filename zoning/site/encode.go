package site

import (
	"encoding/binary"
	"fmt"
	"math"
)

// MarshalBinary writes the setback for another process: a rule by its key, since what it
// asks for is no part of what others may write.
func (s Setback) MarshalBinary() ([]byte, error) {
	b := binary.LittleEndian.AppendUint64(nil, math.Float64bits(s.WidthM))
	if s.Rule != nil {
		b = append(b, s.Rule.Key...)
	}
	return b, nil
}

// UnmarshalBinary reads what MarshalBinary wrote. A rule that is not known is an error.
func (s *Setback) UnmarshalBinary(b []byte) error {
	if len(b) < 8 {
		return fmt.Errorf("a setback of %d bytes", len(b))
	}
	*s = Setback{WidthM: math.Float64frombits(binary.LittleEndian.Uint64(b))}
	key := string(b[8:])
	if key == "" {
		return nil
	}
	for _, r := range Rules() {
		if r.Key == key {
			s.Rule = &r
			return nil
		}
	}
	return fmt.Errorf("a setback by a rule %q that is not known", key)
}
