package field

import "math"

// Agreement tells how two ways of sorting the same things agree. Counts[i][j] is
// how many the map puts in band i and the ground in band j (rows and columns as in
// Congalton 1991). What cannot be computed is NaN.
type Agreement struct {
	Counts  [][]int
	N       int
	Overall float64 // share on the diagonal
	// User is, by band, the share of what the map puts there that is of it; Producer
	// the share of what is of it that the map puts there.
	User, Producer []float64

	// Kappa is Cohen's (1960): agreement beyond that of chance. Low and High are its
	// 95% interval, Kappa ± 1.96 KappaSE held to [-1, 1], by the large-sample
	// variance of Fleiss, Cohen and Everitt 1969. It is rough below some 50 readings,
	// and NaN where all agree, since the formula then has no width.
	Kappa, KappaSE, Low, High float64
}

// agree computes the agreement of a square table of counts.
func agree(counts [][]int) Agreement {
	k := len(counts)
	a := Agreement{Counts: counts, User: make([]float64, k), Producer: make([]float64, k)}
	rows, cols := make([]float64, k), make([]float64, k)
	same := 0.0
	for i, row := range counts {
		for j, n := range row {
			rows[i] += float64(n)
			cols[j] += float64(n)
			a.N += n
		}
		same += float64(row[i])
	}
	for i := range k {
		a.User[i] = float64(counts[i][i]) / rows[i]
		a.Producer[i] = float64(counts[i][i]) / cols[i]
	}
	n := float64(a.N)
	po, pe := same/n, 0.0
	for i := range k {
		pe += rows[i] / n * cols[i] / n
	}
	a.Overall = po
	a.Kappa = (po - pe) / (1 - pe)

	// Fleiss, Cohen and Everitt 1969, with weights of 1 and 0:
	// n(1-pe)⁴·var = Σ pii·((1-pe) - (pi. + p.i)(1-po))² + (1-po)²·Σ(i≠j) pij·(p.i + pj.)² - (po·pe - 2pe + po)²
	sum := 0.0
	for i, row := range counts {
		for j, c := range row {
			p := float64(c) / n
			if i == j {
				sum += p * math.Pow((1-pe)-(rows[i]+cols[i])/n*(1-po), 2)
			} else {
				sum += p * math.Pow((1-po)*(cols[i]+rows[j])/n, 2)
			}
		}
	}
	sum -= math.Pow(po*pe-2*pe+po, 2)
	a.KappaSE = math.Sqrt(max(sum, 0)/n) / ((1 - pe) * (1 - pe))
	if po == 1 {
		a.KappaSE = math.NaN()
	}
	a.Low, a.High = max(a.Kappa-z95*a.KappaSE, -1), min(a.Kappa+z95*a.KappaSE, 1)
	return a
}

// z95 bounds 95% of a normal distribution on both sides.
const z95 = 1.959963984540054
