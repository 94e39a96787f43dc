package shop

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

func TestTheExampleIsAShopFile(t *testing.T) {
	s, err := Parse(Example(), "example.toml")
	if err != nil {
		t.Fatal(err)
	}
	var route []string
	for _, op := range s.Operations {
		route = append(route, op.Key)
		if len(op.Cautions) == 0 {
			t.Errorf("%s has no caution", op.Key)
		}
	}
	if got := strings.Join(route, " "); got != "heat-moulding lasting holder-mounting finishing qc" {
		t.Errorf("route %s", got)
	}
	if len(s.Catalogue.Patterns) < 2 || len(s.People) < 4 || len(s.Gauges) < 5 {
		t.Errorf("%d patterns, %d people, %d gauges", len(s.Catalogue.Patterns), len(s.People), len(s.Gauges))
	}
	for _, role := range Roles {
		found := false
		for _, p := range s.People {
			found = found || p.Role == role
		}
		if !found {
			t.Errorf("nobody is %s", role)
		}
	}
}

// A slip is made in the example, and the sentence must name the line, the key, what was found and what
// is allowed.
func TestASlipIsToldWithItsLine(t *testing.T) {
	for _, row := range []struct {
		name, old, new string
		key            string // of the fault
		says           string
	}{
		{"an unknown key", `zone = "Europe/Stockholm"`, `timezone = "Europe/Stockholm"`, "shop.unknown-key", "workshop.timezone is not a key of a shop file; here can stand: name, address, zone"},
		{"a zone that is none", `zone = "Europe/Stockholm"`, `zone = "Stockholm"`, "shop.zone", "workshop.zone is “Stockholm”"},
		{"a confidence as a percentage", "confidence = 0.9", "confidence = 90", "shop.range", "workshop.confidence is 90, allowed is 0.5 to 0.99"},
		{"a paper that there is not", `paper = "a4"`, `paper = "A3"`, "shop.choice", "workshop.paper is “A3”, allowed are: a4, letter"},
		{"no places", "places = 3", "places = 0", "shop.range", "station[1].places is 0, allowed is 1 to 100"},
		{"a negative rest", "rest = 40", "rest = -40", "shop.range", "operation[0].rest is −40, allowed is 0 to 100000"},
		{"minutes that are not a number", "minutes = 150", "minutes = nan", "shop.range", "operation[1].minutes is NaN"},
		{"hours that end before they begin", `"07:00-12:00", "12:45-15:00"`, `"12:00-07:00", "12:45-15:00"`, "shop.span", "hours.fri has “12:00-07:00”"},
		{"hours of 25", `"07:00-12:00", "12:45-15:00"`, `"07:00-25:00"`, "shop.span", "hours.fri has “07:00-25:00”"},
		{"a closure that ends before it begins", "2026-12-24/2027-01-03", "2027-01-03/2026-12-24", "shop.closed", "hours.closed has “2027-01-03/2026-12-24”"},
		{"a day that does not exist", "2026-12-05 08:00", "2026-02-30 08:00", "shop.overtime", "hours.overtime has “2026-02-30 08:00-12:00”"},
		{"a station that no operation knows", `station = "finishing"`, `station = "polishing"`, "shop.choice", "operation[3].station is “polishing”, allowed are: heat-moulding, lasting"},
		{"work that two operations do", `does = []`, `does = ["last.opening"]`, "shop.work-twice", "operation[4].does does “last.opening”, which “lasting” does already"},
		{"work that nobody does", `"shell.stiffness", "shell.toebox"`, `"shell.toebox"`, "shop.work-missing", "no operation does “shell.stiffness”"},
		{"work that there is not", `"shell.stiffness", "shell.toebox"`, `"shell.stiffness", "shell.toebox", "shell.paint"`, "shop.choice", "operation[0].does is “shell.paint”"},
		{"a check in two places", `checks = ["height", "alignment", "stand", "stiffness"]`, `checks = ["height", "girth"]`, "shop.check-twice", "operation[4].checks checks “girth”, which “lasting” checks already"},
		{"a check that there is not", `checks = ["height", "alignment", "stand", "stiffness"]`, `checks = ["weight"]`, "shop.choice", "operation[4].checks is “weight”"},
		{"a sign in words", `signs = ["W017"]`, `signs = ["hot"]`, "shop.sign", "caution[2].signs has “hot”"},
		{"a gauge of a kind that no check asks for", `kind = "height-gauge"`, `kind = "ruler"`, "shop.choice", "gauge[2].kind is “ruler”"},
		{"a calibration that ends before it begins", "due = 2027-06-15", "due = 2025-06-15", "shop.due", "gauge[2].due is 2025-06-15"},
		{"a tolerance that no gauge can tell", "height = 1.5", "height = 0.05", "check.gauge.uncertain", "no reading of Height gauge 1 could be in"},
		{"a rule that is none", `decide = "simple"`, `decide = "generous"`, "check.rule.acceptance", "generous"},
		{"a role that is none", `role = "inspector"`, `role = "boss"`, "shop.choice", "person[4].role is “boss”, allowed are: worker, inspector, desk, lead"},
		{"a PIN in the clear", `pin = "$argon2id$`, `pin = "1234`, "shop.pin", "is not an argon2id hash"},
		{"a liner that is not in the table", `liner = "felt"`, `liner = "velvet"`, "shop.choice", "patterns.floe.liners is “velvet”"},
		{"a pattern without its own height", "height_steps = [-3, 0, 3, 6, 9]", "height_steps = [3, 6]", "shop.steps", "patterns.floe.height_steps has no 0"},
		{"an opening where a foot has no place", "navicular = {out = 6, in = 1, extent = 30, widest = 45}\nfirst", "knee = {out = 6, in = 1, extent = 30, widest = 45}\nfirst", "shop.choice", "is “knee”"},
		{"a foam thicker when pressed", "thickness = 2, compressed = 1.4", "thickness = 2, compressed = 3", "shop.thickness", "foams.comfort-2 is 3 mm compressed out of 2 mm"},
		{"an address with a path", "http://BOOTS.LAN:8080", "http://BOOTS.LAN:8080/app", "shop.address", "workshop.public_address is “http://BOOTS.LAN:8080/app”"},
		{"a word where a number belongs", "minutes = 150", `minutes = "long"`, "shop.toml", ""},
		{"text that is no TOML", "minutes = 150", "minutes = = 150", "shop.syntax", "this is not TOML"},
		{"more labels than a sheet holds", "columns = 3\nrows = 8", "columns = 6\nrows = 8", "shop.grid.small", "labels.label_width is 35 mm, too small"},
		{"rules of charts that are none", `rules = "western-electric"`, `rules = "runes"`, "shop.choice", "charts.rules is “runes”, allowed are: limits, western-electric, nelson"},
		{"ten readings of one thing", "[check_rule.every]", "[check_rule.every]\nreadings = 10", "shop.range", "check_rule.every.readings is 10, allowed is 0 to 9"},
		{"an opening that no gauge can tell", "\nopening = 0.5", "\nopening = 0.001", "check.gauge.uncertain", "no reading of Depth gauge 1 could be in"},
		{"heights left against right that no gauge can tell", "\nheight_match = 1.5", "\nheight_match = 0.001", "check.gauge.uncertain", "no reading of Height gauge 1 could be in"},
		{"shifts left against right that no gauge can tell", "\nshift_match = 1", "\nshift_match = 0.001", "check.gauge.uncertain", "no reading of Digital calliper 3 could be in"},
		{"a stiffness that no rig can tell", "\nstiffness = 0.1", "\nstiffness = 0.001", "check.gauge.uncertain", "no reading of Bending rig 1 could be in"},
		{"units that are none", `units = "metric"`, `units = "cubits"`, "shop.choice", "workshop.units is “cubits”, allowed are: metric, inch"},
	} {
		t.Run(row.name, func(t *testing.T) {
			text := string(Example())
			if !strings.Contains(text, row.old) {
				t.Fatalf("the example no longer holds %q", row.old)
			}
			_, err := Parse([]byte(strings.Replace(text, row.old, row.new, 1)), "shop.toml")
			faults := message.Faults(err)
			if len(faults) == 0 {
				t.Fatal("it was taken")
			}
			var told *message.Fault
			for _, f := range faults {
				if f.Key == row.key {
					told = f
				}
			}
			if told == nil {
				t.Fatalf("no %s in: %v", row.key, err)
			}
			if len(faults) > 1 && faults[0].Error() == faults[1].Error() {
				t.Errorf("told twice: %v", err)
			}
			if !strings.Contains(told.Error(), row.says) {
				t.Errorf("said %q, want %q in it", told.Error(), row.says)
			}
			if !strings.HasPrefix(told.Where, "shop.toml:") && told.Key != "shop.work-missing" {
				t.Errorf("no line in %q", told.Where)
			}
		})
	}
}

