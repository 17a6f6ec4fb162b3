// Package fleet reads the machines a crew may bring, and what each is held to,
// from a YAML file.
//
// # The file
//
//	machines:
//	  - key: boom-head           # its name in every output; a-z, 0-9, hyphen
//	    name: Boom-mounted head  # what people call it
//	    limit: 35%               # steepest ground it drives on, straight up and down
//	    cross: 15%               # optional, as all below: steepest slope across it
//	    wet_limit: 20%           # the two on wet ground
//	    wet_cross: 8%
//	    width: 9ft
//	    work: selective          # or production; left out, both
//	    basis: "manual, p. 12"   # where the limit comes from, or a map from
//	                             # keys to where each value does
//	    caution: "..."           # what to mind when planning it
//
// [zoning.Specs] lists the keys of numbers with their bounds; [DefaultYAML] is a whole
// file that explains every key, ready to edit.
//
// The order matters: ground goes to the first machine that may work it, so the
// machine to send first stands first.
//
// Under plan: and job: stand figures for planning work, each a key and a text with its
// unit. [ParseFigures] hands them out beside the machines; what they mean is for
// package plan to say, which has the defaults.
//
// # Units
//
// Every value is written with its unit, 35% or 19.3deg, 10ft, 18in or 3m, 5psi
// or 35kPa, 0.1ac or 0.05ha ([ParseSlope], [ParseLength], [ParsePressure],
// [ParseArea]). A bare number is refused, because 35deg is 70%. In a
// [zoning.Machine] all slopes are percent, rise over run times 100, so that
// percent = 100 · tan(angle), lengths are metres, pressures kilopascals, areas
// acres.
//
// # What is refused
//
// A file either gives a fleet that can be used as written or an [*Error] that
// names the file, the line, what is wrong there and what to do about it. The
// first trouble found is reported. Nothing is guessed, corrected or skipped:
// a misspelt key would otherwise drop a limit without a word. A machine is refused
// that could never be first: one that is better than a machine before it in
// nothing that decides which ground it works.
//
// # Invariants
//
// A fleet returned without an error has 1 to [zoning.MaxMachines] machines and
// passes [zoning.Fleet.Check]. Limits lie above 0% and at or below 60deg (173.2%).
// [zoning.Machine.Driving] and [zoning.Machine.Standing] give limits that are no
// higher across than along, on wet ground than on dry, and standing than driving.
// ProcedureAbovePct and TetherAbovePct are 0 or below LimitPct; RatedMaxPct is 0
// or at least LimitPct. ReachM is above 0 exactly if ReachUpPct or ReachDownPct
// is. TetherM, Anchor and TetherBasis come only with TetherAbovePct, TetherBasis
// only with both others, and Anchor is the key of another machine. Key, Name and
// Basis are not empty: a basis that the file leaves out says so. Name, Basis,
// TetherBasis and Caution are one line each: any run of white space in the file
// becomes one space.
package fleet
