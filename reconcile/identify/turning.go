package identify

import "layshaft/catalog"

// Components of the likelihood of a ratio by turning.
const (
	turnRight = iota
	turnDoubled
	turnMissed
	turnSpeed
	turnOther
	turnParts
)

// turningEffort in minutes of turning one speed, when no feature states it
// (from memory).
const turningEffort = 5

// turningKernel is the error model of turning one speed of a family.
type turningKernel struct {
	right, double, turn, speed, other, sigma float64

	ratios []float64   // of the speed, by variant
	others [][]float64 // of the other speeds
}

func (fm *family) turning(ft *feature) turningKernel {
	k := turningKernel{
		turn: table["turning/turn"], speed: table["turning/speed"], other: table["turning/other"],
		sigma: table["turning/sigma-degrees"] / 360, ratios: ft.ratios,
	}
	if fm.Box == catalog.Transaxle {
		k.double = table["turning/double"]
	}
	for _, f := range fm.features {
		if f.Kind == catalog.FeatureRatio && f != ft {
			k.others = append(k.others, f.ratios)
		}
	}
	if len(k.others) == 0 {
		k.other, k.speed = k.other+k.speed, 0
	}
	s := scale(ft.Feature, k.double+k.turn+k.speed+k.other)
	k.double, k.turn, k.speed, k.other = k.double*s, k.turn*s, k.speed*s, k.other*s
	k.right = 1 - k.double - k.turn - k.speed - k.other
	return k
}

// weigh splits, by cause, the density per output turn of turning the input
// o.Turns times and reading o.Output.
func (k turningKernel) weigh(o *observed, row int) (p [turnParts]float64) {
	n, got, ratio := float64(o.Turns), float64(o.Output)/1e6, k.ratios[row]
	p[turnRight] = k.right * normal(got-n/ratio, k.sigma)
	if k.double > 0 {
		p[turnDoubled] = k.double * normal(got-2*n/ratio, k.sigma)
	}
	p[turnMissed] = k.turn / 2 * (normal(got-(n+1)/ratio, k.sigma) + normal(got-(n-1)/ratio, k.sigma))
	for _, other := range k.others {
		if r := other[row]; r > 0 {
			p[turnSpeed] += k.speed / float64(len(k.others)) * normal(got-n/r, k.sigma)
		}
	}
	p[turnOther] = k.other / (2 * n)
	return p
}