func TestTheLineIsTheRightOne(t *testing.T) {
	text := strings.Replace(string(Example()), "confidence = 0.9", "confidence = 90", 1)
	_, err := Parse([]byte(text), "shop.toml")
	want := ""
	for i, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, "confidence = 90") {
			want = "shop.toml:" + strconv.Itoa(i+1)
		}
	}
	if f := message.Faults(err); len(f) != 1 || f[0].Where != want {
		t.Errorf("got %v, want it at %s", err, want)
	}
}

func TestAFileOfTenMegabytesIsNotRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.toml")
	if err := os.WriteFile(path, []byte("#"+strings.Repeat("x", 10<<20)), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Load(path)
	if f := message.Faults(err); len(f) != 1 || f[0].Key != "shop.large" || f[0].Where != path {
		t.Errorf("got %v", err)
	}
}

func FuzzParse(f *testing.F) {
	f.Add(Example())
	f.Add([]byte("[workshop]\nname = 1"))
	f.Add([]byte("[[station]]\n[[station]]\nkey=\"a\""))
	f.Fuzz(func(t *testing.T, raw []byte) {
		s, err := Parse(raw, "shop.toml")
		if (s == nil) == (err == nil) {
			t.Fatalf("shop %v with error %v", s, err)
		}
	})
}
