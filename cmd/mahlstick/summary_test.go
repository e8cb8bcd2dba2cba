package main

import (
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// A length or an area is left out where it would be printed as 0.
func TestRemarksWithoutZeros(t *testing.T) {
	for _, c := range []struct {
		area, length float64
		want         string
	}{
		{0, 0, "  moss: too small in 1 place\n"},
		{0.0001, 0.0001, "  moss: too small in 1 place\n"},
		{0.13, 0, "  moss: too small in 1 place, 0.13 mm² not painted\n"},
		{0.0001, 2, "  moss: too small in 1 place, 2.00 mm\n"},
		{0.13, 2, "  moss: too small in 1 place, 2.00 mm, 0.13 mm² not painted\n"},
	} {
		l := stage.Proven{Remarks: []stroke.Remark{{Reason: stroke.TooSmall, Area: c.area, Length: c.length}}}
		l.Model = &model.Layer{Name: "moss"}
		var out strings.Builder
		printRemarks(&out, l)
		if out.String() != c.want {
			t.Errorf("%g mm², %g mm: %q, want %q", c.area, c.length, out.String(), c.want)
		}
	}
}
