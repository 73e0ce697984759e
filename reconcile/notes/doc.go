// Package notes reads a bench note, the few lines in which a rebuilder says
// what happens to the parts on the bench, into proposed decisions: single
// positions and groups, what is renewed, kept, reworked, sent out, absent, left
// out or still open.
//
// Reading never fails and invents nothing. A part named without a word is read
// as wanted new, since a note lists what is replaced; whatever is not
// understood, could mean several positions, or is said twice with different
// words becomes a Question that keeps its text. Every byte of the text belongs
// to exactly one span (Result.Check).
//
// A text is cut into words, words into items (words.csv and the lexicon of
// package match), items into things and verdicts, and those into statements;
// the things are then looked up among the positions of the variant.
//
// words.csv is common practice of the trade.
package notes
