package print

import (
	"math"
	"strings"

	"lastroom/jobs/message"
)

// sign draws the shape that ISO 3864-1 gives a kind of safety sign, with,
// where there is room, the sign's ISO 7010 number: the number is what is looked up, and no artwork is
// copied. W warns (triangle), P forbids (ring with a bar), M demands (disc), F and E are squares. side is
// the height in mm.
func (c *canvas) sign(number string, x, y, side float64) {
	middle, half := x+side/2, side/2
	label := style{face: bold, size: side * 0.92}
	rise := label.rise()
	c.figure(rect{x, y, side, side}, func() {
		switch {
		case strings.HasPrefix(number, "W"):
			label = label.at(side * 0.72)
			c.path(polygon([2]float64{middle, y + 0.2}, [2]float64{x + side - 0.2, y + side - 0.2}, [2]float64{x + 0.2, y + side - 0.2}), pen{thick: 0.4})
			c.textCentre(label, middle, y+side-0.9, number)
			return
		case strings.HasPrefix(number, "P"):
			c.disc(middle, y+half, half-0.2, pen{thick: 0.4})
			d := (half - 0.2) * math.Sqrt2 / 2
			c.line(middle-d, y+half-d, middle+d, y+half+d, 0.25)
			return
		case strings.HasPrefix(number, "M"):
			c.disc(middle, y+half, half, pen{fill: grey(0)})
			label.white = true
			label = label.at(side * 0.85)
		default:
			c.path(polygon([2]float64{x + 0.2, y + 0.2}, [2]float64{x + side - 0.2, y + 0.2}, [2]float64{x + side - 0.2, y + side - 0.2}, [2]float64{x + 0.2, y + side - 0.2}), pen{thick: 0.4})
		}
		c.textCentre(label, middle, y+half+rise/2-0.1, number)
	})
}

// signWords names signs by number and meaning: "ISO 7010 W017 hot surface, M009 protective gloves".
func (c *canvas) signWords(numbers []string) string {
	if len(numbers) == 0 {
		return ""
	}
	words := message.List{As: message.Comma}
	for _, n := range numbers {
		key := "print.sign." + n
		if message.Has(c.lang, key) {
			n += " " + c.say(key, nil)
		}
		words.Items = append(words.Items, n)
	}
	return c.say("print.signs", message.Args{"signs": words})
}

func polygon(corners ...[2]float64) []step {
	steps := make([]step, 0, len(corners)+1)
	for i, corner := range corners {
		op := byte('L')
		if i == 0 {
			op = 'M'
		}
		steps = append(steps, step{op: op, points: [3][2]float64{corner}})
	}
	return append(steps, step{op: 'Z'})
}
