package proof

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares what was written with a file of testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile("testdata/"+name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if want := readFile(t, name); !bytes.Equal(got, want) {
		t.Errorf("%s differs; look at it and run with -update if it is better:\n%s", name, got)
	}
}

func TestReport(t *testing.T) {
	timing := Timing{Travel: 1500, ZFeed: 400, Acceleration: 100, Corner: 0.05}
	for _, c := range []struct {
		program, report string
		limits          Limits
	}{
		{"good.nc", "good.report", goodLimits()},
		{"nistir6556_c1.txt", "nistir6556_c1.report", Limits{Loose: true, Strokes: -1, SafeHeight: 2, SafePress: 0.4}},
	} {
		p, _ := Read(c.program, readFile(t, c.program))
		r := Reading{Path: p, Measures: Measure(p, timing, c.limits.Brush), Timing: timing, Checks: Check(p, c.limits)}
		var b bytes.Buffer
		if err := Report(&b, r); err != nil {
			t.Fatal(err)
		}
		golden(t, c.report, b.Bytes())
	}
}

func TestReportOfFaults(t *testing.T) {
	p, _ := Read("bad.nc", []byte("G21 G90 G94\nG0 Z5\nG1 X1e-05 F9\nG28\n"))
	var b bytes.Buffer
	cover := Cover{Coverage: 0.99514, Excess: 0.0042}
	if err := Report(&b, Reading{Path: p, Measures: Measure(p, Timing{}, nil), Checks: Check(p, Limits{Loose: true, Strokes: -1}), Cover: &cover}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"bad.nc:3:6: E is not a word, and numbers have no exponent [exponent]\n    e\n    write the number out, such as 0.00001\n",
		"bad.nc:4:1: where G28 goes is stored in the machine [kept-in-machine]\n    G28\n    write the place with G0 X Y Z\n",
		"covers  99.51 % of the drawing, 0.42 % outside the drawing\n",
		"BROKEN  one end and nothing after it",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the report lacks %q:\n%s", want, b.String())
		}
	}
}

// Of a program alone neither the machine nor the brush is known: the report
// says what its time leaves out, and whose places it tells.
func TestReportOfAProgramAlone(t *testing.T) {
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	m := Measure(p, Timing{}, nil)
	if m.Rapid <= 0 || m.Pauses != 1 {
		t.Fatalf("rapids of %g mm, %d pauses", m.Rapid, m.Pauses)
	}
	var b bytes.Buffer
	if err := Report(&b, Reading{Path: p, Measures: m}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		" waiting; not counted: 1 pause, " + lengthText(m.Rapid) + " of rapids, speeding up and slowing down\n",
		"contact  " + lengthText(m.Painted) + " along the path of the axis, X ",
		"\nAll positions and lengths are those of the machine's axis.",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the report lacks %q:\n%s", want, b.String())
		}
	}
	for _, no := range []string{"marks ", "painted "} {
		if strings.Contains(b.String(), no) {
			t.Errorf("the report speaks of %s:\n%s", no, b.String())
		}
	}
}

func TestPicture(t *testing.T) {
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	var b bytes.Buffer
	if err := Picture(&b, p, PictureOptions{Brush: goodLimits().Brush, Sheet: Rect{0, 0, 210, 297}, Ink: "#1d1b6a", Travel: true, Numbers: true}); err != nil {
		t.Fatal(err)
	}
	golden(t, "good.svg", b.Bytes())
	p, _ = Read(`<"c1">`, readFile(t, "nistir6556_c1.txt"))
	b.Reset()
	if err := Picture(&b, p, PictureOptions{Ink: `"/><script>`}); err != nil {
		t.Fatal(err)
	}
	golden(t, "nistir6556_c1.svg", b.Bytes())
	if strings.Contains(b.String(), "script") || strings.Contains(b.String(), `<"c1">`) {
		t.Error("a name or an ink came through as it is")
	}
}

// full is a writer that has no room left after some bytes.
type full int

func (f *full) Write(b []byte) (int, error) {
	if *f -= full(len(b)); *f < 0 {
		return 0, errors.New("no room left")
	}
	return len(b), nil
}

func TestNoRoom(t *testing.T) {
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	room := full(100)
	if err := Report(&room, Reading{Path: p, Measures: Measure(p, Timing{}, nil)}); err == nil {
		t.Error("a report that could not be written is no error")
	}
	room = 100
	if err := Picture(&room, p, PictureOptions{}); err == nil {
		t.Error("a picture that could not be written is no error")
	}
}

func TestClock(t *testing.T) {
	for seconds, want := range map[float64]string{0: "0.0 s", 8.449: "8.4 s", 59.94: "59.9 s", 59.96: "1 min 0 s", 751.4: "12 min 31 s", 3599.6: "1 h 0 min", 7500: "2 h 5 min"} {
		if got := Clock(seconds); got != want {
			t.Errorf("%g s: %s, want %s", seconds, got, want)
		}
	}
}

func TestFixed(t *testing.T) {
	for v, want := range map[float64]string{-0.0004: "0.000", -0.0006: "-0.001", 1.25: "1.250", 0: "0.000"} {
		if got := mm(v); got != want {
			t.Errorf("%g: %s, want %s", v, got, want)
		}
	}
}
