// Package identify names the variant of a gearbox from evidence that may be
// wrong: tooth counts, counts of other things, ratios by turning, sizes, yes/no
// features and marks.
//
// It is Bayes' rule over the variants of the catalogue and one more class,
// "none of these". Every kind of evidence has an error model, kept as data in
// rates.csv. Probabilities are sums of logarithms in whole units of 2^-40, so
// that neither the order of the evidence nor that of the catalogue changes the
// answer.
package identify
