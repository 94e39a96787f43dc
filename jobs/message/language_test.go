package message

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// polish is a language of the test alone: a decimal comma, groups by a space, and four plural forms, as CLDR
// 48 has them for pl (one: 1; few: 2–4, 22–24 …; many: 0, 5–21, 25 …; other: decimals).
const polish = `{
	"pairs": {"by": "n", "one": "{n} para", "few": "{n} pary", "many": "{n} par", "other": "{n} pary"},
	"both": "{n:pairs} i {m:pairs}",
	"count.pairs": {"by": "n", "one": "{n} para", "few": "{n} pary", "many": "{n} par", "other": "{n} pary"},
	"place": "kostka", "work": "Wkładka", "named": "{what} – {name}", "quoted": "„{text}”", "of": "{what}, {by}",
	"list.and.more": "{a}, {b}", "list.and.last": "{a} i {b}", "range": "{from} do {to}",
	"unit.symbol.in": "cal", "unit.symbol.ft": "stóp", "unit.aside": "{text} ({aside})",
	"date.day": "{weekday}, {day} {month}", "date.clock": "{hour}.{minute}", "date.weekday.1": "pon.", "date.month.11": "lis"
}`

func TestASentenceFollowsItsLanguage(t *testing.T) {
	pl := catalogue(t, "pl", polish)
	monday := time.Date(2026, 11, 30, 8, 5, 0, 0, time.UTC)
	mm := func(v float64) Quantity { return Quantity{Value: v, Unit: "mm"} }
	for _, row := range []struct {
		name string
		got  string
		want string
	}{
		{"one", pl.Say("pairs", Args{"n": 1}), "1 para"},
		{"few", pl.Say("pairs", Args{"n": 22}), "22 pary"},
		{"many", pl.Say("pairs", Args{"n": 0}), "0 par"},
		{"many again", pl.Say("pairs", Args{"n": 112}), "112 par"},
		{"a part of one", pl.Say("pairs", Args{"n": 1.5}), "1,5 pary"},
		{"a count in groups", pl.Say("pairs", Args{"n": 12345}), "12\u00a0345 par"},
		{"a count of four digits", pl.Say("pairs", Args{"n": 1234}), "1234 pary"},
		{"a number that came as text", pl.Say("pairs", Args{"n": "5"}), "5 par"},
		{"what is no number", pl.Say("pairs", Args{"n": "kilka"}), "kilka pary"},
		{"two counts in one sentence", pl.Say("both", Args{"n": 1, "m": 5}), "1 para i 5 par"},
		{"a length", pl.Say("of", Args{"what": Phrase{Key: "place"}, "by": mm(6.35)}), "kostka, 6,35 mm"},
		{"a length of inches", pl.Show(Quantity{Value: 6, Unit: "mm", As: InInches}), "0,236 cal (6 mm)"},
		{"a fraction", pl.Show(Quantity{Value: -34.925, Unit: "mm", As: InInches}), "−1 3/8 cal"},
		{"a radius", pl.Show(Quantity{Value: 3352.8, Unit: "mm", As: Radius}), "11 stóp (3353 mm)"},
		{"with its sign", pl.Show(Quantity{Value: -0.5, Unit: "°", Decimals: 2, Signed: true}), "−0,50°"},
		{"a plain number", pl.Show(-0.25), "−0,25"},
		{"a list", pl.Show(List{Items: []any{Range{1, 3}, Range{5, 5}, "7"}, As: And}), "1 do 3, 5 i 7"},
		{"a list of one", pl.Show(List{Items: []any{"7"}, As: And}), "7"},
		{"a name", pl.Show(Named{Name: "miękka skóra", Of: "work"}), "Wkładka – miękka skóra"},
		{"a name that says it itself", pl.Show(Named{Name: "WKŁADKA ze skóry", Of: "work"}), "WKŁADKA ze skóry"},
		{"a quotation", pl.Show(Phrase{Key: "quoted", Args: Args{"text": "AB"}}), "„AB”"},
		{"a day", pl.Show(Time{At: monday, As: Day}), "pon., 30 lis"},
		{"a time", pl.Show(Time{At: monday, As: Clock}), "08.05"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if row.got != row.want {
				t.Errorf("got %q, want %q", row.got, row.want)
			}
		})
	}
}

