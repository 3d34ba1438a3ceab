package sizes

// Key brings a name into the form in which two layer names are the same but
// for the way they are written: folded as Match compares names, and without
// quotes, brackets around it all and what drawing programs append to copies:
// "Size 08" and " size 8 copy 2" have one key. It is empty for a name in which
// nothing is seen.
func Key(name string) string {
	if len(name) > maxTextBytes {
		return name
	}
	return bare(fold(name))
}
