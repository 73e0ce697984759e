// Package kitlist reads the contents of a kit from pasted text: a spreadsheet, an e-mail, a page copied from a PDF, a
// counter note, a phone message. It knows nothing of a catalogue: it says what stands in the text (quantities, part
// numbers, designations, sizes, flags, headings) and where, never which part is meant.
//
// Read never fails. What it cannot understand stays in the list as words or noise, what a person must decide is a
// Question, and every byte of the input belongs to exactly one span (List.Check proves it).
//
// The word lists are in words/*.csv, one file a language, and are common practice of the trade.
package kitlist
