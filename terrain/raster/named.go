package raster

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/goccy/go-yaml"

	"github.com/acreband/acreband/terrain/textfile"
)

// NamedSource is a public elevation service that may be given by its key.
type NamedSource struct {
	Key         string `yaml:"key"`
	Name        string `yaml:"name"`
	Address     string `yaml:"address"`
	AddressFrom string `yaml:"address_from"` // "memory" where nobody checked the address
	Note        string `yaml:"note"`
}

//go:embed sources.yaml
var sourcesYAML string

// NamedSourcesYAML returns the built-in list of services: every key explained,
// ready to edit.
func NamedSourcesYAML() []byte { return []byte(sourcesYAML) }

// NamedSources returns the built-in list of services. The slice is the caller's
// own.
func NamedSources() []NamedSource {
	out, err := ParseNamedSources("the built-in list of elevation services", NamedSourcesYAML())
	if err != nil {
		panic(err) // the file is compiled in; its test reads it
	}
	return out
}

// ReadNamedSources reads a list of services from a file.
func ReadNamedSources(path string) ([]NamedSource, error) {
	text, err := sourcesLimits.Read(path)
	var tooLarge *textfile.TooMuch
	if errors.As(err, &tooLarge) {
		return nil, tooMuch(path, err)
	}
	if err != nil {
		return nil, err
	}
	return ParseNamedSources(path, text)
}

// sourcesLimits hold a list of services, of which the built-in one takes a hundredth part.
var sourcesLimits = textfile.Limits{Bytes: 512 << 10, Tokens: 8192, Depth: 16}

func tooMuch(path string, err error) error {
	return fmt.Errorf("%s: not a list of elevation services: %w; acreband services prints one to start from", path, err)
}

var sourceKey = regexp.MustCompile(`^[a-z0-9][a-z0-9/-]*$`)

// ParseNamedSources reads a list of services; path names it in errors.
func ParseNamedSources(path string, text []byte) ([]NamedSource, error) {
	var list struct {
		Sources []NamedSource `yaml:"sources"`
	}
	if err := sourcesLimits.YAML(text); err != nil {
		return nil, tooMuch(path, err)
	}
	if err := yaml.NewDecoder(bytes.NewReader(text), yaml.Strict()).Decode(&list); err != nil {
		return nil, fmt.Errorf("%s: not a list of elevation services: %w", path, err)
	}
	if len(list.Sources) == 0 {
		return nil, fmt.Errorf("%s: it lists no elevation service", path)
	}
	seen := map[string]bool{}
	for i, s := range list.Sources {
		if err := s.check(seen); err != nil {
			return nil, fmt.Errorf("%s: source %d (%q): %w", path, i+1, s.Key, err)
		}
		seen[s.Key] = true
	}
	return list.Sources, nil
}

func (s NamedSource) check(seen map[string]bool) error {
	switch {
	case !sourceKey.MatchString(s.Key):
		return errors.New("its key must be of a-z, 0-9, hyphens and slashes")
	case seen[s.Key]:
		return errors.New("its key is taken by another")
	case !isAddress(s.Address):
		return fmt.Errorf("its address %q does not begin with http:// or https://", s.Address)
	case s.AddressFrom == "":
		return errors.New(`say in address_from how its address is known, "memory" if nobody checked it`)
	}
	return nil
}

// named finds the service of a key.
func named(sources []NamedSource, key string) (NamedSource, bool) {
	for _, s := range sources {
		if s.Key == key {
			return s, true
		}
	}
	return NamedSource{}, false
}

func keysOf(sources []NamedSource) string {
	var keys []string
	for _, s := range sources {
		keys = append(keys, s.Key)
	}
	return strings.Join(keys, ", ")
}
