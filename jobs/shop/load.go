package shop

import (
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// file is the schema of a shop file: what may stand in it, under which key. Times are minutes, lengths
// millimetres, angles degrees, moments newton metres.
type file struct {
	Workshop   workshop             `toml:"workshop"`
	Labels     Grid                 `toml:"labels"`
	Hours      week                 `toml:"hours"`
	Stations   []station            `toml:"station"`
	Operations []operation          `toml:"operation"`
	Cautions   []Caution            `toml:"caution"`
	Materials  []Material           `toml:"material"`
	GaugeRule  gaugeRule            `toml:"gauge_rule"`
	Charts     charts               `toml:"charts"`
	Gauges     []gauge              `toml:"gauge"`
	CheckRule  map[string]checkRule `toml:"check_rule"` // by quantity, or "every"
	People     []Person             `toml:"person"`

	Patterns   map[string]spec.Pattern   `toml:"patterns"`
	Paddings   map[string]spec.Pad       `toml:"paddings"`
	Foams      map[string]spec.Layer     `toml:"foams"`
	Liners     map[string]spec.Layer     `toml:"liners"`
	Tongues    map[string]spec.Layer     `toml:"tongues"`
	ToeBoxes   map[string]spec.Part      `toml:"toe_boxes"`
	Laces      map[string]spec.Part      `toml:"laces"`
	Holders    map[string]spec.Holder    `toml:"holders"`
	Runners    map[string]spec.Runner    `toml:"runners"`
	Lettering  map[string]spec.TextPlace `toml:"lettering"`
	Sizes      spec.Sizes                `toml:"sizes"`
	Tolerances spec.Tolerances           `toml:"tolerances"`
	Thresholds spec.Thresholds           `toml:"thresholds"`
}

type workshop struct {
	Name       string      `toml:"name"`
	Address    string      `toml:"address"`
	Zone       string      `toml:"zone"`
	Units      unit.System `toml:"units"`
	Public     string      `toml:"public_address"`
	Privacy    Privacy     `toml:"names_on_paper"`
	Paper      string      `toml:"paper"`
	Confidence float64     `toml:"confidence"`
	PickUp     []string    `toml:"pickup_days"`
}

type week struct {
	Mon      []string `toml:"mon"`
	Tue      []string `toml:"tue"`
	Wed      []string `toml:"wed"`
	Thu      []string `toml:"thu"`
	Fri      []string `toml:"fri"`
	Sat      []string `toml:"sat"`
	Sun      []string `toml:"sun"`
	Holidays string   `toml:"holidays"`
	Closed   []string `toml:"closed"`
	Overtime []string `toml:"overtime"`
}

type station struct {
	Key    string    `toml:"key"`
	Name   string    `toml:"name"`
	Places int       `toml:"places"`
	Load   int       `toml:"load"`
	Whole  bool      `toml:"whole"`
	Card   code.Code `toml:"card"`
	Hours  *week     `toml:"hours"` // instead of the workshop's
}

type operation struct {
	Key         string          `toml:"key"`
	Name        string          `toml:"name"`
	Station     string          `toml:"station"`
	Minutes     float64         `toml:"minutes"`
	Spread      float64         `toml:"spread"`
	PerSpecial  float64         `toml:"for_each_instruction"`
	Rest        float64         `toml:"rest"`
	RestReason  string          `toml:"rest_reason"`
	Window      float64         `toml:"window"`
	ReworkShare float64         `toml:"rework_share"`
	ReworkTo    string          `toml:"rework_to"`
	Does        []spec.Work     `toml:"does"`
	Checks      []spec.Quantity `toml:"checks"`
}

type gaugeRule struct {
	GraceDays int `toml:"grace_days"`
}

type charts struct {
	Rules string `toml:"rules"` // one of check.RuleSets; empty is Western Electric's
}

type gauge struct {
	Key           string         `toml:"key"`
	Name          string         `toml:"name"`
	Kind          string         `toml:"kind"`
	Unit          string         `toml:"unit"`
	Resolution    float64        `toml:"resolution"`
	Uncertainty   float64        `toml:"uncertainty"`
	Repeatability float64        `toml:"repeatability"`
	Calibrated    toml.LocalDate `toml:"calibrated"`
	Due           toml.LocalDate `toml:"due"`
}

type checkRule struct {
	Decide   string  `toml:"decide"` // simple or guarded
	Coverage float64 `toml:"coverage"`
	Risk     float64 `toml:"risk"`
	Readings int     `toml:"readings"` // for the mean; 0 means one
}

// maxFile is the largest shop file read, in bytes; the example is a hundredth of it.
const maxFile = 4 << 20

// Load reads and checks the shop file at path. Faults say file:line, what was found and what is allowed;
// all of them are told at once.
func Load(path string) (*Shop, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("shop file: %w", err)
	}
	if info.Size() > maxFile {
		return nil, &message.Fault{
			Kind: message.Invalid, Key: "shop.large", Where: path,
			Args: message.Args{"found": info.Size(), "allowed": maxFile},
		}
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("shop file: %w", err)
	}
	return Parse(raw, path)
}

