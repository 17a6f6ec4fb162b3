package plan

// Days is how long one machine works some acres of a slope under a cover, in days of
// scheduled hours, by the likeliest figures and with no walking in it. It is false
// where the figures are not given or cannot be used, or the machine does not work that cover.
func (b *Book) Days(machine string, c Cover, acres, slopeMeanPct float64) (float64, bool) {
	f := b.Machine(machine)
	if f == nil || c == CoverNotGiven || c >= covers || f.missing() != "" || f.check() != nil || b.Job.check() != nil ||
		!isAmount(acres) || !isAmount(slopeMeanPct) {
		return 0, false
	}
	v := valuesOf(b.cost(), []kind{{figures: f}}, &b.Job, likeliest)
	if checkModel(v.cost, v) != nil {
		return 0, false
	}
	perAcre, ease := v.productiveH(0, c), v.cost.Ease(f, Piece{SlopeMeanPct: slopeMeanPct, Cover: c, GrossAcres: acres, NetAcres: acres})
	if perAcre == 0 || !(ease > 0) {
		return 0, false
	}
	return acres / ease * perAcre / v.productive / b.Job.DayH, true
}
