// Package draft drafts the Tollmere skirt, the project's own invented
// pattern, from body measurements by ordinary drafting rules.
//
// Start with [New], which gives the five pieces of one size. The rules stand
// in rules.go, each with its source; panel.go applies them to the front and
// back, facing.go and pocket.go derive the smaller pieces from these. Nothing
// here knows of colours, layers or files.
//
// All lengths are millimetres. The y axis points up, the hip line is y = 0,
// and x = 0 is the centre front or centre back. Outlines are seam lines,
// without allowances, and made of cubic Bézier curves.
package draft
