package decimal

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The standard library's reading of decimal numbers is the second opinion.
func TestParseNumber(t *testing.T) {
	for _, s := range []string{
		"0", "-0", "1", "+1", "-1.5", ".5", "5.", "0.1", "123.456789", "1234567.8", "12345678.12345678", "123456789",
		"1e3", "1E-3", "-1.5e+10", "1e308", "12.3000000000000007", "0.3000000000000000444", "100.0000000000000000",
		"9007199254740993", "9007199254740992", "179769313486231570000", "0.000000000000000000000001", "5e-324",
		"00000000000000000000012", "123456789012345678", "1234567890123456789", "2.2250738585072011e-308",
	} {
		want, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		// With and without bytes behind the number, which must not be read.
		for _, b := range [][]byte{[]byte(s), []byte(s + "\n 20\n77777777")[:len(s)], []byte(s + "7777777777")[:len(s)], []byte(s)[:len(s):len(s)]} {
			got, ok := Parse(b)
			if !ok || math.Float64bits(got) != math.Float64bits(want) {
				t.Errorf("%s: %v %v, want %v", s, got, ok, want)
			}
		}
	}
	for _, s := range []string{"", "-", ".", "+-1", "1,5", "1.5.2", "nan", "inf", "-Inf", "0x10", "1_000", "1e", "e5", "1 2", "1e309", "--1", "12a", "½"} {
		if v, ok := Parse([]byte(s)); ok {
			t.Errorf("%q was read as %v", s, v)
		}
	}
}

func TestParseNumberAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		format := rapid.SampledFrom([]string{"%.6f", "%.16f", "%g", "%.12g", "%e", "%.3f", "%.0f", "%.20f"}).Draw(t, "format")
		s := fmt.Sprintf(format, v)
		want, err := strconv.ParseFloat(s, 64)
		if err != nil || strings.ContainsAny(s, "IN") {
			return
		}
		if got, ok := Parse([]byte(s)); !ok || math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%s: %v %v, want %v", s, got, ok, want)
		}
	})
}
