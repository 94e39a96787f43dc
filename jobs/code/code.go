// Package code makes and reads what is printed under every square: digits that name a sheet, a boot, a
// station or a badge, with two check digits that catch the slip of a finger.
package code

import (
	"fmt"
	"io"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// Kind is the first digit of a code: what the paper it stands on is.
type Kind byte

// The kinds of code.
const (
	Sheet   Kind = '1' // 6-digit job, 2-digit sheet
	Label   Kind = '2' // 6-digit job, 2-digit foot: 01 left, 02 right
	Station Kind = '7' // 8-digit random body
	Badge   Kind = '9' // 12-digit random body
)

// bodyDigits is the length of the body of each kind. Lengths and kinds together leave a mistyped code
// little room beside the check digits.
var bodyDigits = map[Kind]int{Sheet: 8, Label: 8, Station: 8, Badge: 12}

// Code is digits only, so that a number pad, a gloved finger and any keyboard layout can type it: a
// kind digit, a body and two check digits. It identifies; it never authorises.
type Code string

// Limits of what a code can hold.
const (
	MaxJob   = 999_999
	MaxSheet = 99
)

// CheckDigits are the two digits that make the whole number ≡ 1 modulo 97.
//
// Source: ISO 7064:2003, system MOD 97-10.
//
// body is ASCII digits, of any length.
func CheckDigits(body string) string {
	r := 0
	for _, d := range body + "00" {
		r = (r*10 + int(d-'0')) % 97
	}
	return fmt.Sprintf("%02d", 98-r)
}

func seal(kind Kind, body string) Code {
	whole := string(kind) + body
	return Code(whole + CheckDigits(whole))
}

// ForSheet returns the code of one sheet of a job.
func ForSheet(job, sheet int) (Code, error) {
	if job < 1 || job > MaxJob || sheet < 1 || sheet > MaxSheet {
		return "", &message.Fault{
			Kind: message.Invalid, Key: "code.range",
			Args: message.Args{"job": job, "sheet": sheet, "maxJob": MaxJob, "maxSheet": MaxSheet},
		}
	}
	return seal(Sheet, fmt.Sprintf("%06d%02d", job, sheet)), nil
}

// ForBoot returns the code of the label in one boot of a job.
func ForBoot(job int, foot spec.Foot) (Code, error) {
	number := map[spec.Foot]int{spec.Left: 1, spec.Right: 2}[foot]
	if job < 1 || job > MaxJob || number == 0 {
		return "", &message.Fault{
			Kind: message.Invalid, Key: "code.label",
			Args: message.Args{"job": job, "foot": foot, "maxJob": MaxJob},
		}
	}
	return seal(Label, fmt.Sprintf("%06d%02d", job, number)), nil
}

// Random draws the code of a station card or a badge from random, which is read until the body
// is full.
func Random(kind Kind, random io.Reader) (Code, error) {
	if kind != Station && kind != Badge {
		return "", fmt.Errorf("no random body for codes of kind %c", kind)
	}
	body := make([]byte, 0, bodyDigits[kind])
	for one := make([]byte, 1); len(body) < bodyDigits[kind]; {
		if _, err := io.ReadFull(random, one); err != nil {
			return "", fmt.Errorf("draw a code: %w", err)
		}
		if one[0] < 250 { // 250 values fall evenly on ten digits
			body = append(body, '0'+one[0]%10)
		}
	}
	return seal(kind, string(body)), nil
}

// Kind is the first digit.
func (c Code) Kind() Kind { return Kind(c[0]) }

func (c Code) body() string { return string(c[1 : len(c)-2]) }

// Sheet returns the job and sheet of a traveller's code; ok is false for any other kind.
func (c Code) Sheet() (job, sheet int, ok bool) {
	if c.Kind() != Sheet {
		return 0, 0, false
	}
	_, err := fmt.Sscanf(c.body(), "%06d%02d", &job, &sheet)
	return job, sheet, err == nil
}

// Boot returns the job and foot of a boot's label; ok is false for any other kind.
func (c Code) Boot() (job int, foot spec.Foot, ok bool) {
	if c.Kind() != Label {
		return 0, "", false
	}
	var number int
	if _, err := fmt.Sscanf(c.body(), "%06d%02d", &job, &number); err != nil {
		return 0, "", false
	}
	switch number {
	case 1:
		return job, spec.Left, true
	case 2:
		return job, spec.Right, true
	}
	return 0, "", false
}

// String groups the digits for the eye, from the left: kind, then the body by fours, then the check.
func (c Code) String() string {
	parts := []string{string(c[:1])}
	body := c.body()
	for len(body) > 4 {
		parts, body = append(parts, body[:4]), body[4:]
	}
	return strings.Join(append(parts, body, string(c[len(c)-2:])), " ")
}

// maxScan bounds what a scan may be: a URL with a long host is far shorter.
const maxScan = 200

// Parse reads a code from what a scanner typed or a finger entered: the bare digits, with or
// without spaces, or a URL that ends in them. A scanner set to another keyboard layout changes the
// colon, slashes and letters of a URL but, on most layouts, not its digits; so only the last run of
// digits counts.
func Parse(scanned string) (Code, error) {
	fault := func(key string, args message.Args) (Code, error) {
		return "", &message.Fault{Kind: message.Invalid, Key: key, Args: args, Where: "code"}
	}
	text := strings.TrimSpace(scanned)
	if text == "" {
		return fault("code.empty", nil)
	}
	if len(text) > maxScan {
		return fault("code.long", message.Args{"length": len(text), "allowed": maxScan})
	}
	digits := lastDigits(text)
	if digits == "" {
		return fault("code.digits", message.Args{"found": text})
	}
	kind := Kind(digits[0])
	length, known := bodyDigits[kind]
	if !known || len(digits) != length+3 {
		return fault("code.shape", message.Args{"found": digits})
	}
	if CheckDigits(digits[:len(digits)-2]) != digits[len(digits)-2:] {
		return fault("code.check", message.Args{"found": digits})
	}
	return Code(digits), nil
}

// lastDigits is the last run of ASCII digits in text. Spaces between digits are passed over when the
// whole text is digits and spaces, as a person types them from paper.
func lastDigits(text string) string {
	if strings.Trim(text, "0123456789 ") == "" {
		return strings.ReplaceAll(text, " ", "")
	}
	text = strings.TrimRight(text, "/ ")
	start := len(text)
	for start > 0 && text[start-1] >= '0' && text[start-1] <= '9' {
		start--
	}
	return text[start:]
}
