// Package compared writes a comparison of two sets of results as one HTML file
// that needs nothing else.
//
//  1. report.go holds what is told, in words and numbers
//  2. page.go puts it into the page, with its figures drawn inside
//
// It stands apart because the comparison itself (sim/rivals) draws nothing, and a
// debrief tells one flight, not many.
package compared
