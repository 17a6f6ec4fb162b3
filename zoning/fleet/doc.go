// Package fleet reads the machines a crew may bring, and the slopes each is
// held to, from a YAML file.
//
// # The file
//
//	machines:
//	  - key: boom-head           # its name in every output; a-z, 0-9, hyphen
//	    name: Boom-mounted head  # what people call it
//	    limit: 40%               # steepest ground it works, straight up and down
//	    basis: "manual, p. 12"   # optional: where the limit comes from
//	    procedure_above: 35%     # optional: above this, a written procedure
//	    tether_above: 38%        # optional: above this, on a tether only
//	    rated_max: 45%           # optional: the maker's rating, from the manual
//	    caution: "..."           # optional: what to mind when planning it
//
// The order matters: ground goes to the first machine that may work it, so the
// machine to send first stands first and every limit is above those before it.
// [DefaultYAML] is a whole file with comments, ready to edit.
//
// # Units
//
// A slope is written with its unit, 35% or 19.3deg, and a bare number is
// refused, because 35deg is 70%. In a [zoning.Machine] all slopes are percent,
// rise over run times 100, so that percent = 100 · tan(angle).
//
// # What is refused
//
// A file either gives a fleet that can be used as written or an [*Error] that
// names the file, the line, what is wrong there and what to do about it. The
// first trouble found is reported. Nothing is guessed, corrected or skipped:
// a misspelt key would otherwise drop a limit without a word.
//
// # Invariants
//
// A fleet returned without an error has 1 to [zoning.MaxMachines] machines and
// passes [zoning.CheckFleet]. Its limits rise strictly and lie above 0% and at
// or below 60deg (173.2%). ProcedureAbovePct and TetherAbovePct are 0 or below
// LimitPct; RatedMaxPct is 0 or at least LimitPct. Key, Name and Basis are not
// empty: a basis that the file leaves out says so. Name, Basis and Caution are one line each: any run of white space in
// the file becomes one space.
package fleet
