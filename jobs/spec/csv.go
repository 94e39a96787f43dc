package spec

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// ParseCSV reads one order a row (RFC 4180), with the header of Columns; fields are set apart by commas,
// or by semicolons where the header has those. A length without a unit is in bare; an empty cell is as
// the pattern has it. All faults of the file come back at once, joined, each with its line and column;
// then there are no orders at all.
func ParseCSV(r io.Reader, bare unit.System) ([]Order, error) {
	raw, err := readText(r)
	if err != nil {
		return nil, err
	}
	lines := csv.NewReader(bytes.NewReader(raw))
	lines.FieldsPerRecord = -1
	if header, _, _ := bytes.Cut(raw, []byte("\n")); bytes.IndexByte(header, ';') >= 0 && bytes.IndexByte(header, ',') < 0 {
		lines.Comma = ';'
	}
	names, err := lines.Read()
	if err != nil {
		return nil, brokenLine(err)
	}
	columns, faults := headerOf(names)
	if len(faults) > 0 {
		return nil, together(faults)
	}
	var orders []Order
	for {
		cells, err := lines.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			faults = append(faults, brokenLine(err))
			break // what follows a broken quote can't be told apart
		}
		line, _ := lines.FieldPos(0)
		if len(orders) == mostOrders {
			return nil, fault("", "spec.file.many", message.Args{"found": message.Phrase{Key: "spec.file.more", Args: message.Args{"allowed": mostOrders}}, "allowed": mostOrders})
		}
		o, wrong := rowOf(columns, cells, bare)
		for _, f := range wrong {
			if f.Where = fmt.Sprintf("line %d", line) + prefixed(", column ", f.Where); len(faults) < mostFaults*2 {
				faults = append(faults, f)
			}
		}
		orders = append(orders, o)
	}
	if len(faults) == 0 && len(orders) == 0 {
		faults = append(faults, fault("", "spec.csv.none", nil))
	}
	if len(faults) > 0 {
		return nil, together(faults)
	}
	return orders, nil
}

func prefixed(prefix, s string) string {
	if s == "" {
		return ""
	}
	return prefix + s
}

// headerOf finds the column of each name.
func headerOf(names []string) ([]Column, []*message.Fault) {
	known := map[string]Column{}
	for _, c := range Columns() {
		known[c.Name] = c
	}
	var faults []*message.Fault
	var columns []Column
	seen := map[string]bool{}
	for i, name := range names {
		name = strings.ToLower(strings.TrimSpace(name))
		c, ok := known[name]
		where := fmt.Sprintf("line 1, column %d", i+1)
		switch {
		case name == "":
			faults = append(faults, fault(where, "spec.csv.nameless", nil))
		case !ok:
			faults = append(faults, fault(where, "spec.csv.unknown", message.Args{"found": quote(name), "near": nearest(name, known)}))
		case seen[name]:
			faults = append(faults, fault(where, "spec.csv.twice", message.Args{"found": quote(name)}))
		}
		seen[name] = true
		columns = append(columns, c)
	}
	for _, c := range Columns() {
		if c.Required && !seen[c.Name] {
			faults = append(faults, fault("line 1", "spec.csv.missing", message.Args{"name": c.Name}))
		}
	}
	return columns, faults
}

// nearest is the known name that shares the longest beginning, or the most letters, with a wrong one.
func nearest(name string, known map[string]Column) string {
	best, score := "", -1
	for _, c := range Columns() {
		same := 0
		for same < len(name) && same < len(c.Name) && name[same] == c.Name[same] {
			same++
		}
		if s := same*4 - max(len(c.Name)-same, len(name)-same); best == "" || s > score {
			best, score = c.Name, s
		}
	}
	return best
}

// rowOf makes an order of one line; the place of a fault is its column.
func rowOf(columns []Column, cells []string, bare unit.System) (Order, []*message.Fault) {
	if len(cells) != len(columns) {
		return Order{}, []*message.Fault{fault("", "spec.csv.width", message.Args{"found": len(cells), "allowed": len(columns)})}
	}
	r := &row{tree: map[string]any{}, where: map[string]string{}, cells: map[string]string{}}
	for i, text := range cells {
		if text = strings.TrimSpace(text); text != "" {
			r.cells[columns[i].Name] = text
		}
	}
	var faults []*message.Fault
	for _, c := range columns {
		if text := r.cells[c.Name]; text != "" {
			if f := c.put(r, text); f != nil {
				f.Where = c.Name
				faults = append(faults, f)
			}
		}
	}
	o, wrong := decode(r.tree, &reader{bare: bare, typed: true})
	for _, f := range wrong {
		f.Where = columnOf(r, f.Where)
		faults = append(faults, f)
	}
	return o, faults
}

// columnOf names the column of a path: the one it came from, those that filled what is in it, or the one
// that would have filled it.
func columnOf(r *row, path string) string {
	if c := r.column(path); c != "" {
		return c
	}
	var inside []string
	for field, column := range r.where {
		if strings.HasPrefix(field, path+".") {
			inside = append(inside, column)
		}
	}
	if len(inside) > 0 {
		slices.Sort(inside)
		return strings.Join(slices.Compact(inside), ", ")
	}
	for _, c := range Columns() {
		if c.Path == path || strings.HasPrefix(c.Path, path+".") {
			return c.Name
		}
	}
	return path
}

// brokenLine says where CSV itself is broken.
func brokenLine(err error) *message.Fault {
	var wrong *csv.ParseError
	if !errors.As(err, &wrong) {
		return fault("", "spec.csv.broken", message.Args{"found": err.Error()})
	}
	return fault(fmt.Sprintf("line %d, character %d", wrong.Line, wrong.Column), "spec.csv.broken", message.Args{"found": wrong.Err.Error()})
}

func itemPath(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }
