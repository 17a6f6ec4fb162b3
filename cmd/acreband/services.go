package main

import "github.com/acreband/acreband/terrain/find"

type servicesCmd struct{}

func (servicesCmd) Run(s streams) error {
	_, err := s.out.Write(find.BuiltInYAML())
	return err
}
