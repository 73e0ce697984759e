// Package gearing is the geometry of involute gear pairs between two parallel
// shafts: exact ratios from tooth counts, centre distances with profile shift,
// tooth sums that suit a centre distance, measuring sizes of a single wheel,
// and the rules of hand.
//
// Formulas follow ISO 21771 (gear geometry) in the normal system. Sizes go in
// and out as exact quantities; inside, trigonometry is done in float64 and the
// result is rounded to whole nanometres or microdegrees. Profile shift
// coefficients are plain numbers (multiples of the normal module).
package gearing
