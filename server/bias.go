package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

func (s *Server) biasPage(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, templates.Bias{Frame: s.frame(c, ""), Gauge: s.gaugeLine(g)})
}

// bias computes bias and linearity of what was typed, and keeps nothing: what is done about it is a
// calibration.
func (s *Server) bias(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	v := templates.Bias{Frame: s.frame(c, ""), Gauge: s.gaugeLine(g), Lines: c.FormValue("lines")}
	read, err := jobs.ParseReferenced(v.Lines)
	if err == nil {
		err = biases(&v, read, g.Unit)
	}
	if err != nil {
		if err := refuse(c, &v.Frame, "bias", []string{"lines"}, err); err != nil {
			return err
		}
		return s.show(c, statusOf(err), v)
	}
	return s.show(c, http.StatusOK, v)
}

func biases(v *templates.Bias, read []jobs.Referenced, in string) error {
	var references, readings []float64
	far := 0
	for _, one := range read {
		b, err := check.BiasOf(one.Reference, one.Readings)
		if err != nil {
			return err
		}
		says := "bias.none-seen"
		if b.Significant {
			says = "bias.seen"
			far++
		}
		v.Rows = append(v.Rows, templates.BiasRow{
			Reference: unit.Beside(plainText(one.Reference), in), Count: len(one.Readings), Bias: signs(measure(b.Mean, in)),
			Interval: message.Say(message.Default, "capability.interval", message.Args{"lower": signs(measure(b.Lower, "")), "upper": signs(measure(b.Upper, in)), "level": percent(level)}),
			Says:     message.Say(message.Default, says, nil),
		})
		for _, r := range one.Readings {
			references, readings = append(references, one.Reference), append(readings, r)
		}
	}
	v.Says = append(v.Says, message.Say(message.Default, "bias.count", message.Args{"far": far, "all": len(read)}))
	line, err := check.LinearityOf(references, readings)
	if err != nil {
		v.Says = append(v.Says, sentencesOnly(err))
		return nil
	}
	figure := func(key, value string) {
		v.Linearity = append(v.Linearity, templates.Figure{Name: message.Say(message.Default, "linearity."+key, nil), Value: value, Means: message.Say(message.Default, "linearity."+key+".means", message.Args{"t": decimals(line.TSlope, 2), "critical": decimals(line.TCritical, 2)})})
	}
	figure("slope", decimals(line.Slope, 4))
	figure("intercept", unit.Beside(decimals(line.Intercept, 4), in))
	figure("share", percent(line.RSquared))
	figure("mean", unit.Beside(decimals(line.MeanBias, 4), in))
	key := "linearity.no"
	if line.Linear {
		key = "linearity.yes"
	}
	v.Says = append(v.Says, message.Say(message.Default, key, nil))
	return nil
}

func plainText(v float64) string { return signs(plain(v)) }
