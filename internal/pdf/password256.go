package pdf

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/binary"
	"slices"
)

// openAsUser256 is Algorithm 2.A with a user password (ISO 32000-2, 7.6.4.3.3).
// U holds a hash and two salts, UE the encrypted key.
func (e *encryption) openAsUser256(pw []byte) bool {
	u := e.bytes("U")[:48]
	if !bytes.Equal(e.hash(pw, u[32:40], nil), u[:32]) {
		return false
	}
	e.key = unwrapped(e.hash(pw, u[40:48], nil), e.bytes("UE")[:32])
	return true
}

// openAsOwner256 is Algorithm 2.A with an owner password: U is part of what is
// hashed.
func (e *encryption) openAsOwner256(pw []byte) bool {
	o, u := e.bytes("O")[:48], e.bytes("U")[:48]
	if !bytes.Equal(e.hash(pw, o[32:40], u), o[:32]) {
		return false
	}
	e.key = unwrapped(e.hash(pw, o[40:48], u), e.bytes("OE")[:32])
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
