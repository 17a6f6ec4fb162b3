// Command mutate breaks the rules that give or take ground, one small breakage at a time,
// and tells which of them a package's own tests do not notice.
//
//	go run ./.ci/mutate [flags] [PACKAGE...]
//	go run ./.ci/mutate ./slope                 all mutants of a package
//	go run ./.ci/mutate -at 'Machine.On' ./zoning   those whose file:line or function match
//	go run ./.ci/mutate -n 60 -seed 7           a sample over all packages of the scope
//	go run ./.ci/mutate -list ./slope           what would be tried
//	make mutate PACKAGE=./slope
//
// Every mutant is woven into one test program, which is compiled once; a variable of the
// environment chooses the one at work. Tests that lead to it are run, the quickest first,
// until one fails; one that does not end within a few seconds more than it takes is
// noticed too.
//
// Survivors are printed as they are found, and then a table by package. What survives
// because it changes nothing (a tie, a bound that is tight already) goes into the file
// accepted, with the reason: the line "PACKAGE | FUNCTION | SOURCE => CHANGE | REASON", the
// first three as -accept prints them. Which files of which packages are tried stands in
// the file scope.
//
// Mutants: a comparison turned or its tie moved, == and !=, && and ||, a condition or one
// of its parts forced, a sign, times and over, a number moved by a tenth (counts by one),
// a unit left out or turned the other way, min and max or one of their values left out, a
// statement left out, a switch's case left out, a field taken for one like it.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"text/tabwriter"
)

// counts is a row of the table.
type counts struct {
	name                                                    string
	tried, noticed, accepted, survived, notReached, leftOut int
}

// share is how much of what is not accepted was noticed.
func (c counts) share() float64 {
	if c.tried == c.accepted {
		return 1
	}
	return float64(c.noticed) / float64(c.tried-c.accepted)
}

type options struct {
	sample, atOnce        int
	seed                  uint64
	least                 float64
	at                    *regexp.Regexp
	list, asAccepted, all bool
	scope, accepted       string
}

