package jobs

import (
	"errors"
	"strings"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Referenced is what a gauge read of one reference.
type Referenced struct {
	Reference float64
	Readings  []float64
}

// BiasStudy is how far a gauge reads off its references, and whether that changes along its range.
type BiasStudy struct {
	Biases      []check.Bias // one for each line of references
	Significant int          // how many of them cannot be by chance
	Linearity   *check.Linearity
	NoLinearity error // why there is none
}

// BiasOf computes the bias at each reference and the line through all readings. Faults are those of
// check.BiasOf.
func BiasOf(read []Referenced) (BiasStudy, error) {
	var s BiasStudy
	var references, readings []float64
	for _, one := range read {
		b, err := check.BiasOf(one.Reference, one.Readings)
		if err != nil {
			return BiasStudy{}, err
		}
		if s.Biases = append(s.Biases, b); b.Significant {
			s.Significant++
		}
		for _, r := range one.Readings {
			references, readings = append(references, one.Reference), append(readings, r)
		}
	}
	line, err := check.LinearityOf(references, readings)
	if err != nil {
		s.NoLinearity = err
		return s, nil
	}
	s.Linearity = &line
	return s, nil
}

// maxReferences is how many lines and readings of a line are taken.
const maxReferences = 200

// ParseReferenced reads lines of numbers: a reference and what the gauge read of it, with spaces between.
// Lines that are empty are passed over; a reference may come again. Faults are at "lines", and say which
// line and word.
func ParseReferenced(text string) ([]Referenced, error) {
	var all []Referenced
	var faults []error
	number := 0
	for line := range strings.Lines(text) {
		number++
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		if len(all) == maxReferences || len(fields) > maxReferences {
			return nil, &message.Fault{Kind: message.Invalid, Key: "bias.many", Where: "lines", Args: message.Args{"allowed": maxReferences}}
		}
		if len(fields) < 3 {
			faults = append(faults, &message.Fault{Kind: message.Invalid, Key: "bias.few", Where: "lines", Args: message.Args{"line": number}})
			continue
		}
		values := make([]float64, len(fields))
		for i, word := range fields {
			v, err := unit.ParseNumber(word)
			for _, f := range message.Faults(err) {
				faults = append(faults, &message.Fault{Kind: message.Invalid, Key: "bias.number", Where: "lines", Args: message.Args{"line": number, "found": word, "why": f.Phrase()}})
			}
			values[i] = v
		}
		all = append(all, Referenced{values[0], values[1:]})
	}
	if len(all) == 0 && len(faults) == 0 {
		return nil, &message.Fault{Kind: message.Invalid, Key: "bias.none", Where: "lines"}
	}
	return all, errors.Join(faults...)
}
