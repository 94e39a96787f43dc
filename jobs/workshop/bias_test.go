package workshop_test

import (
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/message"
)

func TestReferencesAreReadLineByLine(t *testing.T) {
	got, err := jobs.ParseReferenced("2  2.7 2,5\r\n\n 10\t9.1 9.3 9.5 ")
	if err != nil || len(got) != 2 || got[0].Reference != 2 || len(got[0].Readings) != 2 || got[0].Readings[1] != 2.5 || got[1].Readings[2] != 9.5 {
		t.Errorf("%+v, %v", got, err)
	}
	for _, row := range []struct{ name, text, key, says string }{
		{"nothing", " \n", "bias.none", ""},
		{"one reading alone", "2 2.7\n", "bias.few", "line 1"},
		{"a word", "2 2.7 2.5\n4 4.1 four", "bias.number", "line 2"},
		{"a number that is none", "2 NaN 2.5", "bias.number", "NaN"},
		{"too many lines", strings.Repeat("1 1 1\n", 201), "bias.many", "200"},
		{"too many readings", strings.Repeat("1 ", 201), "bias.many", "200"},
	} {
		_, err := jobs.ParseReferenced(row.text)
		f := message.Faults(err)
		if len(f) != 1 || f[0].Key != row.key || f[0].Where != "lines" || !strings.Contains(f[0].Text(message.Default), row.says) {
			t.Errorf("%s: %v", row.name, err)
		}
	}
}

func FuzzParseReferenced(f *testing.F) {
	f.Add("2 2.7 2,5\n10 9.1 9.3")
	f.Add("1e9 NaN −3")
	f.Fuzz(func(t *testing.T, text string) {
		all, err := jobs.ParseReferenced(text)
		if err == nil && len(all) == 0 {
			t.Fatal("nothing was read, and nothing said")
		}
		for _, one := range all {
			if err == nil && len(one.Readings) < 2 {
				t.Fatalf("%+v was taken", one)
			}
		}
	})
}

// The linearity example of the Measurement Systems Analysis reference manual, shortened to three references, by
// check.LinearityOf and check.BiasOf, which have the published figures.
func TestBiasOfReferences(t *testing.T) {
	read := []jobs.Referenced{{Reference: 2, Readings: []float64{2.7, 2.5, 2.4, 2.5}}, {Reference: 6, Readings: []float64{5.9, 6.1, 6.0, 6.0}}, {Reference: 10, Readings: []float64{9.1, 9.3, 9.5, 9.3}}}
	s, err := jobs.BiasOf(read)
	if err != nil || len(s.Biases) != 3 || s.Significant != 2 || s.NoLinearity != nil {
		t.Fatalf("%+v, %v", s, err)
	}
	if s.Biases[0].Mean < 0.5 || s.Biases[1].Significant || s.Biases[2].Mean > -0.6 || s.Linearity.Linear || s.Linearity.Slope > -0.1 {
		t.Errorf("%+v, %+v", s.Biases, s.Linearity)
	}
	one, err := jobs.BiasOf(read[:1])
	if err != nil || one.Linearity != nil || faultKey(t, one.NoLinearity) != "check.study.references" {
		t.Errorf("one reference has no line: %+v, %v", one, err)
	}
	if _, err := jobs.BiasOf([]jobs.Referenced{{Reference: 2, Readings: []float64{2.7}}}); faultKey(t, err) != "check.chart.few" {
		t.Errorf("one reading has no bias: %v", err)
	}
}

// faultKey is the key of the one fault in err.
func faultKey(t *testing.T, err error) string {
	t.Helper()
	f := message.Faults(err)
	if len(f) != 1 {
		t.Fatalf("want one fault, got %v", err)
	}
	return f[0].Key
}
