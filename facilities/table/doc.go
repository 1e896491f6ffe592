// Package table writes the elements of a region's JSON files as a flat table in CSV
// (RFC 4180), for people who work in a spreadsheet, and merges such a table back.
//
// A table holds what fits into a row, under column names that carry their units.
// What does not fit, such as a rota, is neither written nor touched. [Form.Merge]
// changes only what its columns name, keyed by the column id; everything else in the
// file keeps its bytes:
//
//   - a column that is not there, and a blank cell, leave the value as it is;
//   - a cell with a single hyphen takes the value away;
//   - a row with a new id adds an element; an element without a row stays.
//
// Read are UTF-8 with or without a byte order mark, line ends of either kind, and
// cells between commas, semicolons or tabs. Between semicolons or tabs a decimal comma
// is a decimal point; between commas it is refused.
//
// Spreadsheets take a cell that begins with = + - or @ for a formula. In columns of
// text such a cell is written with an apostrophe in front, which is taken off again on
// the way in; without it, a text that begins with = is refused. Numbers are written as
// they are.
package table
