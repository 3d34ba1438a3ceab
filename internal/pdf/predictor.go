package pdf

import "errors"

var errPredictor = errors.New("a predictor with parameters that make no sense")

// unpredict undoes the predictor (7.4.4.4; Tables 8 and 10) in data, which it
// may overwrite. A row that is cut short is used as far as it goes.
func (f filterStep) unpredict(data []byte) ([]byte, error) {
	kind := f.int("Predictor", 1)
	if kind < 2 {
		return data, nil
	}
	colours, bits, columns := f.int("Colors", 1), f.int("BitsPerComponent", 8), f.int("Columns", 1)
	if colours < 1 || colours > 256 || columns < 1 || columns > 1<<24 || !validDepth(bits) {
		return data, errPredictor
	}
	row, pixel := (colours*bits*columns+7)/8, max(1, colours*bits/8)
	if kind == 2 {
		for at := 0; at < len(data); at += row {
			unTIFF(data[at:min(at+row, len(data))], bits, colours)
		}
		return data, nil
	}
	return unPNG(data, row, pixel)
}

func validDepth(bits int) bool {
	return bits == 1 || bits == 2 || bits == 4 || bits == 8 || bits == 16
}

// unTIFF undoes the TIFF predictor in one row: each component is the
// difference from that of the pixel to its left.
func unTIFF(row []byte, bits, colours int) {
	left := make([]int, colours)
	for i := range len(row) * 8 / bits {
		c := i % colours
		left[c] += component(row, i, bits)
		setComponent(row, i, bits, left[c])
	}
}

func component(row []byte, i, bits int) int {
	if bits == 16 {
		return int(row[2*i])<<8 | int(row[2*i+1])
	}
	at := i * bits
	return int(row[at/8]) >> (8 - bits - at%8) & (1<<bits - 1)
}

func setComponent(row []byte, i, bits, v int) {
	if bits == 16 {
		row[2*i], row[2*i+1] = byte(v>>8), byte(v)
		return
	}
	at, mask := i*bits, 1<<bits-1
	shift := 8 - bits - at%8
	row[at/8] = row[at/8]&^byte(mask<<shift) | byte(v&mask<<shift)
}

// unPNG undoes the PNG predictors: each row begins with the number of its own.
func unPNG(data []byte, row, pixel int) (out []byte, err error) {
	out = make([]byte, 0, len(data))
	above := make([]byte, min(row, len(data)))
	for len(data) > 1 {
		kind, line := data[0], data[1:min(row+1, len(data))]
		data = data[len(line)+1:]
		if !unPNGRow(kind, line, above, pixel) {
			err = errPredictor
		}
		out = append(out, line...)
		above = out[len(out)-len(line):]
	}
	return out, err
}

// unPNGRow undoes one row in place; the row above is at least as long.
func unPNGRow(kind byte, line, above []byte, pixel int) (known bool) {
	for i := range line {
		var a, c byte // left, and left of above
		if i >= pixel {
			a, c = line[i-pixel], above[i-pixel]
		}
		switch kind {
		case 0:
		case 1:
			line[i] += a
		case 2:
			line[i] += above[i]
		case 3:
			line[i] += byte((int(a) + int(above[i])) / 2)
		case 4:
			line[i] += paeth(a, above[i], c)
		default:
			return false
		}
	}
	return true
}

// paeth returns which of left, above and above left is nearest to left +
// above - above left (PNG, 9.4).
func paeth(a, b, c byte) byte {
	p := int(a) + int(b) - int(c)
	da, db, dc := abs(p-int(a)), abs(p-int(b)), abs(p-int(c))
	switch {
	case da <= db && da <= dc:
		return a
	case db <= dc:
		return b
	}
	return c
}

func abs(n int) int { return max(n, -n) }
