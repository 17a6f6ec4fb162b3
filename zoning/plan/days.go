package plan

// Days is how long one machine works some acres of a slope under a cover, in days of
// scheduled hours, by the likeliest figures and with no walking in it. It is false
// where the figures are not given, or the machine does not work that cover.
func (b *Book) Days(machine string, c Cover, acres, slopeMeanPct float64) (float64, bool) {
	f := b.Machine(machine)
	if f == nil || c == CoverNotGiven || c >= covers || f.missing() != "" || b.Job.check() != nil {
		return 0, false
	}
	k := kind{figures: f}
	v := valuesOf([]kind{k}, &b.Job, likeliest)
	if !(v.machines[0].rate[c] > 0) {
		return 0, false
	}
	productive := acres / k.ease(Piece{SlopeMeanPct: slopeMeanPct}) * v.productiveH(0, c)
	return productive / v.productive / b.Job.DayH, true
}
