package jobs

import (
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// Folded is text as it is compared in a search: without case and without accents, so that who types
// "ang" finds Ängsved.
func Folded(text string) string {
	bare := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFKD.String(text))
	return cases.Fold().String(bare)
}

// NameKey is the same for two texts that name the same, however they are typed.
func NameKey(text string) string { return strings.Join(strings.Fields(Folded(text)), " ") }
