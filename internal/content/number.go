package content

import "math"

// maxReal is the largest real number that ISO 32000-1, Table C.1 gives. Larger
// ones are cut to it, so that a number is always finite.
const maxReal = 3.403e38

// numberEnd returns the end of the number that begins at i with a digit, a
// sign or a point.
//
// The standard knows digits with one sign before and one point in them
// (7.3.3). What else is found in files is read as most engines read it (Poppler,
// MuPDF and PDFium by their sources, pdf.js and PDFBox from memory):
//
//   - A second minus sign at the start is ignored, "--5" is -5: MuPDF, pdf.js,
//     PDFBox (Poppler reads 0 and -5, PDFium 0).
//   - A minus sign further on is ignored too, "6-3" is 63: pdf.js and PDFBox
//     after Adobe Reader, Poppler after the point (PDFium reads 6, MuPDF
//     nothing).
//   - A second point begins another number, "1.2.3" is 1.2 and .3: Poppler,
//     pdf.js, PDFBox (PDFium reads 1.2 alone, MuPDF nothing).
//   - A letter ends the number, "5w" is 5 and the operator w: Poppler, pdf.js,
//     PDFBox (PDFium and MuPDF read an unknown word). So there are no
//     exponents.
//   - A sign or a point without a digit is 0: Poppler, MuPDF, pdf.js, PDFium.
func numberEnd(data []byte, i int) int {
	point := data[i] == '.'
	for i++; i < len(data); i++ {
		switch c := data[i]; {
		case c-'0' <= 9, c == '-':
		case c == '.' && !point:
			point = true
		default:
			return i
		}
	}
	return i
}

// parseNumber returns the value of what numberEnd found. It is correctly
// rounded for up to 15 digits, more than any coordinate has.
func parseNumber(token []byte) float64 {
	var digits uint64
	exponent, point := 0, false
	for _, c := range token {
		d := c - '0'
		switch {
		case d <= 9 && digits < 1e18:
			digits = digits*10 + uint64(d)
			if point {
				exponent--
			}
		case c == '.':
			point = true
		case d <= 9 && !point:
			exponent++
		}
	}
	v := scaleNumber(float64(digits), exponent)
	if token[0] == '-' && v != 0 {
		return -v
	}
	return v
}

// scaleNumber returns v*10^exponent, at most maxReal.
func scaleNumber(v float64, exponent int) float64 {
	if 0 <= -exponent && -exponent < len(powersOfTen) {
		return min(v/powersOfTen[-exponent], maxReal)
	}
	switch {
	case v == 0 || exponent < -math.MaxInt16:
		return 0
	case exponent < -308:
		return v / math.Pow10(308) / math.Pow10(-308-exponent)
	case exponent < 0:
		return v / math.Pow10(-exponent)
	case exponent > 38:
		return maxReal
	}
	return min(v*math.Pow10(exponent), maxReal)
}

// powersOfTen are those that a float64 holds exactly.
var powersOfTen = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}
