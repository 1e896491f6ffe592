// Package document edits the elements of a region's JSON files (facilities,
// road features, assets) and leaves every byte alone that the edit does not
// concern: unknown members, their order, white space, line ends and the text of
// numbers. A file under version control then differs by what was edited only.
//
// What is new is written in the manner of what stands around it. Where a new
// value equals the old one (members in any order, 9.0e3 for 9000), the old text
// stays.
package document
