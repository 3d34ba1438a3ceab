package pdf

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hmac"
	"crypto/md5"
	"crypto/rc4"
	"crypto/sha256"
	"encoding/binary"
)

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

// open decrypts data of an object into new bytes. ok is false where AES data
// is no whole number of blocks or not padded as it should be; then what there
// is comes back.
func (e *encryption) open(m method, num Ref, gen int, data []byte) (plain []byte, ok bool) {
	switch {
	case m == identity || len(data) == 0:
		return data, true
	case m == rc4Cipher:
		return rc4Bytes(e.objectKey(m, num, gen), data), true
	}
	return openAES(e.objectKey(m, num, gen), data)
}

// openAES undoes sealAES. Empty data after the initialisation vector is empty.
func openAES(key, data []byte) (plain []byte, ok bool) {
	const size = aes.BlockSize
	if len(data) < size {
		return nil, false
	}
	whole := len(data) % size
	vector, body := data[:size], data[size:len(data)-whole]
	plain = make([]byte, len(body))
	cipher.NewCBCDecrypter(newAES(key), vector).CryptBlocks(plain, body)
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
func (e *encryption) seal(m method, num Ref, data []byte) []byte {
	switch m {
	case identity:
		return data
	case rc4Cipher:
		return rc4Bytes(e.objectKey(m, num, 0), data)
	}
	return sealAES(e.objectKey(m, num, 0), e.vector(num, data), data)
}

// vector is the initialisation vector for data of an object. It has to be
// unpredictable without the key and differ for different data; taken from key,
// number and data it is, and equal input gives equal output.
func (e *encryption) vector(num Ref, data []byte) []byte {
	mac := hmac.New(sha256.New, e.key)
	mac.Write([]byte("initialisation vector"))
	mac.Write(binary.BigEndian.AppendUint32(nil, uint32(num)))
	mac.Write(data)
	return mac.Sum(nil)[:aes.BlockSize]
}

// sealAES encrypts data in CBC mode, padded to whole blocks, after the vector
// (7.6.2).
func sealAES(key, vector, data []byte) []byte {
	n := aes.BlockSize - len(data)%aes.BlockSize
	out := make([]byte, 0, len(vector)+len(data)+n)
	out = append(append(out, vector...), data...)
	out = append(out, bytes.Repeat([]byte{byte(n)}, n)...)
	body := out[len(vector):]
	cipher.NewCBCEncrypter(newAES(key), vector).CryptBlocks(body, body)
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
func rc4Bytes(key, data []byte) []byte {
	c, err := rc4.NewCipher(key)
	if err != nil {
		panic("pdf: RC4: " + err.Error())
	}
	out := make([]byte, len(data))
	c.XORKeyStream(out, data)
	return out
}
