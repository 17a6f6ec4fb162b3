package fleet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

const (
	exampleCure   = "list at least one under machines:; acreband fleet prints a file to start from"
	explainedCure = "? acreband fleet prints a file that explains every key"
	machineKeys   = "the keys here are key, name, limit, cross, wet_limit, wet_cross, swing_limit, swing_cross, " +
		"wet_swing_limit, wet_swing_cross, reach, reach_up, reach_down, procedure_above, tether_above, tether_basis, tether, anchor, " +
		"rated_max, footprint, width, weight, height, step, roughness, crest, run, tallest, stem, pressure, patch, work, thrown, basis, caution"
	slopeCure     = "write a slope with its unit, such as 35% or 19.3deg"
	spellingCure  = "begin with a-z or 0-9 and use only those and hyphens, as in track-loader"
	yamlCure      = "check the quotes, brackets and indents of this line and the one above (spaces, no tabs)"
	refusedCure   = "write the value itself, in quotes if it begins with that sign; a slope is written 35% or 19.3deg"
	tooBigCure    = "give a fleet file; acreband fleet prints one to start from"
	orderCure     = "list it before that one, write what it does better, or delete one of the two"
	secondDocCure = "keep one document in a fleet file: delete the line --- and list every machine under one machines:"
)

// one is a file with one machine whose lines from the fourth on are given.
func one(lines ...string) string {
	return "machines:\n  - key: a\n    name: A\n" + indent(lines)
}

// two puts a second machine on lines 5 and after, behind one of 30%.
func two(lines ...string) string {
	return one("limit: 30%") + "  - name: B\n" + indent(lines)
}

func indent(lines []string) string {
	var s strings.Builder
	for _, l := range lines {
		s.WriteString("    " + l + "\n")
	}
	return s.String()
}

func many(n int) string {
	var s strings.Builder
	s.WriteString("machines:\n")
	for i := range n {
		fmt.Fprintf(&s, "- {key: m%d, name: M, limit: %d%%}\n", i, i+1)
	}
	return s.String()
}

type refusal struct {
	name, text    string
	line          int
	problem, cure string
}

var refusals = slices.Concat(refusedFiles, refusedValues)

