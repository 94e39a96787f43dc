package check

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// row is one line of a published table, by column.
type row map[string]string

// published reads a table of testdata/published/metrology. A table that names no source, or holds
// nothing, fails the test: a check that read nothing has checked nothing.
func published(t testing.TB, name string) []row {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "testdata", "published", "metrology", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(raw), "# source: ") {
		t.Fatalf("%s names no source", name)
	}
	r := csv.NewReader(strings.NewReader(string(raw)))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s is empty", name)
	}
	rows := make([]row, len(lines)-1)
	for i, line := range lines[1:] {
		rows[i] = row{}
		for c, column := range lines[0] {
			rows[i][column] = line[c]
		}
	}
	return rows
}

// cases groups the rows of a table by their case, and wants each of the named ones to be there.
func cases(t testing.TB, table string, want ...string) map[string][]row {
	t.Helper()
	by := map[string][]row{}
	for _, r := range published(t, table) {
		by[r["case"]] = append(by[r["case"]], r)
	}
	for _, name := range want {
		if len(by[name]) == 0 {
			t.Fatalf("%s has no rows of case %s", table, name)
		}
	}
	return by
}

// value is the number in a column.
func (r row) value(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("%v: %s: %v", r, column, err)
	}
	return v
}

// ends are the limits in the columns lower and upper, either of which may be empty.
func (r row) ends(t testing.TB) Limits {
	t.Helper()
	lower, upper := math.Inf(-1), math.Inf(1)
	if r["lower"] != "" {
		lower = r.value(t, "lower")
	}
	if r["upper"] != "" {
		upper = r.value(t, "upper")
	}
	return limitsOf(lower, upper)
}

// agrees compares a result with the printed figure to half a unit of its last digit, and with the exact
// one to a relative tolerance.
func (r row) agrees(t *testing.T, got, relative float64) {
	t.Helper()
	if r["exact"] == "" && r["printed"] == "" {
		t.Fatalf("%v holds no figure to compare with", r)
	}
	if r["exact"] != "" {
		near(t, r["case"]+" "+r["quantity"]+" (exact)", got, r.value(t, "exact"), relative)
	}
	// A source that worked on with rounded figures prints digits that the exact figure does not have.
	if printed := r["printed"]; printed != "" && (r["exact"] == "" || half(t, printed, r.value(t, "exact"))) && !half(t, printed, got) {
		t.Errorf("%s %s: got %v, printed %s in %s", r["case"], r["quantity"], got, printed, r["source"])
	}
}

// half says whether v agrees with a printed figure to half a unit of its last digit.
func half(t testing.TB, printed string, v float64) bool {
	t.Helper()
	p, err := strconv.ParseFloat(printed, 64)
	if err != nil {
		t.Fatal(err)
	}
	_, decimals, _ := strings.Cut(printed, ".")
	return math.Abs(v-p) <= 0.5000001*math.Pow(10, -float64(len(decimals)))
}

// near compares to a relative tolerance, or to the same absolute one below 1e-3.
func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > relative*math.Max(math.Abs(want), 1e-3) {
		t.Errorf("%s: got %.15g, want %.15g", what, got, want)
	}
}
