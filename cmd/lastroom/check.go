package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

type checkOptions struct {
	file, out    string
	lower, upper string // limits where a line has none
	rule         string
	resolution   string
	uncertainty  string
	repeat       string
	dof          string
	k, coverage  string
	risk         string
	runRules     string // one of check.RuleSets
	baseline     string // a number of readings, or allReadings
}

// allReadings, as a baseline, lets all readings of the file set the limits; a number must be at least
// leastBaseline, since fewer have no moving range.
const (
	allReadings   = "all"
	leastBaseline = 2
)

func checkCommand() *cobra.Command {
	o := checkOptions{}
	c := newCommand("check FILE [-o FILE] [--lower N] [--upper N] [--rule simple|guarded] [--k N | --coverage N | --risk N] [--resolution N] [--uncertainty N] [--repeatability N] [--dof N] [--run-rules SET] [--baseline N|all]",
		"check", "lastroom check heights.csv --lower 117 --upper 119 --resolution 0.1 --uncertainty 0.15", 1, 1, func(c *cobra.Command, args []string) error {
			o.file = args[0]
			defaults, err := o.check()
			if err != nil {
				return misuse{hinted(err, seeHelp(c))}
			}
			return runCheck(c.Context(), o, defaults, c.InOrStdin(), c.OutOrStdout())
		})
	c.Flags().StringVarP(&o.out, "output", "o", "-", say("command.flag.output"))
	c.Flags().StringVar(&o.lower, "lower", "", say("command.flag.lower"))
	c.Flags().StringVar(&o.upper, "upper", "", say("command.flag.upper"))
	c.Flags().StringVar(&o.rule, "rule", string(check.Guarded), say("command.flag.rule"))
	c.Flags().StringVar(&o.resolution, "resolution", "", say("command.flag.resolution"))
	c.Flags().StringVar(&o.uncertainty, "uncertainty", "", say("command.flag.uncertainty"))
	c.Flags().StringVar(&o.repeat, "repeatability", "", say("command.flag.repeatability"))
	c.Flags().StringVar(&o.dof, "dof", "", say("command.flag.dof"))
	c.Flags().StringVar(&o.k, "k", "", say("command.flag.k"))
	c.Flags().StringVar(&o.coverage, "coverage", "", say("command.flag.coverage"))
	c.Flags().StringVar(&o.risk, "risk", "", say("command.flag.risk"))
	c.Flags().StringVar(&o.baseline, "baseline", strconv.Itoa(check.Baseline), say("command.flag.baseline"))
	c.Flags().StringVar(&o.runRules, "run-rules", check.WesternElectricFour, say("command.flag.run-rules"))
	return c
}

// check reads the flags into what holds for every line that says nothing else.
func (o checkOptions) check() (check.Options, error) {
	var all check.Options
	var lower, upper float64
	for _, f := range []struct {
		flag, text string
		to         *float64
	}{
		{"--lower", o.lower, &lower},
		{"--upper", o.upper, &upper},
		{"--resolution", o.resolution, &all.Gauge.Resolution},
		{"--uncertainty", o.uncertainty, &all.Gauge.Uncertainty},
		{"--repeatability", o.repeat, &all.Gauge.Repeatability},
		{"--dof", o.dof, &all.Gauge.DoF},
		{"--k", o.k, &all.Rule.K},
		{"--coverage", o.coverage, &all.Rule.Coverage},
		{"--risk", o.risk, &all.Rule.Risk},
	} {
		if f.text == "" {
			continue
		}
		v, err := unit.ParseNumber(f.text)
		if err != nil {
			return all, placed(f.flag, err)
		}
		*f.to = v
	}
	if o.lower != "" {
		all.Limits.Lower = &lower
	}
	if o.upper != "" {
		all.Limits.Upper = &upper
	}
	all.Rule.Acceptance = check.Acceptance(strings.ToLower(o.rule))
	err := all.Rule.Review()
	for _, f := range message.Faults(err) {
		if f.Where == "acceptance" {
			f.Where = "rule"
		}
		f.Where = "--" + f.Where
	}
	if all.RunRules = check.RuleSet(o.runRules); all.RunRules == nil {
		err = errors.Join(err, &message.Fault{
			Kind: message.Invalid, Key: "command.run-rules", Where: "--run-rules",
			Args: message.Args{"found": o.runRules, "allowed": strings.Join(check.RuleSets[:], ", ")},
		})
	}
	if all.Baseline, _ = strconv.Atoi(o.baseline); o.baseline == allReadings {
		all.Baseline = check.AllReadings
	} else if all.Baseline < leastBaseline {
		err = errors.Join(err, &message.Fault{
			Kind: message.Invalid, Key: "command.baseline", Where: "--baseline", Args: message.Args{"found": o.baseline, "least": leastBaseline},
		})
	}
	return all, err
}

func runCheck(ctx context.Context, o checkOptions, defaults check.Options, in io.Reader, out io.Writer) error {
	raw, err := readFile(ctx, o.file, in)
	if err != nil {
		return err
	}
	report, err := check.AnalyseFile(bytes.NewReader(raw), defaults)
	if err != nil {
		return placedInLine(fileName(o.file, ""), err)
	}
	to := output{path: o.out, inputs: []string{o.file}, replace: true}
	return to.write(out, func(w io.Writer) error {
		text := json.NewEncoder(w)
		text.SetIndent("", "  ")
		return text.Encode(report)
	})
}

// placedInLine is placed for faults whose own place may be the file as a whole.
func placedInLine(file string, err error) error {
	for _, f := range message.Faults(err) {
		if f.Where == "file" {
			f.Where = ""
		}
	}
	return placed(file, err)
}
