package lots

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/write"
)

// Merge makes the outputs of a run from the journals of all its shards, with the
// bytes that one run would have given. Parts are journals, or folders that hold some.
// The outputs are in the units of the parts. It refuses parts that are missing, not finished, told in
// different units, or made from other inputs. Once the context is done it returns its error, at the next part or lot, and leaves the outputs as they were.
func Merge(ctx context.Context, dir string, parts []string, o Outputs, tell func(done, total int)) (made Made, err error) {
	paths, err := journalsIn(parts)
	if err != nil {
		return made, err
	}
	var journals []*journal
	defer func() {
		for _, j := range journals {
			err = errors.Join(err, j.file.Close())
		}
	}()
	for _, path := range paths {
		if err := ctx.Err(); err != nil {
			return made, err
		}
		file, err := os.Open(path)
		if err != nil {
			return made, err
		}
		j, _, err := openJournal(path, file, false)
		if err != nil {
			return made, errors.Join(err, file.Close())
		}
		journals = append(journals, j)
	}
	if err := together(journals); err != nil {
		return made, err
	}
	total := journals[0].head.Lots
	files, err := write.Begin(dir)
	if err != nil {
		return made, err
	}
	defer files.Discard()
	return assemble(ctx, dir, files, o, journals, func(done int) {
		if tell != nil {
			tell(done, total)
		}
	})
}

// journalsIn lists the journals that parts name.
func journalsIn(parts []string) ([]string, error) {
	var out []string
	for _, p := range parts {
		info, err := os.Stat(p)
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrParts, err)
		}
		if !info.IsDir() {
			out = append(out, p)
			continue
		}
		found, err := filepath.Glob(filepath.Join(p, "run*.journal"))
		if err != nil {
			return nil, err
		}
		if len(found) == 0 {
			return nil, fmt.Errorf("%w: %s: the folder holds no journal of a run (run-1-of-8.journal and so on)", ErrParts, p)
		}
		out = append(out, found...)
	}
	return out, nil
}

// together tells whether journals are the parts of one run, each finished.
func together(journals []*journal) error {
	if len(journals) == 0 {
		return fmt.Errorf("no part of a run is named: %w", ErrUnfinished)
	}
	first := journals[0]
	n := max(1, first.head.Shard.N)
	have := make([]string, n+1)
	for _, j := range journals {
		if j.head.Units != first.head.Units {
			return fmt.Errorf("%w: %s is told in %s units, and %s in %s units; run all parts with the same %s, those of the other units again with %s",
				ErrParts, j.path, j.head.Units, first.path, first.head.Units, setting.Name("units"), setting.Name("anew"))
		}
		changes := append(j.head.Sums.changes(first.head.Sums), j.head.Inputs.Changes(first.head.Inputs, false)...)
		if len(changes) > 0 {
			return fmt.Errorf("%s was %w than %s: %s", j.path, resume.ErrInputs, first.path, resume.Listed(changes))
		}
		s := j.head.Shard
		if max(1, s.N) != n {
			return fmt.Errorf("%w: %s is part %d of %d, and %s is of %d: give the parts of one run", ErrParts, j.path, s.I, s.N, first.path, n)
		}
		i := max(1, s.I)
		if have[i] != "" {
			return fmt.Errorf("%w: part %d of %d is there twice: %s and %s; remove one, or name the files", ErrParts, i, n, have[i], j.path)
		}
		have[i] = j.path
		if got := len(j.at); got < j.head.own() {
			return fmt.Errorf("%w: %s has %d of its %d lots; run that part again to go on", ErrUnfinished, j.path, got, j.head.own())
		}
	}
	var missing []string
	for i := 1; i <= n; i++ {
		if have[i] == "" {
			missing = append(missing, fmt.Sprint(i))
		}
	}
	if len(missing) > 0 {
		return fmt.Errorf("%w: of its %d parts these are missing: %s", ErrUnfinished, n, strings.Join(missing, ", "))
	}
	slices.SortFunc(journals, func(a, b *journal) int { return a.head.Shard.I - b.head.Shard.I })
	return all(journals)
}

// all refuses parts of which one could not read a lot that another could: it has cut the
// order of work otherwise, and does not know which of its lots have that one's ground.
func all(journals []*journal) error {
	for _, j := range journals {
		for place := range j.head.Sums.unreadPlaces() {
			for _, other := range journals {
				if other.head.Sums[uint32(place)] != unreadSum {
					return fmt.Errorf("%w: %s could not read lot %d of the file, which %s could: run that part again", ErrUnfinished, j.path, place, other.path)
				}
			}
		}
	}
	have := map[int]bool{}
	for _, j := range journals {
		for place := range j.at {
			have[place] = true
		}
	}
	if missing := journals[0].head.Lots - len(have); missing > 0 {
		return fmt.Errorf("%w: %d lots are in no part, since a part could not read a lot that another could; run the parts again with %s", ErrUnfinished, missing, setting.Name("retry-failed"))
	}
	return nil
}
