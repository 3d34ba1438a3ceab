// Package testpdf makes PDF files for tests, and the picture a correct program
// must reproduce. Nothing outside tests imports it.
//
// Build and BuildObjects make small files from readable text. Random makes
// whole layered documents from a seed. Reference rewrites any file so that
// every renderer draws it with exactly the chosen groups on: it is the oracle.
// Poppler, MuPDF and QPDF run outside programs; Compare compares images;
// Gaps explains by name what a renderer is known not to implement. The
// package oracle below joins these into one call.
//
// The reading of PDF here is written apart from the project's own readers, so
// that a mistake there cannot hide a mistake here.
package testpdf
