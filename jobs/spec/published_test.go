package spec

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/unit"
)

// published reads a table of testdata/published/trade, whose first line names its source, as one map a
// row. The tolerance of a comparison is half a unit of the last digit printed.
func published(t *testing.T, name string) []line {
	t.Helper()
	f, err := os.Open(filepath.Join("../../testdata/published/trade", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 2 {
		t.Fatalf("%s holds no rows", name)
	}
	var rows []line
	for _, cells := range all[1:] {
		one := line{}
		for i, c := range cells {
			one[all[0][i]] = c
		}
		rows = append(rows, one)
	}
	return rows
}

// line is one row of a published table by its headings.
type line map[string]string

func (r line) number(t *testing.T, name string) float64 {
	t.Helper()
	text, ok := r[name]
	if !ok {
		t.Fatalf("no column %s", name)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

func (r line) length(t *testing.T, name string) unit.Length {
	t.Helper()
	return unit.Length(r.number(t, name))
}

// agrees compares a computed value with the one printed in a column.
func (r line) agrees(t *testing.T, name string, got float64) {
	t.Helper()
	want := r.number(t, name)
	digits := 0
	if at := strings.IndexByte(r[name], '.'); at >= 0 {
		digits = len(r[name]) - at - 1
	}
	if math.Abs(got-want) > 0.5*math.Pow10(-digits)*(1+1e-6) {
		t.Errorf("%v: %s is %.9g, published %s", map[string]string(r), name, got, r[name])
	}
}
