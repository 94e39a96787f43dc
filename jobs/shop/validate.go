package shop

import (
	"cmp"
	"fmt"
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"lastroom/jobs/check"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// builder turns a decoded file into a Shop, and collects every fault on the way.
type builder struct {
	file   file
	name   string
	lines  map[string]int
	faults []error
}

// refuse notes that what stands at path cannot be. key is the sentence, which may use found and allowed.
func (b *builder) refuse(path, key string, found any, allowed string) {
	b.faults = append(b.faults, &message.Fault{
		Kind: message.Invalid, Key: key, Where: b.where(path),
		Args: message.Args{"key": path, "found": found, "allowed": allowed},
	})
}

// where is the file and line of a path, or of the nearest table around it that stands in the file.
func (b *builder) where(path string) string {
	for p := path; p != ""; {
		if line, ok := b.lines[p]; ok {
			return fmt.Sprintf("%s:%d", b.name, line)
		}
		at := strings.LastIndexByte(p, '.')
		if at < 0 {
			break
		}
		p = p[:at]
	}
	return b.name
}

// number notes a value outside of its range, both ends allowed.
func (b *builder) number(path string, v, least, most float64) {
	if !(v >= least && v <= most) {
		b.refuse(path, "shop.range", v, fmt.Sprintf("%v to %v", least, most))
	}
}

var keyPattern = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// key notes a key that cannot stand in an address or an entry, or that was used before.
func (b *builder) key(path, key string, seen map[string]bool) {
	switch {
	case !keyPattern.MatchString(key):
		b.refuse(path, "shop.key", key, "a to z, 0 to 9 and -, at most 40")
	case seen[key]:
		b.refuse(path, "shop.twice", key, "")
	}
	seen[key] = true
}

func (b *builder) text(path, text string) {
	if strings.TrimSpace(text) == "" {
		b.refuse(path, "shop.empty", text, "")
	}
}

// build makes the Shop. It is whole only when there are no faults.
func (b *builder) build() *Shop {
	f := b.file
	s := &Shop{
		Name: f.Workshop.Name, Address: f.Workshop.Address, Units: f.Workshop.Units,
		Privacy: f.Workshop.Privacy, Paper: f.Workshop.Paper, Confidence: f.Workshop.Confidence, GraceDays: f.GaugeRule.GraceDays,
		People: f.People,
	}
	b.workshop(s)
	s.Labels = f.Labels.filled(s.Paper)
	b.fault("labels", s.Labels.Review())
	usual := b.calendar("hours", f.Hours, s.Zone)
	s.PickUp = b.pickUp(s.Zone)
	b.stations(s, usual)
	works, checked := b.operations(s)
	b.cautions(s)
	b.materials(s)
	b.gauges(s)
	repeats := b.rules(s)
	b.people(s)
	s.Catalogue = spec.Catalogue{
		Units: s.Units, Operations: works, Checked: checked,
		Patterns: f.Patterns, Paddings: f.Paddings, Foams: f.Foams, Liners: f.Liners, Tongues: f.Tongues,
		ToeBoxes: f.ToeBoxes, Laces: f.Laces, Holders: f.Holders, Runners: f.Runners, Lettering: f.Lettering,
		Repeats: repeats, Sizes: f.Sizes, Tolerances: f.Tolerances, Thresholds: f.Thresholds,
	}
	for _, op := range s.Operations {
		s.Catalogue.Route = append(s.Catalogue.Route, op.Key)
	}
	b.catalogue(s)
	return s
}

func (b *builder) workshop(s *Shop) {
	w := b.file.Workshop
	b.text("workshop.name", w.Name)
	zone, err := time.LoadLocation(w.Zone)
	if err != nil || w.Zone == "" || w.Zone == "Local" {
		b.refuse("workshop.zone", "shop.zone", w.Zone, "")
		zone = time.UTC
	}
	s.Zone = zone
	if w.Units != unit.Metric && w.Units != unit.Inch {
		b.refuse("workshop.units", "shop.choice", string(w.Units), "metric, inch")
	}
	if !slices.Contains([]Privacy{FullName, Initials, NoName}, w.Privacy) {
		b.refuse("workshop.names_on_paper", "shop.choice", string(w.Privacy), "name, initials, none")
	}
	if w.Paper != "a4" && w.Paper != "letter" {
		b.refuse("workshop.paper", "shop.choice", w.Paper, "a4, letter")
	}
	b.number("workshop.confidence", w.Confidence, 0.5, 0.99)
	address, err := url.Parse(w.Public)
	if err != nil || address.Scheme != "http" && address.Scheme != "https" || address.Host == "" || strings.Trim(address.Path, "/") != "" || address.RawQuery != "" {
		b.refuse("workshop.public_address", "shop.address", w.Public, "")
		return
	}
	s.Public = address.Scheme + "://" + strings.ToUpper(address.Host)
}

func (b *builder) stations(s *Shop, usual *plan.Calendar) {
	seen, cards := map[string]bool{}, map[code.Code]bool{}
	for i, one := range b.file.Stations {
		path := fmt.Sprintf("station[%d]", i)
		b.key(path+".key", one.Key, seen)
		b.text(path+".name", one.Name)
		b.number(path+".places", float64(one.Places), 1, 100)
		if one.Load == 0 {
			one.Load = 1
		}
		b.number(path+".load", float64(one.Load), 1, 100)
		b.card(path+".card", one.Card, code.Station, cards)
		hours := usual
		if one.Hours != nil {
			hours = b.calendar(path+".hours", *one.Hours, s.Zone)
		}
		s.Stations = append(s.Stations, Station{one.Key, one.Name, one.Places, one.Load, one.Card, hours, one.Whole})
	}
	if len(s.Stations) == 0 {
		b.refuse("station", "shop.none", "", "")
	}
}

// card notes a code that is not of its kind, or that stands on two cards.
func (b *builder) card(path string, c code.Code, kind code.Kind, seen map[code.Code]bool) {
	if c == "" {
		return
	}
	parsed, err := code.Parse(string(c))
	switch {
	case err != nil || parsed.Kind() != kind:
		b.refuse(path, "shop.code", string(c), string(rune(kind)))
	case seen[c]:
		b.refuse(path, "shop.twice", string(c), "")
	}
	seen[c] = true
}

// operations returns which operation does each kind of work, and which checks each quantity. What no
// operation checks is not checked here.
func (b *builder) operations(s *Shop) (works map[spec.Work]string, checked map[spec.Quantity]string) {
	seen := map[string]bool{}
	works, checked = map[spec.Work]string{}, map[spec.Quantity]string{}
	for i, one := range b.file.Operations {
		path := fmt.Sprintf("operation[%d]", i)
		b.key(path+".key", one.Key, seen)
		b.text(path+".name", one.Name)
		if _, ok := s.Station(one.Station); !ok {
			b.refuse(path+".station", "shop.choice", one.Station, strings.Join(stationKeys(s), ", "))
		}
		b.number(path+".minutes", one.Minutes, 1, 10_000)
		b.number(path+".spread", one.Spread, 0, 2)
		b.number(path+".for_each_instruction", one.PerSpecial, 0, 1000)
		b.number(path+".rest", one.Rest, 0, 100_000)
		b.number(path+".window", one.Window, 0, 100_000)
		b.number(path+".rework_share", one.ReworkShare, 0, 0.9)
		if one.Rest > 0 {
			b.text(path+".rest_reason", one.RestReason)
		}
		if one.ReworkShare > 0 && !seen[one.ReworkTo] {
			b.refuse(path+".rework_to", "shop.choice", one.ReworkTo, strings.Join(sorted(seen), ", "))
		}
		for _, w := range one.Does {
			switch before, taken := works[w]; {
			case !slices.Contains(spec.Works[:], w):
				b.refuse(path+".does", "shop.choice", string(w), joined(spec.Works[:]))
			case taken:
				b.refuse(path+".does", "shop.work-twice", string(w), before)
			}
			works[w] = one.Key
		}
		for _, q := range one.Checks {
			switch before, taken := checked[q]; {
			case !slices.Contains(spec.Quantities, q):
				b.refuse(path+".checks", "shop.choice", string(q), joined(spec.Quantities))
			case taken:
				b.refuse(path+".checks", "shop.check-twice", string(q), before)
			}
			checked[q] = one.Key
		}
		s.Operations = append(s.Operations, Operation{
			one.Key, one.Name, one.Station, one.Minutes, one.Spread, one.PerSpecial,
			one.Rest, one.RestReason, one.Window, one.ReworkShare, one.ReworkTo, nil,
		})
	}
	if len(s.Operations) == 0 {
		b.refuse("operation", "shop.none", "", "")
	}
	for _, w := range spec.Works {
		if works[w] == "" {
			b.refuse("operation", "shop.work-missing", string(w), "")
		}
	}
	return works, checked
}

func (b *builder) cautions(s *Shop) {
	sign := regexp.MustCompile(`^[EFMPW]\d{3}$`)
	for i, one := range b.file.Cautions {
		path := fmt.Sprintf("caution[%d]", i)
		b.text(path+".hazard", one.Hazard)
		b.text(path+".text", one.Text)
		for _, number := range one.Signs {
			if !sign.MatchString(number) {
				b.refuse(path+".signs", "shop.sign", number, "")
			}
		}
		for _, key := range one.Stations {
			if _, ok := s.Station(key); !ok {
				b.refuse(path+".stations", "shop.choice", key, strings.Join(stationKeys(s), ", "))
			}
			for j := range s.Operations {
				if s.Operations[j].Station == key {
					s.Operations[j].Cautions = append(s.Operations[j].Cautions, one)
				}
			}
		}
	}
}

func (b *builder) materials(s *Shop) {
	seen := map[string]bool{}
	var route []string
	for _, op := range s.Operations {
		route = append(route, op.Key)
	}
	for i, one := range b.file.Materials {
		path := fmt.Sprintf("material[%d]", i)
		b.key(path+".key", one.Key, seen)
		b.text(path+".name", one.Name)
		for _, op := range one.Operations {
			if !slices.Contains(route, op) {
				b.refuse(path+".operations", "shop.choice", op, strings.Join(route, ", "))
			}
		}
	}
	s.Materials = b.file.Materials
}

func (b *builder) gauges(s *Shop) {
	seen := map[string]bool{}
	b.number("gauge_rule.grace_days", float64(s.GraceDays), 0, 365)
	for i, one := range b.file.Gauges {
		path := fmt.Sprintf("gauge[%d]", i)
		b.key(path+".key", one.Key, seen)
		b.text(path+".name", one.Name)
		if !slices.Contains(spec.Gauges[:], one.Kind) {
			b.refuse(path+".kind", "shop.choice", one.Kind, strings.Join(spec.Gauges[:], ", "))
		}
		b.number(path+".resolution", one.Resolution, 1e-6, 100)
		b.number(path+".uncertainty", one.Uncertainty, 0, 100)
		b.number(path+".repeatability", one.Repeatability, 0, 100)
		g := check.Gauge{
			Key: one.Key, Name: one.Name, Kind: one.Kind, Unit: one.Unit, Resolution: one.Resolution,
			Uncertainty: one.Uncertainty, Repeatability: one.Repeatability,
		}
		if one.Calibrated != (toml.LocalDate{}) {
			g.Calibrated = one.Calibrated.AsTime(s.Zone)
		}
		if one.Due != (toml.LocalDate{}) {
			g.Due = one.Due.AsTime(s.Zone)
			if !g.Calibrated.Before(g.Due) {
				b.refuse(path+".due", "shop.due", one.Due.String(), one.Calibrated.String())
			}
		}
		s.Gauges = append(s.Gauges, g)
	}
}

// mostReadings is how often a bench is asked for the same thing at most.
const mostReadings = 9

// every is the rule of all quantities that have none of their own.
const every = "every"

// rules reads how each quantity is decided, and returns how often those are read that are read more than once.
func (b *builder) rules(s *Shop) (repeats map[spec.Quantity]int) {
	s.Charts = cmp.Or(b.file.Charts.Rules, check.WesternElectricFour)
	if check.RuleSet(s.Charts) == nil {
		b.refuse("charts.rules", "shop.choice", s.Charts, joined(check.RuleSets[:]))
	}
	s.Rules, repeats = map[spec.Quantity]check.Rule{}, map[spec.Quantity]int{}
	usual := check.Rule{Acceptance: check.Guarded, Coverage: check.DefaultCoverage}
	read := func(key string) (check.Rule, bool) {
		r, ok := b.file.CheckRule[key]
		if !ok {
			return check.Rule{}, false
		}
		rule := check.Rule{Acceptance: check.Acceptance(r.Decide), Coverage: r.Coverage, Risk: r.Risk}
		b.fault("check_rule."+key, rule.Review())
		b.number("check_rule."+key+".readings", float64(r.Readings), 0, mostReadings)
		return rule, true
	}
	if r, ok := read(every); ok {
		usual = r
	}
	for _, q := range spec.Quantities {
		s.Rules[q] = usual
		times := b.file.CheckRule[every].Readings
		if r, ok := read(string(q)); ok {
			s.Rules[q] = r
			times = cmp.Or(b.file.CheckRule[string(q)].Readings, times)
		}
		if times > 1 {
			repeats[q] = times
		}
	}
	for _, key := range slices.Sorted(maps.Keys(b.file.CheckRule)) {
		if key != every && !slices.Contains(spec.Quantities, spec.Quantity(key)) {
			b.refuse("check_rule."+key, "shop.choice", key, every+", "+joined(spec.Quantities))
		}
	}
	return repeats
}

// fault notes what another package's review says, with the place where it stands in the file.
func (b *builder) fault(path string, err error) {
	for _, f := range message.Faults(err) {
		told, at := *f, path
		if told.Where != "" {
			at += "." + told.Where
		}
		told.Where = b.where(at)
		b.faults = append(b.faults, &told)
	}
}

func (b *builder) people(s *Shop) {
	seen, badges := map[string]bool{}, map[code.Code]bool{}
	for i, one := range s.People {
		path := fmt.Sprintf("person[%d]", i)
		b.key(path+".key", one.Key, seen)
		b.text(path+".name", one.Name)
		if !slices.Contains(Roles, one.Role) {
			b.refuse(path+".role", "shop.choice", string(one.Role), joined(Roles))
		}
		b.card(path+".badge", one.Badge, code.Badge, badges)
		if one.Badge == "" {
			b.refuse(path+".badge", "shop.empty", "", "")
		}
		if !strings.HasPrefix(one.PIN, "$argon2id$") {
			b.refuse(path+".pin", "shop.pin", "", "")
		}
	}
}

func stationKeys(s *Shop) []string {
	keys := make([]string, len(s.Stations))
	for i, one := range s.Stations {
		keys[i] = one.Key
	}
	return keys
}

func joined[T ~string](all []T) string {
	words := make([]string, len(all))
	for i, one := range all {
		words[i] = string(one)
	}
	return strings.Join(words, ", ")
}
