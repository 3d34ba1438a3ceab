package pdf

import (
	"bytes"
	"encoding/hex"
	"regexp"
	"strings"
	"testing"
)

// vectors are the encryption dictionaries of the tests of pdf.js (Mozilla,
// Apache-2.0), test/unit/crypto_spec.js, "CipherTransformFactory", "PDF17Algorithm"
// and "PDF20Algorithm". From revision 5 on P is here what Perms says; there it
// is another number, on which no key depends.
var vectors = []struct {
	name        string
	id          string
	dict        Dict
	user, owner string // owner "" where the test does not give it
	// key is the key of the file, in hexadecimal digits, "" where the test
	// does not give it.
	key string
}{
	{
		name: "revision 3, RC4 of 128 bits", id: "f6c6af17f372528d524d9a80d1efdf18",
		dict: Dict{"V": Integer(2), "R": Integer(3), "Length": Integer(128), "P": Integer(-1028),
			"O": unhex("80c30496916f20736c3ae61b135491f20d5612e3ff5ebbe9564fd86b9aca7c5d"),
			"U": unhex("6a0c8d3e591900bc6a647d91bdaa0018" + strings.Repeat("00", 16))},
		user: "123456", owner: "654321",
	},
	{
		name: "revision 4, no user password", id: "3c4c5f3a4496af409a9db33c781c76ac",
		dict: Dict{"V": Integer(4), "R": Integer(4), "Length": Integer(128), "P": Integer(-1084),
			"O": unhex("734614762e793527db970a3522b3e1d4adbd9b3cb4a5897515b259f168d9e9f4"),
			"U": unhex("930489a9bf8a45a688a2dbc2a0a8676e" + strings.Repeat("00", 16))},
	},
	{
		name: "revision 5",
		dict: Dict{"V": Integer(5), "R": Integer(5), "Length": Integer(256), "P": Integer(-4),
			"O":     unhex("3c6289233365c898d2b2e2e486cda318cc7eb1246a32247dd2acab78de6c8b73f37647998011653ec8f5f20cda7b1878"),
			"U":     unhex("83f28fa057028a864ffdbdade04990f1be51c50ff96991970fc24103017ebbdd75a904209f6516dca85ed7c06426bc28"),
			"OE":    unhex("d5ca0ebd6e4c46bf06c30abe9d649055083e7bb29ce53228e5d836de22266adf"),
			"UE":    unhex("2396c3a9f53333ff9e9e21f2e74b7dbe197eac72c3f489f5eaa52a4a3c261111"),
			"Perms": unhex("d8fc8434e5650d425d7f66fd3c4f4d4d")},
		user: "user", owner: "owner",
		key: "3f7288d1573d0c1ef901ba90fef8a3999733850a5098ce0f48bbe721e0ef0dd5",
	},
	{
		name: "revision 6",
		dict: Dict{"V": Integer(5), "R": Integer(6), "Length": Integer(256), "P": Integer(-4),
			"O":     unhex("58e83e36f51af5d1897bdd48c73125d91f4a73a77f9eb04d2da3572f275ad98d8ee8a9d0cad605b91dd0b92e0b4c8795"),
			"U":     unhex("5ee6cd4ba663fa4cdb801155391121a4962e67b0a09cbbe9a6dfa3fd93eb5fb853f59265c6f722c6bf0b105eedd814af"),
			"OE":    unhex("d149e04d679bc9b5be44df143e5a38d205f0b280ee7c44fefdf43e6cd0870afb"),
			"UE":    unhex("79d002b5e6599c3cfd8fd41c54b4c4b1ad80dd6b2e145eba87335f1814dffe24"),
			"Perms": unhex("6cad0fa0eb4d86574d3ecbb5e058c937")},
		user: "user", owner: "owner",
		key: "2adad527495b484f4326f88512bd3d226b4f1d383bb5d576712241d257ae16ef",
	},
	{
		name: "revision 6, no user password",
		dict: Dict{"V": Integer(5), "R": Integer(6), "Length": Integer(256), "P": Integer(-4),
			"O":     unhex("f7db9955a64dac6bafcfd7414677e9c191cb4467492352cf0c1572d7340dcee99140e4985146bf887e6adead8ff440c1"),
			"U":     unhex("1aa9dc913883936b295b1137b136dbe88efe28e589d40ead123b7d4e5f3666657a8b471805594f687d5a48a35a87172a"),
			"OE":    unhex("a4618820681b7fcdd5ca63d85283e5d61cd298079834baaf1bb47f51f81e557d"),
			"UE":    unhex("a00a5a55271d272c0bfe0ea24cf9625ea1b9d6763762b236a94e99f1a4446571"),
			"Perms": unhex("03f269070dc3f9f22880b7f5ddd163eb")},
	},
}