func TestANumberIsWrittenAsEnglishDoes(t *testing.T) {
	for _, row := range []struct {
		v    any
		want string
	}{
		{Quantity{Value: 6.35, Unit: "mm"}, "6.35 mm"},
		{Quantity{Value: 6.3504, Unit: "mm", Signed: true}, "+6.35 mm"},
		{Quantity{Value: -0.0001, Unit: "mm", Signed: true}, "0 mm"},
		{Quantity{Value: 0, Signed: true}, "0"},
		{Quantity{Value: -0.004, Unit: "mm", Decimals: 2}, "0.00 mm"},
		{Quantity{Value: 9.25, Unit: "N·m"}, "9.25 N·m"},
		{Quantity{Value: 2743.2, Unit: "mm", As: Radius}, "9 ft (2743 mm)"},
		{Quantity{Value: 3048.5, Unit: "mm", As: Radius}, "3.05 m"},
		{Quantity{Value: 12.7, Unit: "mm", As: Radius}, "1/2 in (12.7 mm)"},
		{Quantity{Value: 0, Unit: "mm", As: Radius}, "0 in (0 mm)"},
		{Quantity{Value: 13, Unit: "mm", As: Radius}, "13 mm"},
		{Quantity{Value: 13, Unit: "mm", As: RadiusInInches}, "0.512 in (13 mm)"},
		{Quantity{Value: 25.4, Unit: "mm", As: InInches}, "1 in"},
		{Quantity{Value: 6.35, As: InInches}, "1/4"},
		{Quantity{Value: 6, As: InInches}, "0.236"},
		{1002, "1002"},
		{12000, "12000"}, // it may be a job's number
		{0.1, "0.1"},
	} {
		if got := Show(English, row.v); got != row.want {
			t.Errorf("%#v is %q, want %q", row.v, got, row.want)
		}
	}
}

func TestAnUnknownLanguageSpeaksTheDefaultOne(t *testing.T) {
	if got := Say("xx", "spec.place.toes", nil); got != "toes" {
		t.Errorf("got %q", got)
	}
}

// Every language says all that English says, puts in the same values, and has the plural forms that CLDR asks for.
func TestEveryLanguageIsWhole(t *testing.T) {
	if catalogues()[English] == nil {
		t.Fatalf("the languages are %v", catalogues())
	}
	for lang, c := range catalogues() {
		for _, lack := range lacks(Of(English), c) {
			t.Errorf("%s: %s", lang, lack)
		}
	}
}

func TestALanguageThatLacksSomethingIsFound(t *testing.T) {
	en := catalogue(t, "en", `{"a": "{x} and {y}", "b": "b", "pairs": {"by": "n", "one": "{n} pair", "other": "{n} pairs"}}`)
	pl := catalogue(t, "pl", `{"a": "{x}", "c": "c", "pairs": {"by": "n", "one": "para", "other": "{n} pary"}}`)
	want := []string{
		"a puts in [x], English [x y]", "b is missing", "c is not in English", "pairs has no form few", "pairs has no form many",
	}
	if got := lacks(en, pl); !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	flat := catalogue(t, "pl", `{"a": "{x} i {y}", "b": "b", "pairs": "{n} par"}`)
	if got := lacks(en, flat); !slices.Equal(got, []string{"pairs has no plural forms"}) {
		t.Errorf("got %q", got)
	}
}

