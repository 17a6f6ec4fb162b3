package main

import (
	"bytes"

	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/plan"
)

type fleetCmd struct{}

// Run prints one file: the machines, then the figures of plans.
func (fleetCmd) Run(s streams) error {
	_, err := s.out.Write(bytes.Join([][]byte{fleet.DefaultYAML(), plan.DefaultYAML()}, []byte("\n")))
	return err
}
