package proof

import (
	"strings"
	"testing"

	"mahlstick/recipe/format"
)

func TestGroupFeeds(t *testing.T) {
	feeds := []FeedUse{{300, 10, 200}, {686, 1, 3}, {690, 2, 4}, {700, 1, 1}, {750, 40, 900}, {760, 1, 2}, {900, 80, 1800}, {950, 1, 1}, {960, 1, 1}}
	var lines []string
	for _, g := range groupFeeds(feeds) {
		lines = append(lines, g.String())
	}
	want := `300 mm/min for 10 moves, 200 mm
686 to 700 mm/min for 4 moves, 8.00 mm (3 feeds)
750 mm/min for 40 moves, 900 mm
760 mm/min for 1 move, 2.00 mm
900 mm/min for 80 moves, 1.80 m
950 to 960 mm/min for 2 moves, 2.00 mm (2 feeds)`
	if got := strings.Join(lines, "\n"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// The proof shares no code with the page, and writes lengths and times alike.
func TestFiguresLookAlike(t *testing.T) {
	for v := 0.0001; v < 1e7; v *= 1.01 {
		if got, want := lengthText(v), format.Plain.Length(v); got != want {
			t.Fatalf("%g mm is %q here and %q on the page", v, got, want)
		}
		if got, want := Clock(v), format.Plain.Duration(v); got != want {
			t.Fatalf("%g s is %q here and %q on the page", v, got, want)
		}
	}
}
