package font

import (
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// predefinedCMap gives a CMap by its name (ISO 32000-1, Table 118). One that
// the standard does not have is faulty.
func predefinedCMap(n pdf.Name) *cmap {
	family, dir := cutDirection(n)
	m := &cmap{vertical: dir == "V", name: n}
	if family == "Identity" && dir != "" {
		return &cmap{vertical: m.vertical, identity: true, space: twoBytes()}
	}
	if m.space = predefinedSpace(family); m.space == nil || dir == "" {
		m.fault = "unknown CMap " + shown(n)
		m.space = twoBytes()
	}
	return m
}

// cutDirection splits "90ms-RKSJ-H" into "90ms-RKSJ" and "H"; dir is "" where
// there is none. The CMaps H and V are of the family "".
func cutDirection(n pdf.Name) (family, dir string) {
	s := string(n)
	if s == "H" || s == "V" {
		return "", s
	}
	if strings.HasSuffix(s, "-H") || strings.HasSuffix(s, "-V") {
		return s[:len(s)-2], s[len(s)-1:]
	}
	return s, ""
}

// predefinedSpace gives the codespace ranges of a family, as Adobe's CMap
// resources have them, nil for an unknown one.
func predefinedSpace(family string) codespace {
	switch family {
	case "":
		return space("2121-7E7E")
	case "GB-EUC", "KSC-EUC":
		return space("00-80 A1A1-FEFE")
	case "GBpc-EUC":
		return space("00-80 FD-FF A1A1-FCFE")
	case "GBK-EUC", "GBKp-EUC":
		return space("00-80 8140-FEFE")
	case "GBK2K":
		return space("00-7F 8140-FEFE 81308130-FE39FE39")
	case "B5pc":
		return space("00-80 FD-FF A140-FCFE")
	case "HKscs-B5":
		return space("00-80 8740-FEFE")
	case "ETen-B5", "ETenms-B5":
		return space("00-80 A140-FEFE")
	case "CNS-EUC":
		return space("00-80 A1A1-FEFE 8EA1A1A1-8EA1FEFE 8EA2A1A1-8EA2FEFE 8EA3A1A1-8EA3FEFE")
	case "83pv-RKSJ", "90pv-RKSJ":
		return space("00-80 A0-DF FD-FF 8140-9FFC E040-FCFC")
	case "90ms-RKSJ", "90msp-RKSJ", "Add-RKSJ", "Ext-RKSJ":
		return space("00-80 A0-DF 8140-9FFC E040-FCFC")
	case "EUC":
		return space("00-80 8EA0-8EDF A1A1-FEFE")
	case "KSCms-UHC", "KSCms-UHC-HW":
		return space("00-80 8141-FEFE")
	case "KSCpc-EUC":
		return space("00-84 FE-FF A141-FDFE")
	case "UniGB-UCS2", "UniCNS-UCS2", "UniJIS-UCS2", "UniJIS-UCS2-HW", "UniKS-UCS2":
		return space("0000-D7FF E000-FFFF")
	case "UniGB-UTF16", "UniCNS-UTF16", "UniJIS-UTF16", "UniJIS2004-UTF16", "UniKS-UTF16":
		return space("0000-D7FF E000-FFFF D800DC00-DBFFDFFF")
	}
	return nil
}

func twoBytes() codespace { return space("0000-FFFF") }

// space reads codespace ranges from hexadecimal digits.
func space(s string) codespace {
	var c codespace
	for _, f := range strings.Fields(s) {
		lo, hi, _ := strings.Cut(f, "-")
		c = append(c, codeRange{len(lo) / 2, hexBytes(lo), hexBytes(hi)})
	}
	return c
}

func hexBytes(s string) (b [maxCode]byte) {
	for i := range len(s) {
		d, _ := hexDigit(s[i])
		b[i/2] |= d << (4 * (1 - i%2))
	}
	return b
}
