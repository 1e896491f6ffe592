package table

import "strings"

// formulaStarts are what makes a spreadsheet take a cell for a formula, and the
// apostrophe itself, so that taking it off again gives back what was there.
const formulaStarts = "=+-@\t\r'"

// SafeText returns a text for a cell that no spreadsheet takes for a formula: with an
// apostrophe in front where it begins like one.
func SafeText(text string) string {
	if text != "" && strings.Contains(formulaStarts, text[:1]) {
		return "'" + text
	}
	return text
}

// plainText takes the apostrophe of SafeText off.
func plainText(cell string) string {
	if rest, ok := strings.CutPrefix(cell, "'"); ok && rest != "" && strings.Contains(formulaStarts, rest[:1]) {
		return rest
	}
	return cell
}