func main() {
	var o options
	at := flag.String("at", "", "try only mutants whose `FILE:LINE: FUNCTION` match this expression")
	flag.IntVar(&o.sample, "n", 0, "try a sample of so many, over all packages together; 0 tries all")
	flag.IntVar(&o.atOnce, "p", 1, "run so many test programs at a time")
	flag.Uint64Var(&o.seed, "seed", 1, "which sample")
	flag.Float64Var(&o.least, "least", 0, "fail when less than this share in percent is noticed")
	flag.BoolVar(&o.list, "list", false, "list the mutants and try none")
	flag.BoolVar(&o.asAccepted, "accept", false, "print survivors as lines for the file accepted")
	flag.BoolVar(&o.all, "all", false, "print the accepted survivors too, and those that compile not")
	flag.StringVar(&o.scope, "scope", ".ci/mutate/scope", "the packages and files to try")
	flag.StringVar(&o.accepted, "accepted", ".ci/mutate/accepted", "survivors that are accepted, with reasons")
	flag.Parse()
	if *at != "" {
		o.at = regexp.MustCompile(*at)
	}
	if err := run(o, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

func run(o options, patterns []string) error {
	scope, err := scopeFrom(o.scope)
	if err != nil {
		return err
	}
	known, err := acceptedFrom(o.accepted)
	if err != nil {
		return err
	}
	if len(patterns) > 0 {
		scope = chosen(scope, patterns)
	}
	var found []*finder
	var tried [][]mutant
	for _, s := range scope {
		p, err := load(s.pattern)
		if err != nil {
			return err
		}
		w := find(p, s.in)
		found = append(found, w)
		tried = append(tried, slices.DeleteFunc(slices.Clone(w.mutants), func(m mutant) bool {
			return o.at != nil && !o.at.MatchString(fmt.Sprintf("%s:%d: %s", m.file, m.line, m.function))
		}))
	}
	if o.sample > 0 {
		tried = sampled(tried, o.sample, o.seed)
	}
	if o.list {
		for i, ms := range tried {
			for _, m := range ms {
				fmt.Println(short(found[i].path), m)
			}
		}
		return nil
	}
	return tryAll(o, known, found, tried)
}

// chosen keeps what patterns name of the scope; a package that is not in it is tried whole.
func chosen(scope []scoped, patterns []string) []scoped {
	var out []scoped
	for _, p := range patterns {
		p = "./" + strings.TrimPrefix(filepath.Clean(p), "./")
		if i := slices.IndexFunc(scope, func(s scoped) bool { return s.pattern == p }); i >= 0 {
			out = append(out, scope[i])
		} else {
			out = append(out, scoped{pattern: p})
		}
	}
	return out
}

// sampled takes n mutants of all packages.
func sampled(of [][]mutant, n int, seed uint64) [][]mutant {
	type at struct{ pkg, i int }
	var all []at
	for p := range of {
		for i := range of[p] {
			all = append(all, at{p, i})
		}
	}
	rand.New(rand.NewPCG(seed, 0)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	all = all[:min(n, len(all))]
	slices.SortFunc(all, func(a, b at) int { return a.i - b.i })
	out := make([][]mutant, len(of))
	for _, a := range all {
		out[a.pkg] = append(out[a.pkg], of[a.pkg][a.i])
	}
	return out
}

// short is a package's path within the module.
func short(path string) string {
	_, after, _ := strings.Cut(path, "/acreband/")
	_, after, _ = strings.Cut(after, "/")
	return after
}

func tryAll(o options, known accepted, found []*finder, tried [][]mutant) error {
	var rows []counts
	sum := counts{name: "all"}
	for i, w := range found {
		if len(tried[i]) == 0 {
			continue
		}
		row, err := tryPackage(o, known, w, tried[i])
		if err != nil {
			return err
		}
		rows = append(rows, row)
		sum.tried += row.tried
		sum.noticed += row.noticed
		sum.accepted += row.accepted
		sum.survived += row.survived
		sum.notReached += row.notReached
		sum.leftOut += row.leftOut
	}
	out := tabwriter.NewWriter(os.Stdout, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(out, "package\tmutants\tnoticed\taccepted\tsurvivors\tof them not reached\tnoticed of those not accepted\tdo not compile\t")
	for _, r := range append(rows, sum) {
		fmt.Fprintf(out, "%s\t%d\t%d\t%d\t%d\t%d\t%.1f%%\t%d\t\n", r.name, r.tried, r.noticed, r.accepted, r.survived, r.notReached, 100*r.share(), r.leftOut)
	}
	if err := out.Flush(); err != nil {
		return err
	}
	if 100*sum.share() < o.least {
		return fmt.Errorf("%.1f%% of the mutants are noticed; %g%% must be", 100*sum.share(), o.least)
	}
	return nil
}

func tryPackage(o options, known accepted, w *finder, mutants []mutant) (counts, error) {
	row := counts{name: short(w.path)}
	folder, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return row, err
	}
	defer os.RemoveAll(folder)
	b, err := build(w, folder)
	if err != nil {
		return row, err
	}
	tests, err := b.trials(o.atOnce)
	if err != nil {
		return row, err
	}
	i := -1
	for fate := range inOrder(o.atOnce, len(mutants), func(i int) fate { return b.try(mutants[i], tests) }) {
		i++
		m := mutants[i]
		if fate == leftOut {
			row.leftOut++
			if o.all {
				fmt.Println("does not compile", row.name, m)
			}
			continue
		}
		row.tried++
		reason, ok := known[key(row.name, m)]
		switch {
		case fate == noticed:
			row.noticed++
			if ok && o.all {
				fmt.Println("accepted, but noticed:", key(row.name, m))
			}
		case ok:
			row.accepted++
			if o.all {
				fmt.Println("accepted", row.name, m, "|", reason)
			}
		default:
			row.survived++
			said := "survived"
			if fate == notReached {
				row.notReached++
				said = "not reached"
			}
			if o.asAccepted {
				fmt.Println(key(row.name, m), "|")
			} else {
				fmt.Println(said, row.name, m)
			}
		}
	}
	return row, nil
}
