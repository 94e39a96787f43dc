package print

import (
	"fmt"

	"github.com/skip2/go-qrcode"
)

// Sizes of a QR symbol on paper, in mm; README has the table of what was read at which size.
const (
	qrModule      = 0.6   // one module where there is room
	qrModuleSmall = 0.508 // twelve dots of a 600 dpi printer: the least that survives a slight blur
	qrQuiet       = 4     // modules kept white on every side (ISO/IEC 18004)
)

// symbol is a QR symbol: its modules row by row, true where dark, with the quiet zone.
type symbol [][]bool

// newSymbol encodes an address at error correction level Q, which the library calls High.
func newSymbol(address string) (symbol, error) {
	return newSymbolAt(address, qrcode.High)
}

func newSymbolAt(address string, level qrcode.RecoveryLevel) (symbol, error) {
	code, err := qrcode.New(address, level)
	if err != nil {
		return nil, fmt.Errorf("QR of %q: %w", address, err)
	}
	return symbol(code.Bitmap()), nil
}

// side is the length in mm of the symbol with its quiet zone.
func (s symbol) side(module float64) float64 { return float64(len(s)) * module }

// module is the largest module in mm at which the symbol fits into side mm, at most qrModule.
func (s symbol) module(side float64) float64 { return min(qrModule, side/float64(len(s))) }

// symbol draws a QR symbol with the corner of its quiet zone at x, y, as one path: modules drawn one by
// one would show white hairlines between them, which readers stumble over.
func (c *canvas) symbol(s symbol, x, y, module float64) {
	steps := make([]step, 0, 5*8*len(s)) // a row has about seven dark runs
	for row, cells := range s {
		top := y + float64(row)*module
		for from := 0; from < len(cells); from++ {
			if !cells[from] {
				continue
			}
			to := from
			for to < len(cells) && cells[to] {
				to++
			}
			left, right := x+float64(from)*module, x+float64(to)*module
			steps = append(steps,
				step{op: 'M', points: [3][2]float64{{left, top}}},
				step{op: 'L', points: [3][2]float64{{right, top}}},
				step{op: 'L', points: [3][2]float64{{right, top + module}}},
				step{op: 'L', points: [3][2]float64{{left, top + module}}},
				step{op: 'Z'})
			from = to
		}
	}
	c.path(steps, pen{fill: grey(0)})
	if c.watch != nil {
		c.watch(mark{rect: rect{x, y, s.side(module), s.side(module)}, kind: codeMark, page: c.pages(), edge: qrQuiet * module})
	}
}
