package recipe_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
)

// reserveOf reads a recipe whose brush has the given rows, on a machine with a
// bed of ± 0.2 mm.
func reserveOf(t *testing.T, rows string) (reserve float64, list problem.List) {
	t.Helper()
	brush := "# Sable\n## Brush: sable\n| brush | |\n|---|---|\n| widest mark | 2.4 mm |\n" + rows
	job, list := mustRead(t, withFiles(t, map[string]string{"brushes/sable.md": brush},
		"[fine sable](../brushes/fine-sable.md)", "[sable](../brushes/sable.md)"), "heron/reeds.md")
	for _, b := range job.Brushes {
		if b.Name == "sable" {
			return b.Reserve, list
		}
	}
	t.Fatal("the brush is missing")
	return 0, nil
}

// By default the reserve is twice the standard uncertainty of the height, which
// for a band of ± a is a/√3 (JCGM 100:2008, 4.3.7), but at most a fifth of the
// safe press.
func TestReserve(t *testing.T) {
	bed := 0.2 / math.Sqrt(3)
	for rows, want := range map[string]float64{
		"| safe press | 5 mm |\n":                                      2 * math.Hypot(0.1, bed),
		"| safe press | 5 mm |\n| touch | 0.2 mm |\n":                  2 * math.Hypot(0.2, bed),
		"| safe press | 5.0 ± 0.3 mm |\n":                              2 * math.Hypot(0.3, math.Hypot(0.1, bed)),
		"| safe press | 1 mm |\n":                                      0.2,
		"| safe press | 5.0 ± 1.5 mm |\n":                              1,
		"| safe press | 5 mm |\n| reserve | 0 mm |\n":                  0,
		"| safe press | 5 mm |\n| reserve | 1.25 mm |\n":               1.25,
		"| safe press | 5 mm |\n| reserve | `brush.safe_press/50` |\n": 0.1,
	} {
		got, list := reserveOf(t, rows)
		if math.Abs(got-want) > 1e-12 || len(list) > 0 {
			t.Errorf("%q: %g mm, want %g %v", rows, got, want, list)
		}
	}
	_, list := reserveOf(t, "| safe press | 5.0 ± 0.3 mm |\n| reserve | 0.1 mm |\n")
	if len(list) != 1 || list[0].Severity != problem.Warning || !strings.Contains(list[0].Message, "uncertainty of the safe press") {
		t.Errorf("a reserve below the uncertainty of the safe press: %v", list)
	}
}

// What is uncertain counts against the user: less reach, a higher safe height.
func TestUncertainLimits(t *testing.T) {
	const bench = "# Bench\n## Machine\n| machine | |\n|---|---|\n| reach x | 280 ± 2 mm |\n| reach y | 400 ± 5 mm |\n| reach z | 60 ± 1 mm |\n| safe height | 6 ± 1.5 mm |\n"
	job, list := mustRead(t, withFiles(t, map[string]string{"machines/bench-router.md": bench}), "heron/reeds.md")
	m := job.Machine
	if len(list) > 0 || m.ReachX != 278 || m.ReachY != 395 || m.ReachZ != 59 || m.SafeHeight != 7.5 {
		t.Errorf("%+v %v", m, list)
	}
}
