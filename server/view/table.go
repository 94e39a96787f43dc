package view

import (
	"strings"
	"time"
)

// Table is what a page shows, for a spreadsheet.
type Table struct {
	Name string // of the file, without its ending
	Head []string
	Rows [][]string
}

func (t *Table) add(cells ...string) { t.Rows = append(t.Rows, cells) }

// words is text that people wrote, as a cell: a spreadsheet takes what begins with one of these signs for
// a formula, so that a quote goes before it.
func words(text string) string {
	if strings.IndexAny(text, "=+-@\t\r") == 0 {
		return "'" + text
	}
	return text
}

// stamp is an instant as a table has it, in the workshop's zone.
func (b *Builder) stamp(t time.Time) string { return b.local(t).Format(time.RFC3339) }

// isoDay is a day as a table has it; a zero one is empty.
func isoDay(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}
