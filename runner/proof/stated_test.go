package proof

import (
	"strings"
	"testing"
)

// What our own heads state is used; nonsense in a comment is not.
func TestStated(t *testing.T) {
	for _, c := range []struct {
		comment string
		want    Timing
	}{
		{"(timed with travel 3000, z 600, acceleration 150, corner 0.05)", Timing{Travel: 3000, ZFeed: 600, Acceleration: 150, Corner: 0.05}},
		{"(timed with travel fast, z -600, acceleration 1e99, corner NaN)", Timing{}},
		{"(about 5 min)", Timing{}},
	} {
		p, faults := Read("p.nc", []byte(c.comment+"\nG21 G90\nM2\n"))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := p.StatedTiming(); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.comment, got, c.want)
		}
	}
	text := "G21 G90 G94\nG0 Z5\n(stroke 1, check mark a)\nG0 X10\nG1 Z-1 F300\nG1 X20\nG0 Z5\n(stroke 2)\nG0 X30\nG1 Z-1 F300\nG1 X40\nG0 Z5\nM2\n"
	p, _ := Read("p.nc", []byte(text))
	var out strings.Builder
	if err := Report(&out, Reading{Path: p, Measures: Measure(p, Timing{}, nil)}); err != nil {
		t.Fatal(err)
	}
	if first, _, _ := strings.Cut(out.String(), "\n"); !strings.HasSuffix(first, "1 stroke and 1 check mark") {
		t.Errorf("the report begins %q", first)
	}
}
