package find

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"

	"github.com/goccy/go-yaml"

	"github.com/acreband/acreband/terrain/textfile"
)

//go:embed sources.yaml
var builtIn string

// BuiltInYAML returns the built-in list of services: every key explained, ready to edit.
func BuiltInYAML() []byte { return []byte(builtIn) }

// BuiltIn returns the built-in list of services. The slice is the caller's own.
func BuiltIn() []Source {
	out, err := Parse("the built-in list of services", BuiltInYAML())
	if err != nil {
		panic(err) // the file is compiled in; its test reads it
	}
	return out
}

// Read reads a list of services from a file.
func Read(path string) ([]Source, error) {
	text, err := listLimits.Read(path)
	var tooLarge *textfile.TooMuch
	if errors.As(err, &tooLarge) {
		return nil, tooMuch(path, err)
	}
	if err != nil {
		return nil, err
	}
	return Parse(path, text)
}

// listLimits hold a list of services, of which the built-in one takes a hundredth part.
var listLimits = textfile.Limits{Bytes: 512 << 10, Tokens: 8192, Depth: 16}

func tooMuch(path string, err error) error {
	return fmt.Errorf("%s: not a list of elevation services: %w; acreband services prints one to start from", path, err)
}

// Parse reads a list of services; path names it in errors.
func Parse(path string, text []byte) ([]Source, error) {
	var list struct {
		Sources []Source `yaml:"sources"`
	}
	if err := listLimits.YAML(text); err != nil {
		return nil, tooMuch(path, err)
	}
	if err := yaml.NewDecoder(bytes.NewReader(text), yaml.Strict()).Decode(&list); err != nil {
		return nil, fmt.Errorf("%s: not a list of elevation services: %w", path, err)
	}
	if len(list.Sources) == 0 {
		return nil, fmt.Errorf("%s: it lists no elevation service", path)
	}
	seen := map[string]bool{}
	for i := range list.Sources {
		s := &list.Sources[i]
		if s.Kind == "" {
			s.Kind = KindFile
		}
		if err := s.check(seen); err != nil {
			return nil, fmt.Errorf("%s: source %d (%q): %w", path, i+1, s.Key, err)
		}
		seen[s.Key] = true
	}
	return list.Sources, nil
}
