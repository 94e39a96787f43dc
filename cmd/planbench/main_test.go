package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// ft06: Fisher & Thompson 1963, in Muth & Thompson, Industrial Scheduling; the optimum is 55.
const ft06 = `6 6
 2  1  0  3  1  6  3  7  5  3  4  6
 1  8  2  5  4 10  5 10  0 10  3  4
 2  5  3  4  5  8  0  9  1  1  4  7
 1  5  0  5  2  5  3  3  4  8  5  9
 2  9  1  3  4  5  5  4  0  3  3  1
 1  3  3  3  5  9  0 10  4  4  2  1
`

func write(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestOneLineAnInstance(t *testing.T) {
	file := write(t, "ft06.txt", ft06)
	if err := os.WriteFile(filepath.Join(filepath.Dir(file), "best.tsv"), []byte("instance\tbest_makespan\nft06\t55\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name string
		args []string
		want string
	}{
		{"a job shop with its best value", []string{"--seconds", "0.3", file}, `^ft06 +makespan (5[5-9]|6\d)  best 55  gap \d+\.\d{3} %  \d+\.\d\d s\n$`},
		{"the same without waiting", []string{"--seconds", "0.3", "--nowait", file}, `^ft06 +makespan (7[3-9]|8\d)  \d+\.\d\d s\n$`},
		{"a flow shop from its seed", []string{"--seconds", "0.05", "--taillard", "873654221,20,5"}, `^taillard-873654221-20x5 makespan 1[23]\d\d  \d+\.\d\d s\n$`},
		{"one machine", []string{"--seconds", "0.1", "--format", "tardiness", "--jobs", "2", write(t, "wt.txt", "3 2 1 9 3 2")}, `^1 +tardiness 2  `},
		{"a floor with lags and an oven", []string{"--seconds", "1", write(t, "lag/lag02.txt", "5 5\n1 2 1 1 1\n2 1 1 1 1\n0 6 2 0\n2 12 -1 8\n2 5 0 0 0\n4 8 3 7 3\n5 6 7 4 2\n4 10 5 3 3\n5 10 6 7 2\n5 5 3 6 3\n")}, `^lag02 +makespan 5[2-9]  `},
		{"a generated floor", []string{"--floor", "20", "--seed", "3", "--seconds", "0.2"}, `^floor of 20 pairs, seed 3: weighted lateness in days\n  earliest due date +\d+\.\d\d\n  apparent tardiness cost +\d+\.\d\d  the best of five k: [\d.]+\n  the product's sequence +\d+\.\d\d  .*\n  after ten plans +\d+\.\d\d  .*\n  a long search +\d+\.\d\d  .*\n  lower bound +\d+\.\d\d\n$`},
	} {
		t.Run(row.name, func(t *testing.T) {
			if testing.Short() && row.args[0] == "--floor" {
				t.Skip("takes seconds: run without -short")
			}
			var out, errs bytes.Buffer
			if err := run(row.args, &out, &errs); err != nil {
				t.Fatal(err)
			}
			if !regexp.MustCompile(row.want).Match(out.Bytes()) {
				t.Errorf("got %q, want %s", out.String(), row.want)
			}
		})
	}
}

func TestFilesThatCannotBe(t *testing.T) {
	for _, row := range []struct {
		name, format, text, want string
	}{
		{"a word", "jobshop", "1 1\n0 x\n", `:2: "x" is not a whole number from -1 to 1000000000`},
		{"too few numbers", "jobshop", "2 1\n0 5\n", `job 1: 2 numbers wanted, 0 are left`},
		{"too many numbers", "flowshop", "1 1\n5 6\n", `1 numbers are left over in the format flowshop`},
		{"a machine that isn't there", "jobshop", "1 1\n1 5\n", `job 0: machine 1 found, 0 to 0 allowed`},
		{"no jobs", "hybrid", "0 1\n1\n", `size: 0 found, 1 to 5000 allowed`},
		{"a negative duration", "flowshop", "1 1\n-1\n", `machine 0: -1 found, 1 to 10000 allowed`},
		{"how many jobs", "tardiness", "1 1 1", `does not say how many jobs`},
		{"an empty file", "lag", "", `size: 2 numbers wanted, 0 are left`},
		{"a shape that says nothing", "", "3 3 1", `the format is not clear`},
		{"a format that isn't there", "cartoon", "1 1 1", `--format cartoon: allowed are jobshop, nowait, flowshop`},
		{"a greatest lag below the least", "lag", "1 2\n1 1\n1 1\n5\n4\n0\n1 1\n", "window"},
		{"no duration", "flowshop", "1 1\n0\n", `machine 0: 0 found, 1 to 10000 allowed`},
	} {
		t.Run(row.name, func(t *testing.T) {
			args := []string{"--seconds", "0.01", write(t, "x.txt", row.text)}
			if row.format != "" {
				args = append([]string{"--format", row.format}, args...)
			}
			var out, errs bytes.Buffer
			err := run(args, &out, &errs)
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got %v, want %s", err, row.want)
			}
			if out.Len() > 0 {
				t.Errorf("printed %q", out.String())
			}
		})
	}
}

func FuzzRead(f *testing.F) {
	f.Add(ft06, "jobshop")
	f.Add("1 1 1 1 1 1 1 1", "lag")
	f.Fuzz(func(t *testing.T, text, format string) {
		list, err := read("x.txt", []byte(text), format, 3)
		if err == nil {
			for _, in := range list {
				if len(in.jobs) == 0 {
					t.Error("an instance without jobs")
				}
			}
		}
	})
}
