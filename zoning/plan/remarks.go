package plan

import (
	"fmt"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// notes say how a plan counts.
func notes(u measure.Units, j *Job) []string {
	rest := "Ground that no machine brought works stays standing, and costs nothing."
	if j.Rest == Hand {
		rest = fmt.Sprintf("Ground that no machine brought works goes to a hand crew at $%s %s, in the cost; its hours are not counted.", perAreaText(u, j.HandPerAcre.Likely), u.AnArea())
	}
	all := []string{
		"An estimate from the figures given, not a quote.",
		rest,
		fmt.Sprintf("Price is cost with %s overhead and %s contingency on it, %s of the price as margin, and at least $%s.",
			percentText(j.Overhead), percentText(j.Contingency), percentText(j.Margin), moneyText(j.MinimumUSD)),
		"Not counted: hauling debris away, stumps below the ground, erosion control, locating utilities, permits of the site, a machine that waits for another.",
		"Work begins when the last machine is unloaded.",
	}
	if j.text["left_standing"] != "" && !j.assumed["left_standing"] {
		all = append(all, j.oldStanding(u))
	}
	return all
}

// oldStanding says what became of the key that worth replaces.
func (j *Job) oldStanding(u measure.Units) string {
	if j.StandingPerAcre == formerStandingPerAcre {
		return "left_standing: is no longer asked for, and its value was a default: write worth: with what " + u.AnArea() + " more is worth to you."
	}
	return fmt.Sprintf("left_standing: is replaced by worth:, and understood as worth: $%s/ac where that is not written.", moneyText(j.StandingPerAcre))
}

// formerStandingPerAcre is what left_standing was where nobody had written it.
const formerStandingPerAcre = 4000

// worth is what an acre more is worth to the owner, in dollars; 0 where he does not say.
func (j *Job) worth() float64 {
	if j.WorthPerAcre == 0 && j.StandingPerAcre != formerStandingPerAcre {
		return j.StandingPerAcre
	}
	return j.WorthPerAcre
}

// caution adds what the site and the recommended crew ask for.
func (p *planner) caution(plan *Plan) {
	facts := crewFacts{w: plan.wording(), apartFt: plan.ApartFt}
	signs := p.site.Signs
	signs.NearLimitAcres = max(signs.NearLimitAcres, plan.VerifyAcres)
	for _, e := range plan.Excluded {
		if e.Zone == zoning.UnknownKey {
			signs.NoElevationAcres = max(signs.NoElevationAcres, e.Acres)
		}
	}
	facts.clearedAcres = plan.NetAcres
	var crews [][]Brought
	if len(plan.Options) > 0 {
		facts.clearedAcres -= plan.Options[0].LeftAcres
		crews = append(crews, plan.Options[0].Crew)
	}
	for _, c := range plan.ByCover {
		crews = append(crews, c.Crew)
	}
	brought := map[string]bool{}
	for _, crew := range crews {
		machines := 0
		for _, b := range crew {
			brought[b.Key] = true
			machines += b.Count
		}
		facts.machines = max(facts.machines, machines)
	}
	for _, k := range p.kinds {
		if !brought[k.machine.Key] {
			continue
		}
		if k.figures.Remote {
			facts.remote = append(facts.remote, k.machine.Name)
		}
		if k.permit != "" {
			facts.overLimits = append(facts.overLimits, k.machine.Name+" "+k.permit)
		}
	}
	facts.thickStems = p.thickStems(brought)
	plan.Cautions = signs.cautions(facts)
}
