package pdf

import (
	"bytes"
	"crypto/md5"
	"encoding/binary"
)

// unlock finds the key of the file. The password is tried as the owner's, then
// as the user's, then the empty one as the user's; an empty one is never taken
// for the owner's. None fits: the error is an ErrPassword.
func (e *encryption) unlock(password string) error {
	tries := e.spellings(password)
	for _, pw := range tries {
		if e.openAsOwner(pw) {
			e.opened = OwnerPassword
			return nil
		}
	}
	for _, pw := range tries {
		if e.openAsUser(pw) {
			e.opened = UserPassword
			return nil
		}
	}
	if e.openAsUser(nil) {
		e.opened = NoPassword
		return nil
	}
	if password == "" {
		return ErrPassword
	}
	return errWrongPassword
}

// spellings are the bytes that a password may stand for: up to revision 4
// those of PDFDocEncoding, or of UTF-8, from revision 5 on those of UTF-8. An
// empty password has none.
func (e *encryption) spellings(password string) [][]byte {
	switch {
	case password == "":
		return nil
	case e.revision >= 5:
		return [][]byte{[]byte(password[:min(len(password), 127)])}
	}
	list := [][]byte{[]byte(password)}
	if doc, ok := toPDFDoc(password); ok && !bytes.Equal(doc, list[0]) {
		list = append([][]byte{doc}, list...)
	}
	return list
}

// toPDFDoc encodes the first characters of a password, as many as count, in
// PDFDocEncoding; ok is false where one cannot be.
func toPDFDoc(s string) (out []byte, ok bool) {
	for _, r := range s {
		if len(out) == len(padding) {
			break
		}
		c := 0
		for c < 256 && pdfDocRune(byte(c)) != r {
			c++
		}
		if c == 256 {
			return nil, false
		}
		out = append(out, byte(c))
	}
	return out, true
}

func (e *encryption) openAsOwner(pw []byte) bool {
	if e.revision >= 5 {
		return e.openAsOwner256(pw)
	}
	for _, n := range e.lengths {
		if e.openAsUser(e.userPassword(pw, n)) {
			return true
		}
	}
	return false
}

func (e *encryption) openAsUser(pw []byte) bool {
	if e.revision >= 5 {
		return e.openAsUser256(pw)
	}
	for _, n := range e.lengths {
		key := e.userKey(pw, n)
		if have, want := e.userCheck(key), e.bytes("U")[:32]; bytes.Equal(have, want[:len(have)]) {
			e.key = key
			return true
		}
	}
	return false
}

// padding fills a password up to 32 bytes (7.6.3.3).
const padding = "\x28\xBF\x4E\x5E\x4E\x75\x8A\x41\x64\x00\x4E\x56\xFF\xFA\x01\x08" +
	"\x2E\x2E\x00\xB6\xD0\x68\x3E\x80\x2F\x0C\xA9\xFE\x64\x53\x69\x7A"

func padded(pw []byte) []byte {
	return append(append([]byte(nil), pw...), padding...)[:len(padding)]
}

// userKey makes the key of the file, of n bytes, from a user password
// (Algorithm 2).
func (e *encryption) userKey(pw []byte, n int) []byte {
	in := append(padded(pw), e.bytes("O")[:32]...)
	in = binary.LittleEndian.AppendUint32(in, e.permissions)
	in = append(in, e.id...)
	if e.revision >= 4 && !e.metadata {
		in = append(in, 0xFF, 0xFF, 0xFF, 0xFF)
	}
	sum := md5.Sum(in)
	if e.revision >= 3 {
		for range 50 {
			sum = md5.Sum(sum[:n])
		}
	}
	return sum[:n]
}

// userCheck is what U begins with where the key is right (Algorithms 4 to 6).
func (e *encryption) userCheck(key []byte) []byte {
	if e.revision == 2 {
		return rc4Bytes(key, []byte(padding))
	}
	sum := md5.Sum(append([]byte(padding), e.id...))
	out := sum[:]
	for i := range 20 {
		out = rc4Bytes(xored(key, byte(i)), out)
	}
	return out
}

// userPassword is the user password, padded, where pw is the owner's
// (Algorithms 3 and 7).
func (e *encryption) userPassword(pw []byte, n int) []byte {
	sum := md5.Sum(padded(pw))
	last := 0
	if e.revision >= 3 {
		for range 50 {
			sum = md5.Sum(sum[:])
		}
		last = 19
	}
	out := e.bytes("O")[:32]
	for i := last; i >= 0; i-- {
		out = rc4Bytes(xored(sum[:n], byte(i)), out)
	}
	return out
}

func xored(key []byte, with byte) []byte {
	out := bytes.Clone(key)
	for i := range out {
		out[i] ^= with
	}
	return out
}
