package pdf

import (
	"errors"
	"fmt"
)

// maxFilters bounds the filters of one stream.
const maxFilters = 8

// Decode gives the decoded data of a stream. Damaged data gives what could be
// decoded together with a *DamageError; a filter that gives no bytes of
// content (DCTDecode, CCITTFaxDecode, ...) and an unknown one give an error alone.
// limit bounds the decoded size; zero or less is the default of
// Limits.StreamBytes. The data of a stream without filters is its Raw, and not
// to be changed.
func Decode(src Objects, s *Stream, limit int64) ([]byte, error) {
	lim := Limits{StreamBytes: limit}.withDefaults()
	chain, err := filters(src, s.Dict)
	if err != nil {
		return nil, err
	}
	data := s.Raw
	var damage *DamageError
	for _, f := range chain {
		out, err := f.decode(data, lim.StreamBytes)
		if err != nil && !errors.As(err, &damage) {
			return nil, err
		}
		data = out
	}
	switch {
	case int64(len(data)) > lim.StreamBytes:
		return nil, &LimitError{LimitStreamBytes, lim.StreamBytes}
	case damage != nil:
		return data, damage
	}
	return data, nil
}

// filterStep is one filter with its parameters (7.4.1).
type filterStep struct {
	src   Objects
	name  Name
	parms Dict
}

// filters lists the filters of a stream in the order of decoding (Table 5).
// References are followed wherever they stand.
func filters(src Objects, d Dict) ([]filterStep, error) {
	names, parms := oneOrMore(src, d["Filter"]), oneOrMore(src, d["DecodeParms"])
	if len(names) > maxFilters {
		return nil, &LimitError{LimitFilters, maxFilters}
	}
	var chain []filterStep
	for i, o := range names {
		f := filterStep{src: src, name: AsName(src, o)}
		if i < len(parms) {
			f.parms = AsDict(src, parms[i])
		}
		if f.name == "" {
			return nil, errors.New("a stream has a filter that is no name")
		}
		chain = append(chain, f)
	}
	return chain, nil
}

// oneOrMore returns the elements of an array, or what is none as the only one.
func oneOrMore(src Objects, o Object) Array {
	switch o := Resolve(src, o).(type) {
	case nil:
		return nil
	case Array:
		return o
	default:
		return Array{o}
	}
}

// decode applies the filter (Table 6), by its name or its abbreviation (Table
// 94).
func (f filterStep) decode(data []byte, limit int64) ([]byte, error) {
	switch f.name {
	case "FlateDecode", "Fl":
		return f.predicted(inflate(data, limit))
	case "LZWDecode", "LZW":
		return f.predicted(unLZW(data, f.int("EarlyChange", 1) != 0, limit))
	case "ASCII85Decode", "A85":
		return f.damaged(unASCII85(data, limit))
	case "ASCIIHexDecode", "AHx":
		return f.damaged(unASCIIHex(data))
	case "RunLengthDecode", "RL":
		return f.damaged(unRunLength(data, limit))
	case "Crypt":
		return data, nil // what it encrypts was decrypted on opening
	case "DCTDecode", "DCT", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode", "CCF":
		return nil, fmt.Errorf("filter %s gives an image, no bytes of content", f.name)
	}
	return nil, fmt.Errorf("filter %q is unknown", string(f.name))
}

func (f filterStep) int(key Name, def int) int { return AsInt(f.src, f.parms[key], def) }

// damaged turns what a filter met into a *DamageError.
func (f filterStep) damaged(data []byte, err error) ([]byte, error) {
	var limit *LimitError
	if err == nil || errors.As(err, &limit) {
		return data, err
	}
	return data, &DamageError{f.name, err}
}

// predicted undoes the predictor of Flate and LZW data, damaged or not.
func (f filterStep) predicted(data []byte, err error) ([]byte, error) {
	var limit *LimitError
	if errors.As(err, &limit) {
		return nil, err
	}
	out, perr := f.unpredict(data)
	if err == nil {
		err = perr
	}
	return f.damaged(out, err)
}
