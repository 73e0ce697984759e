// Package match finds the parts that the lines of a kit list mean.
//
// A line is read against the catalogue in this order: part numbers (exact,
// with confusable characters folded, repaired at distance 1 or 2 when the words
// agree), bearing designation, sizes, threads and tooth counts with typed
// agreement, conflict or silence, and words through the trade's and the shop's
// lexicon. Candidates come from the variant and the numbers first and from the
// whole catalogue for lines that are still open, for obscure ones by the letters
// of names as well. A conditional logit over the
// candidates and "none of these" turns the evidence into a probability.
//
// A line is certain only when its probability reaches the threshold for the
// catalogue's size and the attribute that tells its candidates apart is stated.
// The joint view over the list only re-ranks open lines; it never makes a line
// certain.
//
// The lexicon (words.csv, concepts.csv) is common practice of the trade. The
// default weights (weights.csv) are made by
//
//	go test -run Train ./reconcile/match -train
//
// from generated lists of package trial, on catalogues that no test uses.
package match
