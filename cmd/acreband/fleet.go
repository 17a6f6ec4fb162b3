package main

import "github.com/acreband/acreband/zoning/fleet"

type fleetCmd struct{}

func (fleetCmd) Run(s streams) error {
	_, err := s.out.Write(fleet.DefaultYAML())
	return err
}
