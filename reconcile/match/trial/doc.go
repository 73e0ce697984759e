// Package trial makes and reads the material that package match is measured on:
// invented catalogues, noisy kit lists with their truth, and the lists written
// by hand under testdata.
//
// Nothing here is taken from a real list. Positions, kinds and ways of writing
// are common practice of the trade; numbers, sizes and suppliers are invented,
// bearing designations are those of the ISO tables in catalog/standard.
// writings.csv marks abbreviations that the matcher's lexicon does not have.
package trial
