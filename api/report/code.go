package report

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
)

// codeLength is the number of signs of a code: 5 bits each, 100 in all, so that no two reports meet and none can be guessed.
const codeLength = 20

// codeSigns leaves out I, L, O and U, which are misread.
var codeSigns = base32.NewEncoding("0123456789ABCDEFGHJKMNPQRSTVWXYZ").WithPadding(base32.NoPadding)

// Seal is the hash of everything a document says, for one programme, and the code that is printed on every page of it: its first 100 bits,
// in four groups of five signs. The error is of a document that cannot be written down.
func (d Document) Seal(programme string) (hash, code string, err error) { return seal(d, programme) }

func seal(said any, programme string) (hash, code string, err error) {
	content, err := json.Marshal(said)
	if err != nil {
		return "", "", fmt.Errorf("seal of report: %w", err)
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "isthmus report 1\n%s\n", programme)
	sum.Write(content)
	all := sum.Sum(nil)
	return hex.EncodeToString(all), grouped(codeSigns.EncodeToString(all)[:codeLength]), nil
}

func grouped(signs string) string {
	parts := []string{}
	for ; len(signs) > 5; signs = signs[5:] {
		parts = append(parts, signs[:5])
	}
	return strings.Join(append(parts, signs), "-")
}

// ReadCode reads a code as somebody types it from paper: in either case, with or without its hyphens, O for 0, I or L for 1. It is false
// for what is no code.
func ReadCode(typed string) (string, bool) {
	signs := strings.NewReplacer("-", "", " ", "", "O", "0", "I", "1", "L", "1").Replace(strings.ToUpper(typed))
	if len(signs) != codeLength {
		return "", false
	}
	if _, err := codeSigns.DecodeString(signs + "0000"); err != nil { // 24 signs are whole bytes
		return "", false
	}
	return grouped(signs), true
}
