// Package print puts a job on paper: the sheet that travels with the pair, labels for its boots, cards
// for stations and badges, slips and the certificate. Everything is drawn for a monochrome laser
// printer, and nothing is cut off silently: text shrinks to a floor, wraps, and then goes on over the page.
package print