// Parse is Load for what was read from name.
func Parse(raw []byte, name string) (*Shop, error) {
	var f file
	decoder := toml.NewDecoder(strings.NewReader(string(raw)))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&f); err != nil {
		return nil, explain(err, name)
	}
	b := builder{file: f, name: name, lines: lines(raw)}
	shop := b.build()
	if len(b.faults) > 0 {
		return nil, errors.Join(b.faults...)
	}
	return shop, nil
}

// explain turns what the TOML library says into faults with their lines.
func explain(err error, name string) error {
	var missing *toml.StrictMissingError
	if errors.As(err, &missing) {
		var all []error
		for _, e := range missing.Errors {
			line, column := e.Position()
			key := e.Key()
			all = append(all, &message.Fault{
				Kind: message.Invalid, Key: "shop.unknown-key", Where: fmt.Sprintf("%s:%d:%d", name, line, column),
				Args: message.Args{"key": strings.Join(key, "."), "allowed": strings.Join(allowedBeside(key), ", ")},
			})
		}
		return errors.Join(all...)
	}
	var wrong *toml.DecodeError
	if errors.As(err, &wrong) {
		line, column := wrong.Position()
		key := "shop.toml"
		if len(wrong.Key()) == 0 {
			key = "shop.syntax"
		}
		return &message.Fault{
			Kind: message.Invalid, Key: key, Where: fmt.Sprintf("%s:%d:%d", name, line, column),
			Args: message.Args{"key": strings.Join(wrong.Key(), "."), "found": strings.TrimPrefix(wrong.Error(), "toml: ")},
		}
	}
	return &message.Fault{Kind: message.Invalid, Key: "shop.syntax", Where: name, Args: message.Args{"found": err.Error()}}
}

// allowedBeside are the keys that the schema knows in the table where an unknown key stood.
func allowedBeside(key []string) []string {
	t := reflect.TypeFor[file]()
	for _, part := range key[:max(0, len(key)-1)] {
		t = under(t, part)
		if t == nil {
			return nil
		}
	}
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	var names []string
	for i := range t.NumField() {
		if tag := t.Field(i).Tag.Get("toml"); tag != "" && tag != "-" {
			names = append(names, tag)
		}
	}
	return names
}

// under is the type of a key in a table of type t, nil when the schema has no such key.
func under(t reflect.Type, key string) reflect.Type {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Map:
		return t.Elem()
	case reflect.Struct:
		for i := range t.NumField() {
			if t.Field(i).Tag.Get("toml") == key {
				return t.Field(i).Type
			}
		}
	}
	return nil
}

// lines maps the path of each key, such as "station[1].places", to its line. The text has been decoded
// before, so that it parses.
func lines(raw []byte) map[string]int {
	at := map[string]int{}
	count := map[string]int{}
	prefix := ""
	var parser unstable.Parser
	parser.Reset(raw)
	for parser.NextExpression() {
		node := parser.Expression()
		path, line := keyOf(&parser, node)
		switch node.Kind {
		case unstable.ArrayTable:
			prefix = fmt.Sprintf("%s[%d]", path, count[path])
			count[path]++
			at[prefix] = line
		case unstable.Table:
			prefix = path
			at[prefix] = line
		case unstable.KeyValue:
			if prefix != "" {
				path = prefix + "." + path
			}
			at[path] = line
		}
	}
	return at
}

func keyOf(parser *unstable.Parser, node *unstable.Node) (path string, line int) {
	var parts []string
	for it := node.Key(); it.Next(); {
		key := it.Node()
		if line == 0 {
			line = parser.Shape(key.Raw).Start.Line
		}
		parts = append(parts, string(key.Data))
	}
	return strings.Join(parts, "."), line
}
