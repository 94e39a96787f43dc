package spec

import (
	"reflect"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

func TestBadCSVIsRefusedWithLineAndColumn(t *testing.T) {
	const header = "name,pattern,size_system,size"
	const good = "\nA B,floe,mondopoint,265"
	with := func(column, cell string) string { return header + "," + column + good + "," + cell }
	for _, row := range []struct {
		name, in string
		want     []string
	}{
		{"an empty file", "", []string{"spec.file.empty | there is no order in it"}},
		{"a header alone", header, []string{"spec.csv.none | there is a header but no order under it"}},
		{"an unknown column", with("stifness", "1"), []string{"spec.csv.unknown | line 1, column 5: there is no column “stifness”; the nearest is stiffness"}},
		{"a column twice", with("name", "x"), []string{"spec.csv.twice | line 1, column 5: the column “name” stands twice: keep one"}},
		{"a column without a name", with("", "x"), []string{"spec.csv.nameless | line 1, column 5: the column has no name in the header"}},
		{"two required columns missing", "name,pattern\nA,floe", []string{
			"spec.csv.missing | line 1: the column size_system is missing: it must be there",
			"spec.csv.missing | line 1: the column size is missing: it must be there",
		}},
		{"a field too many", header + good + ",x", []string{"spec.csv.width | line 2: has 5 fields, the header has 4: check the separators and the quotes"}},
		{"a field too few", header + "\nA B,floe", []string{"spec.csv.width | line 2: has 2 fields, the header has 4: check the separators and the quotes"}},
		{"a quote that isn't closed", header + "\n\"A B,floe,mondopoint,265", []string{`spec.csv.broken | line 2, character 25: this is not CSV: extraneous or missing " in quoted-field`}},
		{"a quote in the middle", header + "\nA \"B\" C,floe,mondopoint,265", []string{`spec.csv.broken | line 2, character 3: this is not CSV: bare " in non-quoted-field`}},
		{"an empty name", header + "\n,floe,mondopoint,265", []string{"spec.field.missing | line 2, column name: is missing: it must be given"}},
		{"a size in words", header + "\nA,floe,mondopoint,large", []string{"unit.number | line 2, column size: “large” is not a number: type digits with one decimal point or comma, such as 12.5"}},
		{"a size with an exponent", header + "\nA,floe,mondopoint,1e9", []string{"unit.exponent | line 2, column size: “1e9” has an exponent: write the number out, such as 1500"}},
		{"a size of NaN", header + "\nA,floe,mondopoint,NaN", []string{"unit.number | line 2, column size: “NaN” is not a number: type digits with one decimal point or comma, such as 12.5"}},
		{"a size below zero", header + "\nA,floe,mondopoint,-3", []string{"spec.field.above | line 2, column size: −3 must be above 0"}},
		{"an unknown system", header + "\nA,floe,mile,265", []string{"spec.field.choice | line 2, column size_system: “mile” is not one of mondopoint, paris-point, english, english-child, us-men, us-women, us-child"}},
		{"a length of an unknown unit", with("length_left", "27 yards"), []string{"unit.unknown | line 2, column length_left: “27 yards” has “yards” behind its number: allowed are mm, cm, in, ft"}},
		{"a length in metres written as such", with("length_left", "1.5 m"), []string{"unit.unknown | line 2, column length_left: “1.5 m” has “m” behind its number: allowed are mm, cm, in, ft"}},
		{"a length for both and for one foot", header + ",length,length_left" + good + ",265,264", []string{`spec.field.mixed | line 2, column length, length_left: gives "both" beside a single foot: give "both", or "left" and "right"`}},
		{"half a grade", with("stiffness", "0.5"), []string{"spec.integer | line 2, column stiffness: “0.5” is not a whole number: write digits only, with + or - before them"}},
		{"a grade in words", with("stiffness", "stiff"), []string{"spec.integer | line 2, column stiffness: “stiff” is not a whole number: write digits only, with + or - before them"}},
		{"a facing cut without eyelets", with("facing_left_inner", "3 mm"), []string{"spec.csv.facing | line 2, column facing_left_inner: “3 mm” is not a facing cut: write how much and which eyelets, such as 6.35 mm on 1-6"}},
		{"a facing cut on words", with("facing_left_inner", "3 mm on top-six"), []string{
			"spec.integer | line 2, column facing_left_inner: “top” is not a whole number: write digits only, with + or - before them",
			"spec.integer | line 2, column facing_left_inner: “six” is not a whole number: write digits only, with + or - before them",
		}},
		{"an opening without a number", with("opening_left_toes", "a bit"), []string{"unit.number | line 2, column opening_left_toes: “a bit” is not a number: type digits with one decimal point or comma, such as 12.5"}},
		{"an opening over nothing", with("opening_left_toes", "4 mm over "), []string{"unit.unknown | line 2, column opening_left_toes: “4 mm over” has “mm over” behind its number: allowed are mm, cm, in, ft"}},
		{"an opening of nothing", with("opening_left_toes", "0"), []string{"spec.field.above | line 2, column opening_left_toes: 0 mm must be above 0 mm"}},
		{"a pad with a name instead of a key", with("padding_left_inner-ankle", "Soft Pad"), []string{"spec.field.key | line 2, column padding_left_inner-ankle: “Soft Pad” is not a key: small letters, digits and hyphens only, such as felt-10"}},
		{"a street size that is perhaps one", with("size_street", "maybe"), []string{"spec.boolean | line 2, column size_street: “maybe” is neither yes nor no: write yes or no"}},
		{"a day as a spreadsheet shows it", with("wanted_by", "12.6.2026"), []string{"spec.date | line 2, column wanted_by: 12.6.2026 is not a day: write year-month-day, such as 2026-03-14"}},
		{"a place of letters without letters", with("engraving_place", "cuff"), []string{"spec.csv.lettering | line 2, column engraving_place: says where or in which colour, but there is no text in engraving_left or engraving_right"}},
		{"letters without a place", with("engraving_left", "AB"), []string{"spec.csv.place | line 2, column engraving_left: there is a text, but no place for it in the column engraving_place"}},
		{"an operation without its remark", with("remark_operation", "qc"), []string{"spec.csv.remark | line 2, column remark_operation: belongs to a remark, but the column remark is empty"}},
		{"an e-mail address without @", with("email", "nobody"), []string{"spec.field.email | line 2, column email: “nobody” is not an e-mail address: it needs a name, an @ and a domain"}},
		{"slips in two lines and three columns", header + ",hollow\nA,floe,mondopoint,x,y\nB,floe,mile,265,1/3 in", []string{
			"unit.number | line 2, column hollow: “y” is not a number: type digits with one decimal point or comma, such as 12.5",
			"unit.number | line 2, column size: “x” is not a number: type digits with one decimal point or comma, such as 12.5",
			"unit.fraction | line 3, column hollow: “1/3 in” is not a fraction that a rule shows: write it in inches, smaller than one, in halves down to 64ths, such as 1 3/8 in",
			"spec.field.choice | line 3, column size_system: “mile” is not one of mondopoint, paris-point, english, english-child, us-men, us-women, us-child",
		}},
		{"not UTF-8", header + "\n\xff,floe,mondopoint,265", []string{"spec.file.text | line 2: this is not UTF-8 text: save the file as UTF-8"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			orders, err := ParseCSV(strings.NewReader(row.in), unit.Metric)
			if orders != nil {
				t.Error("orders came back beside an error")
			}
			wants(t, err, row.want...)
		})
	}
}

// The same order as JSON and as CSV is the same order.
func TestCSVAndJSONSayTheSame(t *testing.T) {
	c := sample(t, "several.csv")[1]
	j, err := ParseJSON(strings.NewReader(`{
		"reference": "club 2", "customer": {"name": "Elin Fors", "phone": "+47 00 000 0005"},
		"spec": {
			"pattern": "floe", "size": {"system": "english", "value": 7},
			"feet": {"left": {"length": 255, "ball_girth": 238}, "right": {"length": 256, "ball_girth": 239}},
			"last": {"openings": [{"foot": "right", "place": "inner-ankle", "direction": "outwards", "by": 4, "extent": 40}]},
			"shell": {"stiffness": {"both": 1}, "height": {"both": {"step": 3}}, "facing": [{"foot": "right", "side": "inner", "from": 1, "to": 6, "by": "1/4 in"}]},
			"inside": {"foam": {"both": "comfort-2"}, "tongue": {"both": "felt-10"}},
			"blade": {"hollow": 12.7},
			"finish": {"engraving": [{"foot": "left", "place": "holder-side", "text": "ELIN"}, {"foot": "right", "place": "holder-side", "text": "FORS"}]}
		}}`), unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	c.Customer.Phone = j[0].Customer.Phone
	if !reflect.DeepEqual(c, j[0]) {
		t.Errorf("CSV\n%+v\nJSON\n%+v", c, j[0])
	}
}

func TestCSVIsReadAsSpreadsheetsWriteIt(t *testing.T) {
	for _, row := range []struct{ name, in string }{
		{"commas", "name,pattern,size_system,size,hollow,opening_left_toes\nA,floe,mondopoint,265,12.7,-2 mm\n"},
		{"semicolons and decimal commas", "name;pattern;size_system;size;hollow;opening_left_toes\r\nA;floe;mondopoint;265;12,7;-2 mm\r\n"},
		{"quotes", "\"name\",\"pattern\",\"size_system\",\"size\",\"hollow\",\"opening_left_toes\"\n\"A\",\"floe\",\"mondopoint\",\"265\",\"1/2 in\",\"−2\"\n"},
		{"a byte order mark and capitals", "\ufeffName,Pattern,Size_System,Size,Hollow,Opening_Left_Toes\nA,floe,mondopoint,265,\"12,7 mm\",-2"},
	} {
		t.Run(row.name, func(t *testing.T) {
			orders, err := ParseCSV(strings.NewReader(row.in), unit.Metric)
			if err != nil || len(orders) != 1 {
				t.Fatalf("%d orders, %v", len(orders), err)
			}
			s := orders[0].Spec
			want := Opening{Foot: Left, Place: Toes, Direction: Inwards, By: 2}
			if s.Blade.Hollow != 12.7 || s.Last.Openings[0] != want {
				t.Errorf("read %+v", s)
			}
		})
	}
}

// Every column fills a field: an order with nothing but that column beside the required ones changes.
func TestEveryColumnFillsItsField(t *testing.T) {
	cells := map[string]string{
		"wanted_by": "2026-06-12", "email": "a@b", "repeats": "1003", "size_street": "yes", "method": "scan", "stiffness": "1", "turn": "0.5",
		"toe_box": "wide", "foam": "comfort-2", "liner": "felt", "tongue": "felt-10", "holder": "arc-m", "runner": "bandy-m", "lacing": "waxed",
	}
	beside := map[string]string{
		"engraving_place": "engraving_left", "engraving_colour": "engraving_left", "engraving_left": "engraving_place", "engraving_right": "engraving_place",
		"embroidery_place": "embroidery_left", "embroidery_colour": "embroidery_left", "embroidery_left": "embroidery_place", "embroidery_right": "embroidery_place",
		"remark_operation": "remark", "remark_foot": "remark",
	}
	for _, c := range Columns() {
		if !message.Has(message.Default, c.Meaning) {
			t.Errorf("%s has no meaning: %s", c.Name, c.Meaning)
		}
		if c.Required {
			continue
		}
		stem := strings.TrimSuffix(strings.TrimSuffix(c.Name, "_left"), "_right")
		cell, ok := cells[stem]
		switch {
		case ok:
		case strings.HasPrefix(c.Name, "facing"):
			cell = "3 mm on 1-6"
		case strings.HasPrefix(c.Name, "padding"), strings.HasSuffix(c.Name, "_place"), strings.HasSuffix(c.Name, "operation"):
			cell = "cuff"
		case c.Name == "remark_foot":
			cell = "left"
		default:
			cell = "3"
		}
		header, line := "name,pattern,size_system,size", "A,floe,mondopoint,265"
		before := header + "\n" + line
		if other := beside[c.Name]; other != "" && !strings.HasSuffix(c.Name, "left") && !strings.HasSuffix(c.Name, "right") {
			header, line = header+","+other, line+",x"
			if other := beside[other]; strings.HasSuffix(c.Name, "colour") {
				header, line = header+","+other, line+",cuff"
			}
			before = header + "\n" + line
			if strings.HasSuffix(c.Name, "_place") {
				before = "name,pattern,size_system,size\nA,floe,mondopoint,265"
			}
		} else if other != "" {
			header, line = header+","+other, line+",cuff"
		}
		was, err := ParseCSV(strings.NewReader(before), unit.Metric)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		is, err := ParseCSV(strings.NewReader(header+","+c.Name+"\n"+line+","+cell), unit.Metric)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		if reflect.DeepEqual(was, is) {
			t.Errorf("%s changes nothing", c.Name)
		}
	}
}
