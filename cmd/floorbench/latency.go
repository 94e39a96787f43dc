package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"text/tabwriter"
	"time"
)

// row is a kind of wait and how long each took.
type row struct {
	name  string
	times []time.Duration
}

// table writes the percentiles of each row, and their ratio to those of the first row.
func table(out io.Writer, rows []row) {
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "\tn\tp50\tp95\tp99\t× p50\t× p95\t× p99\t")
	for _, r := range rows {
		fmt.Fprintf(t, "%s\t%d\t", r.name, len(r.times))
		for _, p := range []float64{0.50, 0.95, 0.99} {
			fmt.Fprintf(t, "%.2f ms\t", milliseconds(percentile(r.times, p)))
		}
		for _, p := range []float64{0.50, 0.95, 0.99} {
			fmt.Fprintf(t, "%.1f\t", float64(percentile(r.times, p))/float64(percentile(rows[0].times, p)))
		}
		fmt.Fprintln(t)
	}
	t.Flush()
}

func milliseconds(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// percentile is the least of the times that at least a share p (0 to 1) of them does not exceed; 0 where
// there are none.
func percentile(times []time.Duration, p float64) time.Duration {
	if len(times) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(times))
	at := int(p * float64(len(sorted)))
	if float64(at) == p*float64(len(sorted)) && at > 0 {
		at--
	}
	return sorted[min(at, len(sorted)-1)]
}

// diskTimes appends 4 KiB to a file and waits until they are on the disk, n times.
func diskTimes(folder string, n int) ([]time.Duration, error) {
	f, err := os.CreateTemp(folder, "floorbench-*")
	if err != nil {
		return nil, err
	}
	defer os.Remove(f.Name())
	defer f.Close()
	block := make([]byte, 4096)
	times := make([]time.Duration, n)
	for i := range times {
		begun := time.Now()
		if _, err := f.Write(block); err != nil {
			return nil, err
		}
		if err := dataSync(f); err != nil {
			return nil, err
		}
		times[i] = time.Since(begun)
	}
	return times, nil
}
