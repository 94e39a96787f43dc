package unit

// Beside puts a unit behind figures: after a space, but for the degree sign, which stands close in plane
// angles (SI Brochure, 9th edition, 5.4.3). Without a unit the figures stand alone.
func Beside(figures, unit string) string {
	switch unit {
	case "":
		return figures
	case "°":
		return figures + unit
	}
	return figures + " " + unit
}
