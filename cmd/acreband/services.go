package main

import "github.com/acreband/acreband/terrain/raster"

type servicesCmd struct{}

func (servicesCmd) Run(s streams) error {
	_, err := s.out.Write(raster.NamedSourcesYAML())
	return err
}
