package spec

import (
	"reflect"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// goodOrder is an order in JSON with something in place of @.
func goodOrder(at string) string {
	return strings.Replace(`{"customer":{"name":"A B"},"spec":{"pattern":"floe","size":{"system":"mondopoint","value":265}@}}`, "@", at, 1)
}

// wants compares the faults of an error with the code and the line expected of each.
func wants(t *testing.T, err error, want ...string) {
	t.Helper()
	faults := message.Faults(err)
	var got []string
	for _, f := range faults {
		got = append(got, f.Key+" | "+f.Error())
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

func TestBadJSONIsRefusedWithItsPlace(t *testing.T) {
	for _, row := range []struct {
		name, in string
		want     []string
	}{
		{"an empty file", "", []string{"spec.file.empty | there is no order in it"}},
		{"blanks only", " \n\t", []string{"spec.file.empty | there is no order in it"}},
		{"an empty list", "[]", []string{"spec.file.empty | there is no order in it"}},
		{"not JSON at all", "hello", []string{"spec.json.syntax | line 1, column 1: this is not JSON: invalid character 'h' looking for beginning of value"}},
		{"NaN", goodOrder(`,"blade":{"hollow":NaN}`), []string{"spec.json.syntax | line 1, column 114: this is not JSON: invalid character 'N' looking for beginning of value"}},
		{"infinity", goodOrder(`,"blade":{"hollow":-Infinity}`), []string{"spec.json.syntax | line 1, column 114: this is not JSON: invalid character 'I' in numeric literal"}},
		{"a file that ends in the middle", `{"customer":{"name":"A`, []string{"spec.json.cut | line 1, column 21: the JSON ends too early: a bracket, brace or quote is not closed"}},
		{"an open list", `[` + goodOrder(""), []string{"spec.json.cut | line 1, column 98: the JSON ends too early: a bracket, brace or quote is not closed"}},
		{"something after the end", goodOrder("") + goodOrder(""), []string{"spec.json.after | line 1, column 98: something follows the end of the JSON: put several orders in one list [ … ]"}},
		{"a name twice", `{"customer":{"name":"A","name":"B"}}`, []string{`spec.json.twice | line 1, column 31: the name "name" stands twice in one object: keep one`}},
		{"nested too deep", strings.Repeat(`[`, 30) + strings.Repeat(`]`, 30), []string{"spec.json.deep | line 1, column 19: nested deeper than 16: an order is not"}},
		{"not UTF-8", "{\n\"reference\":\"\xff\"}", []string{"spec.file.text | line 2: this is not UTF-8 text: save the file as UTF-8"}},
		{"a number for an order", "12", []string{"spec.field.kind | is a number, must be an object"}},
		{"a list of numbers", "[1,2]", []string{
			"spec.field.kind | orders[0]: is a number, must be an object",
			"spec.field.kind | orders[1]: is a number, must be an object",
		}},
		{"no customer", `{"spec":{"pattern":"floe","size":{"system":"mondopoint","value":265}}}`, []string{"spec.field.missing | customer: is missing: it must be given"}},
		{"no size", `{"customer":{"name":"A"},"spec":{"pattern":"floe"}}`, []string{"spec.field.missing | spec.size: is missing: it must be given"}},
		{"a field that is misspelt", goodOrder(`,"lasst":{}`), []string{"spec.field.unknown | spec.lasst: is not a field of an order here; allowed are blade, feet, finish, inside, last, pattern, remarks, repeats, shell, size"}},
		{"a field in the wrong bench", goodOrder(`,"shell":{"foam":{"both":"comfort-2"}}`), []string{"spec.field.unknown | spec.shell.foam: is not a field of an order here; allowed are facing, height, stiffness, toe_box"}},
		{"an empty name", strings.Replace(goodOrder(""), "A B", "", 1), []string{"spec.field.blank | customer.name: is empty: fill it in or leave it out"}},
		{"a name that is too long", strings.Replace(goodOrder(""), "A B", strings.Repeat("x", 121), 1), []string{"spec.field.long | customer.name: has 121 characters, at most 120 are allowed"}},
		{"a control character", strings.Replace(goodOrder(""), "A B", `A\u0000B`, 1), []string{"spec.field.signs | customer.name: “A\\x00B” holds a control character: remove it"}},
		{"an e-mail address without @", strings.Replace(goodOrder(""), `"A B"`, `"A B","email":"nobody"`, 1), []string{"spec.field.email | customer.email: “nobody” is not an e-mail address: it needs a name, an @ and a domain"}},
		{"a day in another order", strings.Replace(goodOrder(""), `"customer"`, `"wanted_by":"12/06/2026","customer"`, 1), []string{"spec.date | wanted_by: 12/06/2026 is not a day: write year-month-day, such as 2026-03-14"}},
		{"a day that isn't", strings.Replace(goodOrder(""), `"customer"`, `"wanted_by":"2026-02-30","customer"`, 1), []string{"spec.date | wanted_by: 2026-02-30 is not a day: write year-month-day, such as 2026-03-14"}},
		{"an unknown size system", strings.Replace(goodOrder(""), "mondopoint", "mile", 1), []string{"spec.field.choice | spec.size.system: “mile” is not one of mondopoint, paris-point, english, english-child, us-men, us-women, us-child"}},
		{"a size of nothing", strings.Replace(goodOrder(""), "265", "0", 1), []string{"spec.field.above | spec.size.value: 0 must be above 0"}},
		{"a size of 1e9", strings.Replace(goodOrder(""), "265", "1e9", 1), []string{"spec.field.most | spec.size.value: 1000000000 is above the most allowed, 400"}},
		{"a size of 1e999", strings.Replace(goodOrder(""), "265", "1e999", 1), []string{"spec.number.size | spec.size.value: 1e999 is not a number that can be used: at most 32 characters, without a huge exponent"}},
		{"a size with a hundred digits", strings.Replace(goodOrder(""), "265", strings.Repeat("9", 100), 1), []string{"spec.number.size | spec.size.value: 99999999999999999999999999999999… is not a number that can be used: at most 32 characters, without a huge exponent"}},
		{"a length with no unit that is a word", goodOrder(`,"feet":{"left":{"length":"long"}}`), []string{"unit.number | spec.feet.left.length: “long” is not a number: type digits with one decimal point or comma, such as 12.5"}},
		{"a length with a thousands separator", goodOrder(`,"feet":{"left":{"length":"1.234,5"}}`), []string{"unit.grouped | spec.feet.left.length: “1.234,5” has more than one separator: write it with one decimal point and nothing between thousands, such as 1234.5 (a half is .5)"}},
		{"a length that could be read in two ways", goodOrder(`,"feet":{"left":{"length":"1,234"}}`), []string{"unit.comma | spec.feet.left.length: “1,234” could mean 1.234 or 1234: type one of these two"}},
		{"a length in an unknown unit", goodOrder(`,"feet":{"left":{"length":"26 furlongs"}}`), []string{"unit.unknown | spec.feet.left.length: “26 furlongs” has “furlongs” behind its number: allowed are mm, cm, in, ft"}},
		{"a fraction of a millimetre", goodOrder(`,"last":{"openings":[{"foot":"left","place":"toes","direction":"outwards","by":"1/4 mm"}]}`), []string{"unit.fraction | spec.last.openings[0].by: “1/4 mm” is not a fraction that a rule shows: write it in inches, smaller than one, in halves down to 64ths, such as 1 3/8 in"}},
		{"a length below zero", goodOrder(`,"feet":{"left":{"length":-3}}`), []string{"spec.field.above | spec.feet.left.length: −3 mm must be above 0 mm"}},
		{"a length of three metres", goodOrder(`,"feet":{"left":{"length":3000}}`), []string{"spec.field.most | spec.feet.left.length: 3000 mm is above the most allowed, 1000 mm"}},
		{"a length that is null", goodOrder(`,"feet":{"left":{"length":null}}`), []string{"spec.field.kind | spec.feet.left.length: is nothing (null), must be a number or a text"}},
		{"both beside left", goodOrder(`,"shell":{"stiffness":{"both":1,"left":2}}`), []string{`spec.field.mixed | spec.shell.stiffness: gives "both" beside a single foot: give "both", or "left" and "right"`}},
		{"no foot named", goodOrder(`,"shell":{"stiffness":{}}`), []string{`spec.field.neither | spec.shell.stiffness: names no foot: give "both", or "left" and "right"`}},
		{"half a grade", goodOrder(`,"shell":{"stiffness":{"both":0.5}}`), []string{"spec.field.kind | spec.shell.stiffness.both: is a number, must be a whole number"}},
		{"an opening without direction", goodOrder(`,"last":{"openings":[{"foot":"left","place":"toes","by":3}]}`), []string{"spec.field.missing | spec.last.openings[0].direction: is missing: it must be given"}},
		{"an opening at the knee", goodOrder(`,"last":{"openings":[{"foot":"left","place":"knee","direction":"outwards","by":3}]}`), []string{"spec.field.choice | spec.last.openings[0].place: “knee” is not one of inner-ankle, outer-ankle, achilles, heel-bone, navicular, arch, instep, fifth-base, first-metatarsal, fifth-metatarsal, toes"}},
		{"too many openings", goodOrder(`,"last":{"openings":[` + strings.TrimSuffix(strings.Repeat(`{"foot":"left","place":"toes","direction":"outwards","by":1},`, 41), ",") + `]}`), []string{"spec.field.many | spec.last.openings: holds 41 entries, at most 40 are allowed"}},
		{"a key with a space", goodOrder(`,"blade":{"holder":"Arc Middle"}`), []string{"spec.field.key | spec.blade.holder: “Arc Middle” is not a key: small letters, digits and hyphens only, such as felt-10"}},
		{"two slips in the second of two orders", "[" + goodOrder("") + "," + strings.Replace(goodOrder(`,"blade":{"hollow":"x"}`), "265", `"big"`, 1) + "]", []string{
			"unit.number | orders[1].spec.blade.hollow: “x” is not a number: type digits with one decimal point or comma, such as 12.5",
			"unit.number | orders[1].spec.size.value: “big” is not a number: type digits with one decimal point or comma, such as 12.5",
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			orders, err := ParseJSON(strings.NewReader(row.in), unit.Metric)
			if orders != nil {
				t.Error("orders came back beside an error")
			}
			wants(t, err, row.want...)
		})
	}
}

func TestAFileThatIsTooLargeIsRefused(t *testing.T) {
	big := strings.Repeat(" ", 10<<20)
	_, err := ParseJSON(strings.NewReader(goodOrder("")+big), unit.Metric)
	wants(t, err, "spec.file.large | the file is larger than 8 MB: split it")
	_, err = ParseCSV(strings.NewReader("name\n"+big), unit.Metric)
	wants(t, err, "spec.file.large | the file is larger than 8 MB: split it")
}

func TestTooManyOrdersAreRefused(t *testing.T) {
	_, err := ParseJSON(strings.NewReader("["+strings.TrimSuffix(strings.Repeat("{},", mostOrders+1), ",")+"]"), unit.Metric)
	wants(t, err, "spec.file.many | 20,001 orders in one file, at most 20,000 are allowed: split it")
}

func TestManyFaultsAreCutShort(t *testing.T) {
	_, err := ParseJSON(strings.NewReader("["+strings.TrimSuffix(strings.Repeat("1,", mostFaults+7), ",")+"]"), unit.Metric)
	faults := message.Faults(err)
	if len(faults) != mostFaults+1 || faults[mostFaults].Error() != "and 7 more faults" {
		t.Errorf("%d faults, last %v", len(faults), faults[len(faults)-1])
	}
}

// The examples of how people write a length, in an order.
func TestLengthsAreReadAsPeopleWriteThem(t *testing.T) {
	for _, row := range []struct {
		text string
		bare unit.System
		want unit.Length
	}{
		{`6`, unit.Metric, 6},
		{`6`, unit.Inch, 6}, // a JSON number is millimetres whatever the shop thinks in
		{`"6 mm"`, unit.Inch, 6},
		{`"6,5"`, unit.Metric, 6.5},
		{`"1/4 in"`, unit.Metric, 6.35},
		{`"0.25\""`, unit.Metric, 6.35},
		{`"1 3/8\""`, unit.Metric, 34.925},
		{`"0.25"`, unit.Inch, 6.35},
		{`"0.6 cm"`, unit.Metric, 6},
	} {
		t.Run(row.text+" "+string(row.bare), func(t *testing.T) {
			in := goodOrder(`,"last":{"openings":[{"foot":"left","place":"toes","direction":"outwards","by":` + row.text + `}]}`)
			orders, err := ParseJSON(strings.NewReader(in), row.bare)
			if err != nil {
				t.Fatal(err)
			}
			if by := orders[0].Spec.Last.Openings[0].By; abs(by-row.want) > 1e-9 {
				t.Errorf("got %v, want %v", by, row.want)
			}
		})
	}
}

func TestOneOrderAndManyAreRead(t *testing.T) {
	for _, row := range []struct {
		name, in string
		count    int
	}{
		{"one order", goodOrder(""), 1},
		{"a byte order mark before it", "\ufeff" + goodOrder(""), 1},
		{"a list of two", "[" + goodOrder("") + "," + goodOrder("") + "]", 2},
	} {
		t.Run(row.name, func(t *testing.T) {
			orders, err := ParseJSON(strings.NewReader(row.in), unit.Metric)
			if err != nil || len(orders) != row.count {
				t.Fatalf("%d orders, %v", len(orders), err)
			}
			if o := orders[0]; o.Customer.Name != "A B" || o.Spec.Size.Value != 265 {
				t.Errorf("read %+v", o)
			}
		})
	}
}
