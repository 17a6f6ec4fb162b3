package main

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

//go:embed support.go.txt
var support string

// built is the test program of a package that holds all its mutants.
type built struct {
	*finder
	program string
	without map[int]bool // sites that do not compile so
}

// build compiles the package's tests with every mutant in them, in a folder. Mutants that
// do not compile are left out.
func build(w *finder, folder string) (*built, error) {
	b := &built{finder: w, program: filepath.Join(folder, w.name+".test"), without: map[int]bool{}}
	over := map[string]string{}
	extra := filepath.Join(folder, "support.go")
	text := strings.NewReplacer("PACKAGE", w.name, "SITES", itoa(w.sites+1)).Replace(support)
	if err := os.WriteFile(extra, []byte(text), 0o600); err != nil {
		return nil, err
	}
	over[filepath.Join(w.dir, "mutants_support.go")] = extra
	for i, f := range w.files {
		over[f.name] = filepath.Join(folder, itoa(i)+".go")
	}
	overlay := filepath.Join(folder, "overlay.json")
	asJSON, err := json.Marshal(map[string]any{"Replace": over})
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(overlay, asJSON, 0o600); err != nil {
		return nil, err
	}
	for range 30 {
		for _, f := range w.files {
			text := weave(f, w.edits[f], b.without)
			if imports(f.ast, "math") && len(w.edits[f]) > 0 {
				text += "\nvar _ = math.Pi\n" // every use of it may be gone
			}
			if err := os.WriteFile(over[f.name], []byte(text), 0o600); err != nil {
				return nil, err
			}
		}
		cmd := exec.Command("go", "test", "-c", "-gcflags=-e", "-overlay", overlay, "-o", b.program, w.path)
		out, err := cmd.CombinedOutput()
		if err == nil {
			return b, nil
		}
		if !b.leaveOut(string(out)) {
			return nil, fmt.Errorf("the mutants of %s do not compile:\n%s", w.path, out)
		}
	}
	return nil, fmt.Errorf("the mutants of %s do not compile", w.path)
}

var complaint = regexp.MustCompile(`(?m)^(.+\.go):(\d+)(?::\d+)?: `)

// leaveOut leaves out the sites of lines that the compiler complains of, and reports
// whether there were any.
func (b *built) leaveOut(complaints string) bool {
	more := false
	for _, m := range complaint.FindAllStringSubmatch(complaints, -1) {
		line, _ := strconv.Atoi(m[2])
		for i, f := range b.files {
			if filepath.Base(m[1]) != filepath.Base(f.name) && filepath.Base(m[1]) != itoa(i)+".go" {
				continue
			}
			tf := b.fset.File(f.ast.Pos())
			for _, e := range b.edits[f] {
				if (tf.Line(tf.Pos(e.start)) == line || tf.Line(tf.Pos(e.end)) == line) && !b.without[e.site] {
					b.without[e.site], more = true, true
				}
			}
		}
	}
	return more
}