var refusedFiles = []refusal{
	// Slopes.
	{"limit without a unit", one("limit: 30"), 4,
		`limit "30" has no unit`, "write 30% for percent or 30deg for degrees"},
	{"decimal limit without a unit", one("basis: b", "limit: 30.5"), 5,
		`limit "30.5" has no unit`, "write 30.5% for percent or 30.5deg for degrees"},
	{"quoted limit without a unit", one(`limit: "30"`), 4,
		`limit "30" has no unit`, "write 30% for percent or 30deg for degrees"},
	{"procedure_above without a unit", one("limit: 30%", "procedure_above: 25"), 5,
		`procedure_above "25" has no unit`, "write 25% for percent or 25deg for degrees"},
	{"tether_above without a unit", one("limit: 30%", "tether_above: 25"), 5,
		`tether_above "25" has no unit`, "write 25% for percent or 25deg for degrees"},
	{"rated_max without a unit", one("limit: 30%", "rated_max: 45"), 5,
		`rated_max "45" has no unit`, "write 45% for percent or 45deg for degrees"},
	{"negative limit", one("limit: -30%"), 4, `limit "-30%" is below zero`, slopeCure},
	{"infinite limit", one("limit: .inf"), 4, `limit ".inf" is not a slope`, slopeCure},
	{"limit not a number", one("limit: .nan"), 4, `limit ".nan" is not a slope`, slopeCure},
	{"upright limit", one("limit: 90deg"), 4, `limit "90deg" is not below 90deg`, slopeCure},
	{"unit of its own", one("limit: 17 degrees"), 4, `limit "17 degrees" is not a slope`, slopeCure},
	{"limit of zero", one("limit: 0%"), 4,
		"limit is 0%; it must be above 0%", "write the steepest slope it works, such as 30%"},
	{"procedure on all ground", one("limit: 30%", "procedure_above: 0%"), 5,
		"procedure_above is 0%; it must be above 0%",
		"delete the line if no procedure is asked for; for one on all ground, write 0.1%"},
	{"tether on all ground", one("limit: 30%", "tether_above: 0deg"), 5,
		"tether_above is 0deg; it must be above 0%",
		"delete the line if no tether is asked for; for one on all ground, write 0.1%"},
	{"rating of zero", one("limit: 30%", "rated_max: 0%"), 5,
		"rated_max is 0%; it must be above 0%", "enter the rating from the machine's manual, or delete the line"},
	{"limit past 60deg", one("limit: 173.3%"), 4,
		`limit 173.3% of machine "a" is above 60deg (173.2%), the steepest that any machine is planned for`,
		"write at most 60deg, and no more than the machine's manual allows"},
	{"limit past 60deg in degrees", one("limit: 60.01deg"), 4,
		`limit 60.01deg of machine "a" is above 60deg (173.2%), the steepest that any machine is planned for`,
		"write at most 60deg, and no more than the machine's manual allows"},
	{"rating below the limit", one("rated_max: 29.9%", "limit: 30%"), 4,
		`rated_max 29.9% of machine "a" is below its limit 30%`,
		"lower the limit to the rating or below, or check the rating in the manual"},
	{"procedure at the limit", one("procedure_above: 45deg", "limit: 100%"), 4,
		`procedure_above 45deg of machine "a" could never apply: its limit is 100%`,
		"write a slope below the limit, or delete the line"},
	{"procedure above the limit", one("limit: 30%", "procedure_above: 35%"), 5,
		`procedure_above 35% of machine "a" could never apply: its limit is 30%`,
		"write a slope below the limit, or delete the line"},
	{"tether at the limit", one("limit: 30%", "basis: b", "tether_above: 30%"), 6,
		`tether_above 30% of machine "a" could never apply: its limit is 30%`,
		"write a slope below the limit, or delete the line"},

	// Keys of the file.
	{"misspelt key", one("limits: 30%"), 4,
		`"limits" is not a key of a machine`, "did you mean limit" + explainedCure},
	{"key with a hyphen", one("limit: 30%", "procedure-above: 20%"), 5,
		`"procedure-above" is not a key of a machine`, "did you mean procedure_above" + explainedCure},
	{"key in capitals", one("Limit: 30%"), 4,
		`"Limit" is not a key of a machine`, "did you mean limit" + explainedCure},
	{"half a key", one("limit: 30%", "rated: 50%"), 5,
		`"rated" is not a key of a machine`, "did you mean rated_max" + explainedCure},
	{"more than a key", one("limit_pct: 30%"), 4,
		`"limit_pct" is not a key of a machine`, "did you mean limit" + explainedCure},
	{"transposed letters", one("limit: 30%", "cuation: c"), 5,
		`"cuation" is not a key of a machine`, "did you mean caution" + explainedCure},
	{"strange key", one("limit: 30%", "colour: red"), 5,
		`"colour" is not a key of a machine`, machineKeys},
	{"very long key", one(strings.Repeat("limit", 20) + ": 1"), 4,
		`"` + strings.Repeat("limit", 20) + `" is not a key of a machine`, machineKeys},
	{"misspelt list", "# my fleet\nmachine:\n  - key: a\n", 2,
		`"machine" is not a key of the file`, "did you mean machines" + explainedCure},
	{"key beside the list", many(1) + "version: 2\n", 3,
		`"version" is not a key of the file`, "the keys here are machines, plan, job"},
	{"key given twice", one("limit: 30%", "basis: b", "limit: 40%"), 6,
		"limit is given a second time; the first is on line 4", "keep one of the two"},
	{"list given twice", many(1) + many(1), 3,
		"machines is given a second time; the first is on line 1", "keep one of the two"},

	// Keys of machines.
	{"key of two machines", two("limit: 40%", "key: a"), 7,
		`key "a" is already taken by the machine on line 2`, "give each machine a key of its own"},
	{"reserved no-machine", "machines:\n- key: no-machine\n", 2,
		`key "no-machine" is reserved: maps use it for ground that no machine is given`, "choose another key"},
	{"reserved no-data", "machines:\n- key: no-data\n", 2,
		`key "no-data" is reserved: maps use it for ground that no machine is given`, "choose another key"},
	{"key in capitals", "machines:\n- key: Track\n", 2, `key "Track" cannot be used`, spellingCure},
	{"key with a space", "machines:\n- key: track loader\n", 2, `key "track loader" cannot be used`, spellingCure},
	{"key with an underscore", "machines:\n- key: track_loader\n", 2, `key "track_loader" cannot be used`, spellingCure},
	{"key outside ASCII", "machines:\n- key: pelle-à-câble\n", 2, `key "pelle-à-câble" cannot be used`, spellingCure},
	{"key like a flag", "machines:\n- key: --out\n", 2, `key "--out" cannot be used`, spellingCure},

	// What is missing.
	{"no key", "machines:\n- name: A\n  limit: 30%\n", 2, `machine "A" has no key`, "add a line to it: key: track-loader"},
	{"no name", "machines:\n\n- key: a\n  limit: 30%\n", 3, `machine "a" has no name`, "add a line to it: name: Track loader"},
	{"no limit", one("basis: b"), 2, `machine "a" has no limit`, "add a line to it: limit: 30%"},
	{"only a caution", "machines:\n  - caution: c\n", 2, `this machine has no key`, "add a line to it: key: track-loader"},
	{"empty machine", "machines:\n  - {}\n", 2, `this machine has no key`, "add a line to it: key: track-loader"},
	{"nothing after the hyphen", many(1) + "-\n", 3,
		"a machine does not hold lines of the form key: value",
		"write key, name, limit, each followed by a colon and a space"},
	{"machine that is a word", "machines:\n  - track-loader\n", 2,
		"a machine does not hold lines of the form key: value",
		"write key, name, limit, each followed by a colon and a space"},
	{"no value", "machines:\n- key: a\n  name:\n  limit: 30%\n", 3,
		"name has no value", "write one after name:, or delete the line if the machine does not need it"},
	{"null value", one("limit: ~"), 4,
		"limit has no value", "write one after limit:, or delete the line if the machine does not need it"},
	{"blank value", one(`basis: " "`), 4,
		"basis has no value", "write one after basis:, or delete the line if the machine does not need it"},
	{"value that is a list", one("limit: [30%]"), 4,
		"limit holds a list or a map", "write one value after limit:, in quotes if it begins with [ or {"},
	{"value that is a map", one("caution:", "  manual: p. 3"), 4,
		"caution holds a list or a map", "write one value after caution:, in quotes if it begins with [ or {"},
	{"bell in a name", "machines:\n- key: a\n  name: \"A\\a\"\n", 3,
		`name "A\a" holds characters that cannot be printed`, "write it in plain text"},

	// The fleet as a whole.
	{"machine that can never be first", two("key: b", "limit: 25%"), 7,
		`machine "b" can never be first: its limit 25% is not above the 30% of machine "a" on line 4, and it is better in nothing else`, orderCure},
	{"machine with an earlier one's limit", two("key: b", "limit: 30.0%"), 7,
		`machine "b" can never be first: its limit 30.0% is not above the 30% of machine "a" on line 4, and it is better in nothing else`, orderCure},
	{"the same limit in degrees", "machines:\n- {key: a, name: A, limit: 100%}\n- {key: b, name: B, limit: 45deg}\n", 3,
		`machine "b" can never be first: its limit 45deg is not above the 100% of machine "a" on line 2, and it is better in nothing else`, orderCure},
	{"too many machines", many(zoning.MaxMachines + 1), 16,
		"machine 15 is one too many: a fleet holds at most 14", "keep the machines that this job may use"},
	{"empty list", "\nmachines: []\n", 2, "the fleet file has no machines", exampleCure},
	{"nothing in the list", "machines:\n", 1, "the fleet file has no machines", exampleCure},
	{"empty map", "# none\n{}\n", 2, "the fleet file has no machines", exampleCure},
	{"empty file", "", 1, "the fleet file is empty", exampleCure},
	{"only comments", "# a\n# b\n", 1, "the fleet file is empty", exampleCure},
	{"only a document mark", "---\n", 1, "the fleet file is empty", exampleCure},
	{"machines as a map", "machines:\n  a:\n    limit: 30%\n", 1,
		"machines: is not a list", "begin each machine with a hyphen, as in - key: track-loader"},
	{"machines as a word", "machines: all\n", 1,
		"machines: is not a list", "begin each machine with a hyphen, as in - key: track-loader"},
	{"list without machines:", "# mine\n- key: a\n", 2,
		"the file does not hold lines of the form key: value", "write machines, plan, job, each followed by a colon and a space"},
	{"prose", "\n\nhello\n", 3,
		"the file does not hold lines of the form key: value", "write machines, plan, job, each followed by a colon and a space"},

	// YAML.
	{"second document", many(1) + "---\n" + many(1), 4, "a second YAML document begins here", secondDocCure},
	{"third line a new document", "---\n" + many(1) + "...\n---\nx: 1\n", 6, "a second YAML document begins here", secondDocCure},
	{"anchor", one("limit: &l 30%"), 4, "an anchor (&) is not used in a fleet file", refusedCure},
	{"alias", one("limit: *l"), 4, "an alias (*) is not used in a fleet file", refusedCure},
	{"merge key", one("<<: {limit: 30%}"), 4, "a merge key (<<) is not used in a fleet file", refusedCure},
	{"tag", one("limit: !!str 30%"), 4, "a tag (!) is not used in a fleet file", refusedCure},
	{"complex key", "machines:\n- ? key\n  : a\n", 2, "a complex key (?) is not used in a fleet file", refusedCure},
	{"percent first", one("limit: %30"), 4, `limit "%30" is not a slope`, slopeCure},
	{"directive", "%YAML 1.2\n---\n" + many(1), 1, "a directive (%) is not used in a fleet file", refusedCure},
	{"tab", "machines:\n\t- key: a\n", 2, "this is not YAML: found character ' ' that cannot start any token", yamlCure},
	{"open quote", "machines:\n- key: \"a\n  name: A\n", 2,
		"this is not YAML: could not find end character of double-quoted text", yamlCure},
	{"open bracket", "machines: [{key: a},\n {key: b}\n", 1,
		"this is not YAML: sequence end token ']' not found", yamlCure},
	{"indent", one("limit: 30%") + "   basis: b\n", 5, "this is not YAML: value is not allowed in this context", yamlCure},
	{"two colons", one("limit: 30%: 40%"), 4, "this is not YAML: mapping value is not allowed in this context", yamlCure},
	{"bytes that are no text", many(1) + "- key: \xff\n", 3, "the text is not UTF-8", "save the file as plain text in UTF-8"},
	{"UTF-16", "m\x00a\x00c\x00h\x00", 1, "the text is not UTF-8", "save the file as plain text in UTF-8"},
	{"too big", many(1) + strings.Repeat("# padding\n", 1<<17), 104856,
		"the file has more than 1048576 bytes, far more than a fleet needs", tooBigCure},
	{"too deep", "machines:\n" + strings.Repeat("[", 1<<16), 2,
		"more than 8192 YAML tokens, far more than a fleet needs", tooBigCure},
	{"too much", strings.Repeat("machines:\n", 1<<13), 4097,
		"more than 8192 YAML tokens, far more than a fleet needs", tooBigCure},
	{"aliases of aliases", "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nmachines: *c\n", 1,
		"an anchor (&) is not used in a fleet file", refusedCure},
}

func TestParseRefuses(t *testing.T) {
	for _, c := range refusals {
		t.Run(c.name, func(t *testing.T) {
			machines, err := fleet.Parse("crew.yaml", []byte(c.text))
			require.Error(t, err)
			assert.Nil(t, machines)
			var e *fleet.Error
			require.ErrorAs(t, err, &e)
			assert.Equal(t, c.line, e.Line)
			assert.Equal(t, c.problem, e.Problem)
			assert.Equal(t, c.cure, e.Cure)
			assert.Equal(t, fmt.Sprintf("crew.yaml:%d: %s; %s", c.line, c.problem, c.cure), err.Error())
		})
	}
}
