package main

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// readNoise reads --elevation-error; nil where it is not given.
func readNoise(text string) (*slope.Noise, error) {
	if text == "" {
		return nil, nil
	}
	if n, ok := slope.NoiseUnderCover(text); ok {
		return &n, nil
	}
	if n, ok := slope.NoiseOfKind(text); ok {
		return &n, nil
	}
	sigma, err := fleet.ParseLength(text)
	if err != nil {
		return nil, fmt.Errorf("--elevation-error: %w; or name a kind: %s", err, strings.Join(slope.Kinds(), ", "))
	}
	return &slope.Noise{SigmaM: sigma, RangeM: slope.RangeUnknown, From: "--elevation-error"}, nil
}

// readFleet reads --fleet, or gives the built-in one.
func readFleet(path string) ([]zoning.Machine, error) {
	if path == "" {
		return fleet.Default(), nil
	}
	return fleet.Read(path)
}
