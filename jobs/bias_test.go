package jobs_test

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
