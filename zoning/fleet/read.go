package fleet

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"

	"github.com/goccy/go-yaml/ast"

	"github.com/acreband/acreband/terrain/textfile"
	"github.com/acreband/acreband/zoning"
)

// Read reads a fleet file. Errors are [*Error]; errors.Is finds fs.ErrNotExist
// in that of a file that is not there.
func Read(path string) (zoning.Fleet, error) {
	text, err := textOf(path)
	if err != nil {
		return nil, err
	}
	return Parse(path, text)
}

// textOf reads a file, up to the byte that is one too many.
func textOf(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, &Error{File: path,
			Problem: "this is a folder, not a fleet file",
			Cure:    "give the path of the YAML file in it"}
	}
	text, err := textfile.Limits{Bytes: maxBytes}.ReadAll(f)
	var much *textfile.TooMuch
	if errors.As(err, &much) {
		return text, nil // the parser says where
	}
	if err != nil {
		return nil, unreadable(path, err)
	}
	return text, nil
}

func unreadable(path string, err error) error {
	e := &Error{File: path, cause: err,
		Problem: "the fleet file cannot be read: " + err.Error(),
		Cure:    "check that it may be read"}
	var at *fs.PathError
	if errors.As(err, &at) {
		e.Problem = "the fleet file cannot be read: " + at.Err.Error()
	}
	if errors.Is(err, fs.ErrNotExist) {
		e.Problem = "there is no such fleet file"
		e.Cure = "check the path; acreband fleet prints a file to start from"
	}
	return e
}

// Parse reads the text of a fleet file. name is the file's name in errors,
// which are [*Error].
func Parse(name string, text []byte) (zoning.Fleet, error) {
	root, err := tree(text)
	var machines zoning.Fleet
	if err == nil {
		machines, err = readMachines(root)
	}
	return machines, inFile(name, err)
}

// inFile names the file that an error is about.
func inFile(name string, err error) error {
	var e *Error
	if errors.As(err, &e) {
		e.File = name
	}
	return err
}

func readMachines(root ast.Node) (zoning.Fleet, error) {
	list, err := machineList(root)
	if err != nil {
		return nil, err
	}
	machines := make(zoning.Fleet, 0, zoning.MaxMachines)
	var earlier []entry
	for i, node := range list {
		if i == zoning.MaxMachines {
			return nil, &Error{Line: startLine(node),
				Problem: fmt.Sprintf("machine %d is one too many: a fleet holds at most %d", i+1, zoning.MaxMachines),
				Cure:    "keep the machines that this job may use"}
		}
		e, err := readEntry(node)
		if err != nil {
			return nil, err
		}
		if err := e.checkAgainst(earlier); err != nil {
			return nil, err
		}
		earlier = append(earlier, e)
		machines = append(machines, e.machine)
	}
	for _, e := range earlier {
		if err := e.checkAnchor(earlier); err != nil {
			return nil, err
		}
	}
	return machines, nil
}

// fileKeys are the parts of a fleet file: [Parse] reads the machines, [ParseFigures]
// the figures too.
var fileKeys = []string{"machines", planKey, jobKey}

// machineList returns the entries under machines:, at least one.
func machineList(root ast.Node) ([]ast.Node, error) {
	const cure = "list at least one under machines:; acreband fleet prints a file to start from"
	if root == nil {
		return nil, &Error{Line: 1, Problem: "the fleet file is empty", Cure: cure}
	}
	pairs, err := readPairs(root, fileKeys, "the file")
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(pairs, func(p pair) bool { return p.key == "machines" })
	if at < 0 {
		return nil, &Error{Line: startLine(root), Problem: "the fleet file has no machines", Cure: cure}
	}
	switch v := pairs[at].value.(type) {
	case *ast.SequenceNode:
		if len(v.Values) > 0 {
			return v.Values, nil
		}
	case *ast.NullNode:
	default:
		return nil, &Error{Line: pairs[at].line,
			Problem: "machines: is not a list",
			Cure:    "begin each machine with a hyphen, as in - key: track-loader"}
	}
	return nil, &Error{Line: pairs[at].line, Problem: "the fleet file has no machines", Cure: cure}
}
