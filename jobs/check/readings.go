package check

import (
	"encoding/csv"
	"errors"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// line is one line of the file, read.
type line struct {
	Reading
	number              int
	id, part, appraiser string
	gauge               Gauge
}

// placed puts the line and column into the faults of err.
func placed(err error, number int, column string) error {
	var all []error
	for _, f := range message.Faults(err) {
		at := *f
		if column == "" {
			column = f.Where
		}
		at.Where = "line " + strconv.Itoa(number) + ", " + column
		all = append(all, &at)
	}
	return errors.Join(all...)
}

// The columns that hold numbers, and those that hold text.
var (
	numbers = []string{"reading", "nominal", "lower", "upper", "resolution", "uncertainty", "repeatability", "dof", "u", "k", "coverage", "risk"}
	texts   = []string{"id", "rule", "group", "pattern", "part", "appraiser"}
)

const (
	mostBytes  = 64 << 20 // a file of readings larger than this is something else
	mostFaults = 20       // so many faulty lines are reported at once
	mostValue  = 1e12     // a number with an exponent beyond is a slip
)

// readLines reads the file into lines.
func readLines(r io.Reader, o Options) ([]line, error) {
	raw, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, err
	}
	fileFault := func(key, where string, args message.Args) error {
		return &message.Fault{Kind: message.Invalid, Key: key, Where: where, Args: args}
	}
	if len(raw) > mostBytes {
		return nil, fileFault("check.file.long", "file", message.Args{"allowed": mostBytes >> 20})
	}
	content := strings.TrimPrefix(string(raw), "\ufeff")
	table := csv.NewReader(strings.NewReader(content))
	table.Comment, table.TrimLeadingSpace = '#', true
	for first := range strings.Lines(content) {
		if first = strings.TrimSpace(first); first != "" && first[0] != '#' {
			if strings.Contains(first, ";") {
				table.Comma = ';'
			} else if strings.Contains(first, "\t") && !strings.Contains(first, ",") {
				table.Comma, table.TrimLeadingSpace = '\t', false
			}
			break
		}
	}
	header, err := table.Read()
	if err == io.EOF {
		return nil, fileFault("check.file.empty", "file", nil)
	}
	if err != nil {
		return nil, csvFault(err)
	}
	columns := map[string]int{}
	for i, name := range header {
		name = strings.ToLower(strings.TrimSpace(name))
		if name == "" && i == len(header)-1 && i > 0 {
			continue // lines that end with a separator
		}
		if !slices.Contains(numbers, name) && !slices.Contains(texts, name) {
			return nil, fileFault("check.file.column", "line 1", message.Args{
				"found": name, "allowed": strings.Join(slices.Concat(numbers, texts), ", "),
			})
		}
		if _, twice := columns[name]; twice {
			return nil, fileFault("check.file.twice", "line 1", message.Args{"found": name})
		}
		columns[name] = i
	}
	if _, ok := columns["reading"]; !ok {
		return nil, fileFault("check.file.missing", "line 1", message.Args{"column": "reading"})
	}
	var lines []line
	var faults []error
	for {
		fields, err := table.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, csvFault(err)
		}
		number, _ := table.FieldPos(0)
		l, err := readLine(number, fields, columns, table.Comma == ';', o)
		if err != nil {
			if faults = append(faults, err); len(faults) == mostFaults {
				break
			}
			continue
		}
		lines = append(lines, l)
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	if len(lines) == 0 {
		return nil, fileFault("check.file.empty", "file", nil)
	}
	return lines, nil
}

// csvFault turns an error of the CSV reader into one for a person.
func csvFault(err error) error {
	where, found := "file", err.Error()
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		where, found = "line "+strconv.Itoa(parse.Line), parse.Err.Error()
	}
	return &message.Fault{Kind: message.Invalid, Key: "check.file.csv", Where: where, Args: message.Args{"found": found}}
}

