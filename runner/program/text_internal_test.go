package program

import (
	"bytes"
	"strconv"
	"strings"
	"testing"

	"mahlstick/runner/motion"
)

// Line numbers are those of the lines, have five digits at most and begin again
// (NISTIR 6556, 3.3.1).
func TestLineNumbers(t *testing.T) {
	w := newWriter(Text{Numbered: true, HeadOnly: true, Longest: 20, End30: true, Pause1: true}, 3, 0)
	w.comment("a head that is longer than twenty characters")
	setUp(w)
	w.comment("dropped")
	for i := range int32(100_010) {
		w.move(motion.Move{X: 10 * i, Feed: 600})
		w.move(motion.Move{X: 10 * i, Feed: 600}) // nowhere
	}
	w.pause()
	end(w)
	lines := bytes.Split(bytes.TrimSuffix(w.out, []byte("\n")), []byte("\n"))
	if got, want := string(bytes.Join(lines[:7], []byte("|"))), "(a head that is)|(- longer than)|(- twenty)|(- characters)|N5 G21 G17 G90 G94|N6 G40 G49|N7 G1 X0.000 Y0.000 F600"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	for i, line := range lines[6:] {
		number, rest, _ := strings.Cut(string(line), " ")
		if want := (i + 7) % 100_000; number != "N"+strconv.Itoa(want) || rest == "" {
			t.Fatalf("line %d is %q", i+7, line)
		}
	}
	if end := string(bytes.Join(lines[len(lines)-2:], []byte("|"))); !strings.HasSuffix(end, "M30") || !strings.Contains(end, " M1|") {
		t.Error(end)
	}
}
