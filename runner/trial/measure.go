package trial

import (
	"bytes"
	"encoding/csv"
	"math"
	"slices"
	"strconv"

	"mahlstick/recipe/format"
)

// ToMeasureName is the file that lists what is to be measured.
const ToMeasureName = "to-measure.csv"

// columns are those of the file; the last one is for the painter.
var columns = []string{"number", "trial", "x (mm)", "y (mm)", "across (deg)", "press (mm)", "feed (mm/min)", "expected (mm)", "measured (mm)"}

// remark is the column that says why a reading is missing. Nothing reads it.
const remark = "remark"

// ToMeasure lists readings as comma-separated values (RFC 4180, with line feeds),
// the last column empty. Numbers have a decimal point; what is not known is
// empty.
func ToMeasure(readings []Reading) []byte {
	return table(columns, readings, func(int) []string { return []string{""} })
}

// Value is what was read of a mark, as a table has it.
type Value struct {
	MM, U  float64 // the length and its standard uncertainty; 0 mm is no mark
	OK     bool    // it was read
	Remark string
}

// Filled is ToMeasure with what was read, in the order of the readings.
func Filled(readings []Reading, values []Value) []byte {
	return table(append(slices.Clone(columns), remark), readings, func(i int) []string {
		v, text := values[i], ""
		switch {
		case v.OK && v.MM == 0 && v.U == 0:
			text = "0"
		case v.OK:
			text = format.Plain.Number(v.MM, 3) + " ± " + format.Plain.Number(math.Max(v.U, 0.001), 3)
		}
		return []string{text, v.Remark}
	})
}

func table(header []string, readings []Reading, last func(int) []string) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	number := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return format.Plain.Number(v, 3)
	}
	write := func(record []string) { _ = w.Write(record) } // a buffer takes everything
	write(header)
	for i, r := range readings {
		write(append([]string{strconv.Itoa(r.Number), r.Trial, number(r.X), number(r.Y), number(r.Across), number(r.Press), number(r.Feed), number(r.Expected)}, last(i)...))
	}
	w.Flush()
	return out.Bytes()
}
