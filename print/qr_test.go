package print

import (
	"slices"
	"testing"
)

const sampleAddress = "http://BOOTS.LAN:8080/S/10010480152"

func TestSymbolIsVersion3AtLevelQ(t *testing.T) {
	for _, row := range []struct {
		name, address string
		side          int // modules with quiet zone: ISO/IEC 18004 gives 17 + 4 × version, and 4 on each side
	}{
		{"a name in the house network", sampleAddress, 29 + 8},
		{"an address of numbers", "http://192.168.1.20:8080/S/10010480152", 29 + 8},
		{"over TLS", "https://BOOTS.LAN:8443/S/10010480152", 29 + 8},
		{"the bare code", "10010480152", 21 + 8},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, err := newSymbol(row.address)
			if err != nil {
				t.Fatal(err)
			}
			if len(s) != row.side {
				t.Errorf("%d modules a side, want %d", len(s), row.side)
			}
			for i := range s {
				for j := range qrQuiet {
					if s[i][j] || s[j][i] || s[i][len(s)-1-j] || s[len(s)-1-j][i] {
						t.Fatalf("the quiet zone is dark in row or column %d", i)
					}
				}
			}
		})
	}
}

func TestAddressThatNoSymbolHoldsIsRefused(t *testing.T) {
	if _, err := newSymbol(string(make([]byte, 4000))); err == nil {
		t.Error("4000 characters were taken")
	}
}

func TestBothReadersReadBothSizes(t *testing.T) {
	s, err := newSymbol(sampleAddress)
	if err != nil {
		t.Fatal(err)
	}
	pdf, marks, _ := onePage(t, func(c *canvas) {
		c.symbol(s, 20, 20, qrModuleSmall)
		c.symbol(s, 150, 200, qrModule)
	})
	if len(marks) != 2 || marks[1].w < 22 || marks[1].w > 22.3 {
		t.Errorf("marks %v", marks)
	}
	for _, dpi := range []int{150, 300} {
		if testing.Short() && dpi > 150 {
			break
		}
		page := raster(t, pdf, dpi)[0]
		for name, read := range map[string][]string{"zbarimg": readZbar(t, page), "gozxing": readZxing(t, page)} {
			if !slices.Equal(read, []string{sampleAddress, sampleAddress}) {
				t.Errorf("%s at %d dpi read %q", name, dpi, read)
			}
		}
	}
}
