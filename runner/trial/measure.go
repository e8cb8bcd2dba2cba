package trial

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"

	"mahlstick/recipe/format"
)

// ToMeasureName is the file that lists what is to be measured.
const ToMeasureName = "to-measure.csv"

// columns are those of the file; the last one is for the painter.
var columns = []string{"number", "trial", "x (mm)", "y (mm)", "across (deg)", "press (mm)", "feed (mm/min)", "expected (mm)", "measured (mm)"}

// ToMeasure lists readings as comma-separated values (RFC 4180, with line feeds),
// the last column empty. Numbers have a decimal point; what is not known is
// empty.
func ToMeasure(readings []Reading) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	number := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return format.Plain.Number(v, 3)
	}
	write := func(record []string) { _ = w.Write(record) } // a buffer takes everything
	write(columns)
	for _, r := range readings {
		write([]string{strconv.Itoa(r.Number), r.Trial, number(r.X), number(r.Y), number(r.Across), number(r.Press), number(r.Feed), number(r.Expected), ""})
	}
	w.Flush()
	return out.Bytes()
}