// readLine reads the fields of one line.
func readLine(number int, fields []string, columns map[string]int, decimalComma bool, o Options) (line, error) {
	cell := func(column string) string {
		if i, ok := columns[column]; ok {
			return strings.TrimSpace(fields[i])
		}
		return ""
	}
	values := map[string]float64{}
	var faults []error
	for _, column := range numbers {
		text := cell(column)
		if text == "" && column != "reading" {
			continue
		}
		v, err := parseCell(text, decimalComma)
		if stated := column == "k" || column == "coverage" || column == "risk"; err == nil && stated && v == 0 {
			err = &message.Fault{Kind: message.Invalid, Key: "check.rule.nought", Args: message.Args{"field": column}}
		}
		if err != nil {
			faults = append(faults, placed(err, number, column))
			continue
		}
		values[column] = v
	}
	l := line{
		Reading: Reading{
			Value: values["reading"], Nominal: values["nominal"], Limits: o.Limits,
			Rule: ruleOf(cell("rule"), values, o.Rule), Pattern: cell("pattern"), Group: cell("group"),
		},
		number: number, id: cell("id"), part: cell("part"), appraiser: cell("appraiser"), gauge: o.Gauge,
	}
	_, hasLower := values["lower"]
	_, hasUpper := values["upper"]
	if hasLower || hasUpper {
		lower, upper := math.Inf(-1), math.Inf(1)
		if hasLower {
			lower = values["lower"]
		}
		if hasUpper {
			upper = values["upper"]
		}
		l.Limits = limitsOf(lower, upper)
	}
	if err := l.uncertainty(values); err != nil {
		faults = append(faults, placed(err, number, ""))
	}
	for _, err := range []error{l.Rule.Review(), l.limitsReview()} {
		for _, f := range message.Faults(err) {
			if f.Where == "acceptance" {
				f.Where = "rule"
			}
			faults = append(faults, placed(f, number, ""))
		}
	}
	return l, errors.Join(faults...)
}

// written is a number as programs write it, with as many digits as it takes and perhaps an exponent.
var written = regexp.MustCompile(`^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?$`)

// parseCell reads a number of a file. People's numbers are read as everywhere; where fields are set apart
// by semicolons a comma can only be decimal.
func parseCell(text string, decimalComma bool) (float64, error) {
	if decimalComma && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	if written.MatchString(text) {
		if v, err := strconv.ParseFloat(text, 64); err == nil && math.Abs(v) < mostValue {
			return v, nil
		}
	}
	return unit.ParseNumber(text)
}

func (l line) limitsReview() error {
	if l.Limits == (Limits{}) {
		return nil
	}
	return l.Limits.Review()
}

// ruleOf is the rule of a line: what it states, and otherwise what holds for all.
func ruleOf(acceptance string, values map[string]float64, rule Rule) Rule {
	if acceptance != "" && acceptance != string(rule.Acceptance) {
		rule = Rule{Acceptance: Acceptance(strings.ToLower(acceptance))}
	}
	k, hasK := values["k"]
	coverage, hasCoverage := values["coverage"]
	risk, hasRisk := values["risk"]
	if hasK || hasCoverage || hasRisk {
		rule.K, rule.Coverage, rule.Risk = k, coverage, risk
	}
	return rule
}

// uncertainty sets U and its degrees of freedom from the line's own u, or from its gauge.
func (l *line) uncertainty(values map[string]float64) error {
	if u, ok := values["u"]; ok {
		l.U, l.DoF = u, values["dof"]
		if u < 0 {
			return reading("u", u)
		}
		if l.DoF < 0 {
			return reading("dof", l.DoF)
		}
		return nil
	}
	for column, field := range map[string]*float64{
		"resolution": &l.gauge.Resolution, "uncertainty": &l.gauge.Uncertainty,
		"repeatability": &l.gauge.Repeatability, "dof": &l.gauge.DoF,
	} {
		if v, ok := values[column]; ok {
			*field = v
		}
	}
	if l.gauge.Resolution == 0 && l.gauge.Uncertainty == 0 && l.gauge.Repeatability == 0 {
		return nil // no gauge is named: the readings count as exact, and the verdict's u of 0 says so
	}
	if err := l.gauge.review(l.gauge.Resolution >= 0); err != nil { // u may come without a step
		return err
	}
	if l.gauge.Name == "" {
		l.gauge.Name = message.Say(message.Default, "check.gauge.unnamed", nil)
	}
	e := l.gauge.Read(l.Value)
	l.U, l.DoF = e.U, e.DoF
	return nil
}
