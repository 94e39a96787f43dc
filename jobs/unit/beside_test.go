package unit

import "testing"

// SI Brochure, 9th edition, 5.4.3: a space between figures and unit, none before °, ′ and ″ of plane angles.
func TestAUnitStandsBesideItsFigures(t *testing.T) {
	for _, row := range [][3]string{{"12.7", "mm", "12.7 mm"}, {"0.5", "°", "0.5°"}, {"14.00", "N·m", "14.00 N·m"}, {"3", "", "3"}} {
		if got := Beside(row[0], row[1]); got != row[2] {
			t.Errorf("%q beside %q is %q, want %q", row[1], row[0], got, row[2])
		}
	}
}