func unhex(digits string) String {
	b, err := hex.DecodeString(digits)
	if err != nil {
		panic(err)
	}
	return String(b)
}

func TestPasswordVectors(t *testing.T) {
	for _, v := range vectors {
		t.Run(v.name, func(t *testing.T) {
			dict := v.dict.Clone()
			dict["Filter"] = Name("Standard")
			e, err := readEncryption(noObjects{}, dict, unhex(v.id))
			if err != nil {
				t.Fatal(err)
			}
			for password, want := range map[string]Credential{v.user: UserPassword, v.owner: OwnerPassword, "": NoPassword} {
				if password == "" {
					want = NoPassword
				}
				e.key = nil
				err := e.unlock(password)
				if password == "" && v.user != "" {
					if err != ErrPassword {
						t.Errorf("without a password: %v", err)
					}
					continue
				}
				if err != nil || e.opened != want {
					t.Errorf("%q: %v, opened as %d, want %d", password, err, e.opened, want)
				}
				if v.key != "" && hex.EncodeToString(e.key) != v.key {
					t.Errorf("%q: key %x, want %s", password, e.key, v.key)
				}
				if !e.checkPermissions() || e.permissions != uint32(0x100000000+int64(v.dict["P"].(Integer))) {
					t.Errorf("%q: permissions %#x do not agree with their copy", password, e.permissions)
				}
			}
			if v.user != "" {
				if err := e.unlock("wrong"); err != errWrongPassword {
					t.Errorf("wrong password: %v", err)
				}
			}
		})
	}
}

// TestPermissionsForged changes P, which from revision 5 on no key depends on:
// its encrypted copy still forbids.
func TestPermissionsForged(t *testing.T) {
	data := readEncrypted(t, "locked.pdf")
	was := regexp.MustCompile(`/P -\d+`).Find(data)
	doc := open(t, bytes.Replace(data, was, append([]byte("/P -4"), bytes.Repeat([]byte(" "), len(was)-5)...), 1))
	if doc.MayChange() == nil || !hasWarning(doc, "does not agree") {
		t.Errorf("the forged permissions pass; warnings %q", doc.Warnings())
	}
	data = readEncrypted(t, "open.pdf")
	doc = open(t, bytes.Replace(data, []byte("/P -4"), []byte("/P -9"), 1))
	if doc.MayChange() == nil || !hasWarning(doc, "does not agree") {
		t.Errorf("what P forbids is allowed; warnings %q", doc.Warnings())
	}
}

func TestToPDFDoc(t *testing.T) {
	tests := []struct {
		in, want string
		ok       bool
	}{
		{"user", "user", true},
		{"p\u00e2t\u00e9", "p\xE2t\xE9", true},
		{"\u20ac\u2022\u0160", "\xA0\x80\x97", true},
		{"\u7dad", "", false},
		{strings.Repeat("x", 40) + "\u7dad", strings.Repeat("x", 32), true}, // only 32 count
	}
	for _, tt := range tests {
		if got, ok := toPDFDoc(tt.in); string(got) != tt.want || ok != tt.ok {
			t.Errorf("%q: %q, %t", tt.in, got, ok)
		}
	}
}
