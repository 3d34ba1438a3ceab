// Package artwork lays the pieces of the Tollmere skirt out on a sheet.
//
// Start with [Skirt], which gives a [Drawing]: marks in millimetres, each in
// a layer or in none, each with a colour and a dash of its own. A drawing
// knows nothing of a file format, so the same one can be written with layers
// or without, in any colour space, whole or in tiles.
//
// The origin is the lower left corner of the sheet and the y axis points up.
package artwork