// lacks lists in what a catalogue differs from the English one.
func lacks(english, other *Catalogue) []string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	for _, key := range slices.Sorted(maps.Keys(english.Sentences)) {
		theirs, ok := other.Sentences[key]
		if !ok {
			say("%s is missing", key)
			continue
		}
		ours := english.Sentences[key]
		if a, b := values(theirs), values(ours); !slices.Equal(a, b) {
			say("%s puts in %v, English %v", key, a, b)
		}
		if ours.By == "" {
			continue
		}
		if theirs.By == "" {
			say("%s has no plural forms", key)
			continue
		}
		for _, form := range forms(other) {
			if theirs.Forms[form] == "" {
				say("%s has no form %s", key, form)
			}
		}
		for form := range theirs.Forms {
			if !slices.Contains(forms(other), form) {
				say("%s has a form %s, which the language does not know", key, form)
			}
		}
	}
	for _, key := range slices.Sorted(maps.Keys(other.Sentences)) {
		if _, ok := english.Sentences[key]; !ok {
			say("%s is not in English", key)
		}
	}
	slices.Sort(all)
	return all
}

// forms are the plural forms of a language, by what CLDR says of the numbers of a workshop.
func forms(c *Catalogue) []string {
	var all []string
	add := func(text string) {
		if form := names[c.pluralOf(text)]; !slices.Contains(all, form) {
			all = append(all, form)
		}
	}
	for n := range 200 {
		add(strconv.Itoa(n))
	}
	add("1.5")
	slices.Sort(all)
	return all
}

var put = regexp.MustCompile(`\{([A-Za-z]+)(:[a-z]+)?\}`)

// values are the names that a sentence puts in, in any of its forms; "one" may say its number in words.
func values(s Sentence) []string {
	var all []string
	for _, text := range s.Texts() {
		for _, m := range put.FindAllStringSubmatch(text, -1) {
			all = append(all, m[1])
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// A number of things before their name takes a plural form, so that nobody reads "1 pairs". A word that ends in s
// and is no such thing is a verb.
func TestEveryNumberOfThingsHasPluralForms(t *testing.T) {
	before := regexp.MustCompile(`\{([A-Za-z]+)\} (?:[a-z]+ )?([a-z]+s|people|feet)\b`)
	verbs := strings.Fields("is has was stands needs does as allows says replaces this names holds across tells rests lies goes fits asks " +
		"uses unless takes seems shows steps falls follows exists ends comes belongs eyelets layers grades thinks")
	found := 0
	for _, key := range slices.Sorted(maps.Keys(Of(English).Sentences)) {
		sentence := Of(English).Sentences[key]
		for _, text := range sentence.Texts() {
			for _, m := range before.FindAllStringSubmatch(text, -1) {
				found++
				if m[1] != sentence.By && !slices.Contains(verbs, m[2]) && !slices.Contains(ofOne[key], m[1]) {
					t.Errorf("%s says %q of any number: give it plural forms", key, m[0])
				}
			}
		}
	}
	if found < 50 {
		t.Fatalf("%d numbers of things were found", found)
	}
}

// ofOne are values of sentences that are never one, or stand for no number of what follows.
var ofOne = map[string][]string{
	"ledger.key":       {"most"},    // the length of a key
	"photo.pixels":     {"height"},  // of a photo that is too large
	"shop.check-twice": {"key"},     // "operation[2] checks"
	"shop.key":         {"allowed"}, // the letters themselves
}

func TestAPluralFormNeedsWhatDecidesIt(t *testing.T) {
	for _, text := range []string{`{"k": {"one": "a", "other": "b"}}`, `{"k": {"by": "n", "one": "a"}}`, `{"k": 3}`} {
		if _, err := Load(fstest.MapFS{"en/a.json": {Data: []byte(text)}}, "en"); err == nil {
			t.Errorf("%s was loaded", text)
		}
	}
	if _, err := Load(fstest.MapFS{}, "not a language"); err == nil {
		t.Error("a folder that names no language was loaded")
	}
}
