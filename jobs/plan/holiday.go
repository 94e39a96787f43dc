package plan

import (
	"maps"
	"slices"
	"strings"

	"github.com/rickar/cal/v2"
	"github.com/rickar/cal/v2/ar"
	"github.com/rickar/cal/v2/at"
	"github.com/rickar/cal/v2/au"
	"github.com/rickar/cal/v2/be"
	"github.com/rickar/cal/v2/bg"
	"github.com/rickar/cal/v2/br"
	"github.com/rickar/cal/v2/ca"
	"github.com/rickar/cal/v2/ch"
	"github.com/rickar/cal/v2/cy"
	"github.com/rickar/cal/v2/cz"
	"github.com/rickar/cal/v2/de"
	"github.com/rickar/cal/v2/dk"
	"github.com/rickar/cal/v2/ee"
	"github.com/rickar/cal/v2/es"
	"github.com/rickar/cal/v2/fi"
	"github.com/rickar/cal/v2/fr"
	"github.com/rickar/cal/v2/gb"
	"github.com/rickar/cal/v2/gr"
	"github.com/rickar/cal/v2/hr"
	"github.com/rickar/cal/v2/hu"
	"github.com/rickar/cal/v2/ie"
	"github.com/rickar/cal/v2/is"
	"github.com/rickar/cal/v2/it"
	"github.com/rickar/cal/v2/lt"
	"github.com/rickar/cal/v2/lu"
	"github.com/rickar/cal/v2/lv"
	"github.com/rickar/cal/v2/mt"
	"github.com/rickar/cal/v2/mx"
	"github.com/rickar/cal/v2/nl"
	"github.com/rickar/cal/v2/no"
	"github.com/rickar/cal/v2/nz"
	"github.com/rickar/cal/v2/pl"
	"github.com/rickar/cal/v2/pt"
	"github.com/rickar/cal/v2/ro"
	"github.com/rickar/cal/v2/rs"
	"github.com/rickar/cal/v2/se"
	"github.com/rickar/cal/v2/si"
	"github.com/rickar/cal/v2/sk"
	"github.com/rickar/cal/v2/ua"
	"github.com/rickar/cal/v2/us"
	"github.com/rickar/cal/v2/za"
)

// countryHolidays returns the public holidays of each country that the planner knows, by ISO 3166
// code, and of those regions that the library keeps apart, by ISO 3166-2 code. The eves on which
// workshops usually stay closed (Midsummer's Eve in Sweden) are in the library's lists.
func countryHolidays() map[string][]*cal.Holiday {
	return map[string][]*cal.Holiday{
		"AR": ar.Holidays, "AT": at.Holidays, "BE": be.Holidays, "BG": bg.Holidays, "BR": br.Holidays,
		"CA": ca.Holidays, "CH": ch.Holidays, "CY": cy.Holidays, "CZ": cz.Holidays, "DE": de.Holidays,
		"DK": dk.Holidays, "EE": ee.Holidays, "ES": es.Holidays, "FI": fi.Holidays, "FR": fr.Holidays,
		"GB": gb.Holidays, "GR": gr.Holidays, "HR": hr.Holidays, "HU": hu.Holidays, "IE": ie.Holidays,
		"IS": is.Holidays, "IT": it.Holidays, "LT": lt.Holidays, "LU": lu.Holidays, "LV": lv.Holidays,
		"MT": mt.Holidays, "MX": mx.Holidays, "NL": nl.Holidays, "NO": no.Holidays, "NZ": nz.Holidays,
		"PL": pl.Holidays, "PT": pt.Holidays, "RO": ro.Holidays, "RS": rs.Holidays, "SE": se.Holidays,
		"SI": si.Holidays, "SK": sk.Holidays, "UA": ua.Holidays, "US": us.Holidays, "ZA": za.Holidays,
		"AU-ACT": au.HolidaysACT, "AU-NSW": au.HolidaysNSW, "AU-NT": au.HolidaysNT, "AU-QLD": au.HolidaysQLD,
		"AU-SA": au.HolidaysSA, "AU-TAS": au.HolidaysTAS, "AU-VIC": au.HolidaysVIC, "AU-WA": au.HolidaysWA,
	}
}

// Countries returns the codes that Hours.Country may hold, in order.
func Countries() []string { return slices.Sorted(maps.Keys(countryHolidays())) }

func holidaysOf(country string) ([]*cal.Holiday, bool) {
	h, ok := countryHolidays()[strings.ToUpper(country)]
	return h, ok
}
