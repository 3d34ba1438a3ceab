// Package render draws pages of a PDF file as images, with PDFium running as
// WebAssembly inside the process: no C compiler, no program to install.
//
// Start with New, which loads the engine once; Engine.Page draws one page of a
// file, Engine.Open keeps a file open for several. Drawing shows the file as
// it opens, with the default states of its layers: to preview a choice, write
// that choice first and draw the result.
//
// An Engine is safe for concurrent use; a File belongs to one goroutine at a
// time. Nothing is read from disk but the compilation cache, and nothing is
// printed.
package render
