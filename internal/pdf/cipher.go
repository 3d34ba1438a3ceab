package pdf

import (
	"bytes"
	"context"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hmac"
	"crypto/md5"
	"crypto/rc4"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/binary"
	"slices"
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
		return e.open256(pw, "O", "OE", e.bytes("U")[:48])
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
		return e.open256(pw, "U", "UE", nil)
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
		return rc4Bytes(context.Background(), key, []byte(padding))
	}
	sum := md5.Sum(append([]byte(padding), e.id...))
	out := sum[:]
	for i := range 20 {
		out = rc4Bytes(context.Background(), xored(key, byte(i)), out)
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
		out = rc4Bytes(context.Background(), xored(sum[:n], byte(i)), out)
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

// open256 is Algorithm 2.A (ISO 32000-2, 7.6.4.3.3) with the user password, for U
// and UE, or the owner's, for O and OE, where u is part of what is hashed. U and O
// hold a hash and two salts, UE and OE the encrypted key.
func (e *encryption) open256(pw []byte, check, key Name, u []byte) bool {
	c := e.bytes(check)
	if !bytes.Equal(e.hash(pw, c[32:40], u), c[:32]) {
		return false
	}
	e.key = unwrapped(e.hash(pw, c[40:48], u), e.bytes(key)[:32])
	return true
}

// unwrapped decrypts the key of the file: AES without a vector or padding.
func unwrapped(key, data []byte) []byte {
	out := make([]byte, len(data))
	cipher.NewCBCDecrypter(newAES(key), make([]byte, aes.BlockSize)).CryptBlocks(out, data)
	return out
}

// hash is SHA-256 in revision 5 (Adobe Supplement to ISO 32000, extension
// level 3, 3.5.2) and Algorithm 2.B in revision 6 (ISO 32000-2, 7.6.4.3.4).
func (e *encryption) hash(pw, salt, u []byte) []byte {
	sum := sha256.Sum256(slices.Concat(pw, salt, u))
	k := sum[:]
	if e.revision == 5 {
		return k
	}
	for i, last := 0, 0; i < 64 || last > i-32; i++ {
		data := bytes.Repeat(slices.Concat(pw, k, u), 64)
		cipher.NewCBCEncrypter(newAES(k[:16]), k[16:32]).CryptBlocks(data, data)
		k, last = hashOf(data), int(data[len(data)-1])
	}
	return k[:32]
}

// hashOf hashes with the function that the first 16 bytes name: as a number
// they leave the same rest when divided by 3 as their sum does.
func hashOf(data []byte) []byte {
	sum := 0
	for _, b := range data[:16] {
		sum += int(b)
	}
	switch sum % 3 {
	case 0:
		h := sha256.Sum256(data)
		return h[:]
	case 1:
		h := sha512.Sum384(data)
		return h[:]
	}
	h := sha512.Sum512(data)
	return h[:]
}

// checkPermissions compares P with its encrypted copy (ISO 32000-2, Algorithm
// 13): what either forbids is forbidden. ok is false where the copy cannot be
// read or differs. Before revision 5 P is part of the key.
func (e *encryption) checkPermissions() (ok bool) {
	if e.revision < 5 {
		return true
	}
	perms := e.bytes("Perms")
	if len(perms) < aes.BlockSize {
		return false
	}
	plain := make([]byte, aes.BlockSize)
	newAES(e.key).Decrypt(plain, perms)
	if string(plain[9:12]) != "adb" {
		return false
	}
	said, copied := e.permissions, binary.LittleEndian.Uint32(plain)
	e.permissions = said & copied
	return said == copied
}

// method is how data is encrypted (Table 25; ISO 32000-2, Table 25).
type method byte

const (
	identity method = iota // not at all
	rc4Cipher
	aes128
	aes256
)

func (m method) isAES() bool { return m == aes128 || m == aes256 }

// cipher is the name of the cipher, "" where there is none.
func (m method) cipher() string {
	switch m {
	case rc4Cipher:
		return "RC4"
	case aes128, aes256:
		return "AES"
	}
	return ""
}

// objectKey is the key for the strings and the data of one object (Algorithm
// 1, steps a to d). With AES of 256 bits it is that of the file (ISO 32000-2,
// Algorithm 1.A).
func (e *encryption) objectKey(m method, num Ref, gen int) []byte {
	if m == aes256 {
		return e.key
	}
	in := append([]byte(nil), e.key...)
	in = append(in, byte(num), byte(num>>8), byte(num>>16), byte(gen), byte(gen>>8))
	if m == aes128 {
		in = append(in, "sAlT"...)
	}
	sum := md5.Sum(in)
	return sum[:min(len(e.key)+5, len(sum))]
}

// open decrypts data of an object into new bytes, which do not count once ctx has ended. ok is false where AES data
// is no whole number of blocks or not padded as it should be; then what there
// is comes back.
func (e *encryption) open(ctx context.Context, m method, num Ref, gen int, data []byte) (plain []byte, ok bool) {
	switch {
	case m == identity || len(data) == 0:
		return data, true
	case m == rc4Cipher:
		return rc4Bytes(ctx, e.objectKey(m, num, gen), data), true
	}
	return openAES(ctx, e.objectKey(m, num, gen), data)
}

// openAES undoes sealAES. Empty data after the initialisation vector is empty.
func openAES(ctx context.Context, key, data []byte) (plain []byte, ok bool) {
	const size = aes.BlockSize
	if len(data) < size {
		return nil, false
	}
	whole := len(data) % size
	vector, body := data[:size], data[size:len(data)-whole]
	plain = make([]byte, len(body))
	at, decrypter := plain, cipher.NewCBCDecrypter(newAES(key), vector)
	for piece := range pieces(ctx, body) {
		decrypter.CryptBlocks(at, piece)
		at = at[len(piece):]
	}
	n := 0
	if len(plain) > 0 {
		n = int(plain[len(plain)-1])
		if n == 0 || n > size || !bytes.Equal(plain[len(plain)-n:], bytes.Repeat([]byte{byte(n)}, n)) {
			return plain, false
		}
	}
	return plain[:len(plain)-n], whole == 0
}

// seal encrypts data of an object of generation 0 into new bytes.
func (e *encryption) seal(ctx context.Context, m method, num Ref, data []byte) []byte {
	switch m {
	case identity:
		return data
	case rc4Cipher:
		return rc4Bytes(ctx, e.objectKey(m, num, 0), data)
	}
	return sealAES(ctx, e.objectKey(m, num, 0), e.vector(ctx, num, data), data)
}

// vector is the initialisation vector for data of an object. It has to be
// unpredictable without the key and differ for different data; taken from key,
// number and data it is, and equal input gives equal output.
func (e *encryption) vector(ctx context.Context, num Ref, data []byte) []byte {
	mac := hmac.New(sha256.New, e.key)
	mac.Write([]byte("initialisation vector"))
	mac.Write(binary.BigEndian.AppendUint32(nil, uint32(num)))
	_ = Hash(ctx, mac, data) // what is made of it does not count then
	return mac.Sum(nil)[:aes.BlockSize]
}

// sealAES encrypts data in CBC mode, padded to whole blocks, after the vector
// (7.6.2).
func sealAES(ctx context.Context, key, vector, data []byte) []byte {
	n := aes.BlockSize - len(data)%aes.BlockSize
	out := make([]byte, 0, len(vector)+len(data)+n)
	out = append(append(out, vector...), data...)
	out = append(out, bytes.Repeat([]byte{byte(n)}, n)...)
	body := out[len(vector):]
	encrypter := cipher.NewCBCEncrypter(newAES(key), vector)
	for piece := range pieces(ctx, body) {
		encrypter.CryptBlocks(piece, piece)
	}
	return out
}

// newAES makes the block cipher. Keys have 16 or 32 bytes, which it takes.
func newAES(key []byte) cipher.Block {
	b, err := aes.NewCipher(key)
	if err != nil {
		panic("pdf: AES: " + err.Error())
	}
	return b
}

// rc4Bytes encrypts or decrypts data. Keys have 5 to 16 bytes, which it takes.
func rc4Bytes(ctx context.Context, key, data []byte) []byte {
	c, err := rc4.NewCipher(key)
	if err != nil {
		panic("pdf: RC4: " + err.Error())
	}
	out := make([]byte, len(data))
	at := out
	for piece := range pieces(ctx, data) {
		c.XORKeyStream(at, piece)
		at = at[len(piece):]
	}
	return out
}
