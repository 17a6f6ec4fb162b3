package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// pkg is a package with its tests, parsed and type-checked.
type pkg struct {
	path, dir, name string
	fset            *token.FileSet
	files           []*file
	types           *types.Package
	info            *types.Info
}

// file is one file of a package.
type file struct {
	name     string // absolute
	src      []byte
	ast      *ast.File
	test     bool // it belongs to the tests
	external bool // it belongs to the package's external tests
}

// listed is what `go list` says of a package.
type listed struct {
	ImportPath, Dir, Name, Export                string
	GoFiles, CgoFiles, TestGoFiles, XTestGoFiles []string
}

// load reads a package by its path or folder.
func load(pattern string) (*pkg, error) {
	args := []string{"list", "-deps", "-test", "-export", "-json=ImportPath,Dir,Name,Export,GoFiles,CgoFiles,TestGoFiles,XTestGoFiles"}
	cmd := exec.Command("go", append(args, pattern)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list %s: %w", pattern, err)
	}
	exports := map[string]string{}
	all := map[string]listed{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var l listed
		if err := d.Decode(&l); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		exports[l.ImportPath], all[l.ImportPath] = l.Export, l
	}
	path, err := exec.Command("go", "list", pattern).Output()
	if err != nil {
		return nil, fmt.Errorf("go list %s: %w", pattern, err)
	}
	l, ok := all[strings.TrimSpace(string(path))]
	if !ok {
		return nil, fmt.Errorf("%s is not one package", pattern)
	}

	p := &pkg{path: l.ImportPath, dir: l.Dir, name: l.Name, fset: token.NewFileSet()}
	p.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}, Selections: map[*ast.SelectorExpr]*types.Selection{}}
	inside, err := p.parse(append(l.GoFiles, l.CgoFiles...), false, false)
	if err != nil {
		return nil, err
	}
	tests, err := p.parse(l.TestGoFiles, true, false)
	if err != nil {
		return nil, err
	}
	external, err := p.parse(l.XTestGoFiles, true, true)
	if err != nil {
		return nil, err
	}
	from := importer.ForCompiler(p.fset, "gc", func(path string) (io.ReadCloser, error) {
		name := exports[path]
		if name == "" {
			return nil, fmt.Errorf("no export data for %s", path)
		}
		return os.Open(name)
	})
	conf := types.Config{Importer: from, FakeImportC: true}
	if p.types, err = conf.Check(p.path, p.fset, append(inside, tests...), p.info); err != nil {
		return nil, err
	}
	// What external tests import may hold another copy of the package's types; that is
	// no matter, for only constants are looked for there.
	conf = types.Config{Importer: instead{from, p.types}, Error: func(error) {}}
	_, _ = conf.Check(p.path+"_test", p.fset, external, p.info)
	return p, nil
}

// instead imports a package that was checked here in place of its export data.
type instead struct {
	types.Importer
	checked *types.Package
}

func (i instead) Import(path string) (*types.Package, error) {
	if path == i.checked.Path() {
		return i.checked, nil
	}
	return i.Importer.Import(path)
}

// parse parses files of the package.
func (p *pkg) parse(names []string, test, external bool) ([]*ast.File, error) {
	var out []*ast.File
	for _, name := range names {
		full := filepath.Join(p.dir, name)
		src, err := os.ReadFile(full)
		if err != nil {
			return nil, err
		}
		a, err := parser.ParseFile(p.fset, full, src, parser.ParseComments)
		if err != nil {
			return nil, err
		}
		p.files = append(p.files, &file{full, src, a, test, external})
		out = append(out, a)
	}
	return out, nil
}
