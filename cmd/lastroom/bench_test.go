package main

import (
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

// The promise: ten thousand orders of one file are checked in less than ten seconds.
func BenchmarkTenThousandOrdersChecked(b *testing.B) {
	dir := b.TempDir()
	o := workshopOptions(nil)
	if err := workshop.Create(b.Context(), dir, shop.Example(), o); err != nil {
		b.Fatal(err)
	}
	w, err := workshop.Open(b.Context(), dir, o)
	if err != nil {
		b.Fatal(err)
	}
	defer w.Close()
	var rows strings.Builder
	rows.WriteString("reference,name,pattern,size_system,size,length_left,length_right,opening_right_inner-ankle,facing_right_inner,foam,remark,wanted_by\n")
	for i := range 10_000 {
		fmt.Fprintf(&rows, "row %d,Club %d,floe,mondopoint,265,264,265,4 mm over 40 mm,1/4 in on 1-6,comfort-2,push the left toes out 2 mm,%s\n",
			i, i, time.Now().AddDate(0, 0, i%200).Format(time.DateOnly))
	}
	request := checkRequest{orderFile: orderFile{Name: "orders.csv", Told: "orders.csv"}}
	for b.Loop() {
		reviewed := 0
		s := server.Streams{In: strings.NewReader(rows.String()), Out: io.Discard, Progress: func(done, _ int) { reviewed = done }}
		if err := checkOrders(b.Context(), w, request, s); err == nil || reviewed != 10_000 {
			b.Fatalf("%d reviewed, %v: every remark should be asked about", reviewed, err)
		}
	}
}
