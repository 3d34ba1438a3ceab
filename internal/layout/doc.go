// Package layout holds the project to its map: what stands at the top, and
// which package may import which. It has tests alone.
package layout
