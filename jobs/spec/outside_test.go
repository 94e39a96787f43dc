package spec_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

// table reads a published table: comment lines, which name the source, then a header, then rows by column.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "testdata", "published", "trade", name))
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(string(raw)))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines, %v", name, len(lines), err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func value(t *testing.T, row map[string]string, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		t.Fatalf("%s: %v", column, err)
	}
	return v
}

// agrees holds a value against a published one, to half of its last digit.
func agrees(t *testing.T, row map[string]string, column string, got float64) {
	t.Helper()
	_, decimals, _ := strings.Cut(row[column], ".")
	if math.Abs(got-value(t, row, column)) > 0.5*math.Pow10(-len(decimals))*(1+1e-6) {
		t.Errorf("%v: %s is %.9g", row, column, got)
	}
}

// Source: align.csv. Two offsets over a span are an angle and a shift, as a reading at the bench becomes a value.
func TestOffsetsAreAnAngleAndAShift(t *testing.T) {
	for _, row := range table(t, "align.csv") {
		got, err := check.Alignment(value(t, row, "toe_offset_mm"), value(t, row, "heel_offset_mm"), value(t, row, "station_distance_mm"), 0, check.Gauge{Resolution: 0.01, Unit: "mm"})
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, row, "angle_deg", got.Angle.Value)
		agrees(t, row, "mean_offset_mm", got.Shift.Value)
	}
}

// Source: foot_ratios.csv, the shares of a foot's length between which 99.8 % of 6068 adults lie (0.1 and 99.9 %
// points, both sexes, computed from the public-release files of the 2012 US Army survey, NATICK/TR-15/007; right
// foot, age 17 to 58). Six such limits together question about one person in eighty; a workshop may set its own.
func TestTheExamplesRatiosAreThoseOfTheSurvey(t *testing.T) {
	c := exampleCatalogue(t)
	ratios := c.Thresholds.Ratios
	limits := map[string]spec.RatioRange{
		"foot breadth, horizontal":                            ratios.BallBreadth,
		"ball of foot circumference":                          ratios.BallGirth,
		"heel-ankle circumference (diagonal, heel to instep)": ratios.HeelGirth,
		"ankle circumference (minimum)":                       ratios.AnkleGirth,
		"lateral malleolus height":                            ratios.OuterAnkle,
	}
	seen := 0
	for _, row := range table(t, "foot_ratios.csv") {
		if limit, ok := limits[row["measure"]]; ok && row["sex"] == "both" {
			seen++
			agrees(t, row, "ratio_p0_1", limit.From)
			agrees(t, row, "ratio_p99_9", limit.To)
		}
	}
	if seen != len(limits) {
		t.Errorf("%d of %d limits found in the table", seen, len(limits))
	}
}
