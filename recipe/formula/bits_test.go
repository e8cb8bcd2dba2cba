package formula_test

import (
	"fmt"
	"strings"
	"testing"
)

// Values, uncertainties and widths to the last bit, as hexadecimal numbers:
// the same file holds on every processor.
func TestSameBits(t *testing.T) {
	results := workingFile(t)
	var b strings.Builder
	for _, r := range results {
		if q, ok := r.Value.Quantity(); ok {
			fmt.Fprintf(&b, "%s %x %x %s\n", r.Formula.Name, q.Number(), q.U(q.Unit()), q.Unit())
		}
	}
	for _, text := range []string{
		"0.4*mm + 2*mm*sin(180*deg*along)^2", "(along + 0.1)^0.7 * mm", "hypot(from_start, 3*mm)/20 + tremor(2, 0.1*mm)",
		"atan2(from_start, length)/rad*mm / (1 + abs(bend)*mm)", "width_at(fine_sable, 5*mm*along)",
	} {
		a := compile(t, text, fineSable(t))
		fmt.Fprintf(&b, "%s\n ", text)
		for i := range 5 {
			along := float64(i) / 4.3
			w, err := a.WidthAt(0, along, along*61.7, 61.7, 0.013)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&b, " %x", w)
		}
		b.WriteByte('\n')
	}
	golden(t, "testdata/bits.golden", b.String())
}
