// Package sheet turns a workbook (XLSX) or a CSV file into the text that
// package kitlist reads: one line a row, cells set off by tabs, the column heads
// first. Which sheet, which head row and which columns are meant is guessed,
// said in the outcome, and can be corrected in the options. Every cell of the
// text is tied to the cell of the file that it came from.
//
// Nothing is read that a person does not see: hidden sheets, rows and columns
// are left out and named in the notices. Of merged cells the words and numbers
// are repeated down the merge, a quantity never, for it would count twice.
package sheet
