package proof

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
)

// readFile reads a program of testdata.
func readFile(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

// The program of NISTIR 6556, appendix C.1, against figures worked out from
// its text by another program (nistir6556_c1.json).
func TestPublishedProgram(t *testing.T) {
	var want struct {
		Expect struct {
			Lines       int          `json:"lines"`
			MotionLines int          `json:"motion_lines"`
			Plunges     int          `json:"plunges"`
			End         [3]float64   `json:"end"`
			Box         [3][]float64 `json:"bbox"`
			Lines2      float64      `json:"length_feed_lines_xy"`
			Arcs        float64      `json:"length_arcs"`
			Down        float64      `json:"length_plunges"`
			Rapids      float64      `json:"length_rapids"`
			Minutes     float64      `json:"minutes_at_f20_no_acceleration"`
			Turns       [][]any      `json:"arcs_line_cx_cy_r_sweepdeg"`
		} `json:"expect"`
	}
	if err := json.Unmarshal(readFile(t, "nistir6556_c1.json"), &want); err != nil {
		t.Fatal(err)
	}
	w := want.Expect
	p, faults := Read("c1", readFile(t, "nistir6556_c1.txt"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if p.Lines != w.Lines {
		t.Errorf("%d lines, want %d", p.Lines, w.Lines)
	}
	lines := map[int]bool{}
	var straight, arcs, down float64
	plunges, turn := 0, 0
	for i := range p.Moves {
		m := &p.Moves[i]
		lines[m.Line] = true
		switch {
		case m.Kind == Arc:
			a := w.Turns[turn]
			turn++
			arcs += m.Length()
			near(t, "centre x", m.Helix.Centre.X, a[1].(float64), 1e-6)
			near(t, "centre y", m.Helix.Centre.Y, a[2].(float64), 1e-6)
			near(t, "radius", m.Helix.Radius, a[3].(float64), 1e-6)
			near(t, "sweep", m.Helix.Sweep*180/math.Pi, a[4].(float64), 1e-6)
		case m.Kind == Feed && m.To.Z < m.From.Z:
			plunges++
			down += m.Length()
		case m.Kind == Feed:
			straight += m.Length()
		}
	}
	if turn != len(w.Turns) || plunges != w.Plunges || len(lines) != w.MotionLines {
		t.Errorf("%d arcs, %d plunges, %d motion lines; want %d, %d, %d", turn, plunges, len(lines), len(w.Turns), w.Plunges, w.MotionLines)
	}
	m := Measure(p, Timing{}, nil)
	near(t, "straight feed", straight, w.Lines2, 1e-6)
	near(t, "arcs", arcs, w.Arcs, 1e-6)
	near(t, "plunges", down, w.Down, 1e-6)
	near(t, "rapids", m.Rapid, w.Rapids, 1e-6)
	near(t, "painted", m.Painted, 153.430466, 1e-6)
	near(t, "minutes", m.Seconds/60, w.Minutes, 1e-6)
	if len(m.Strokes) != 12 {
		t.Errorf("%d strokes, want 12", len(m.Strokes))
	}
	if end := p.Last(); end != (Point{w.End[0], w.End[1], w.End[2]}) {
		t.Errorf("ends at %v", end)
	}
	for k, got := range [][2]float64{{m.Box.Min.X, m.Box.Max.X}, {m.Box.Min.Y, m.Box.Max.Y}, {m.Box.Min.Z, m.Box.Max.Z}} {
		near(t, "box", got[0], w.Box[k][0], 1e-9)
		near(t, "box", got[1], w.Box[k][1], 1e-9)
	}
	if p.End == 0 || p.After != 0 {
		t.Errorf("end %d, after %d", p.End, p.After)
	}
	var words []string
	for _, word := range p.Words {
		words = append(words, word.String())
	}
	if got := strings.Join(words, " "); got != "G21 S4000 T1 M6 M3 M2" {
		t.Errorf("words %s", got)
	}
}

// head makes the place known, so that a test can state one line more.
const head = "G21 G90 G94 G17\nG0 Z5\nG0 X0 Y0\n"

// What a line does. Section numbers are those of NISTIR 6556.
func TestLine(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		to   Point
		feed float64
	}{
		"blanks and case (3.3)":             {"g0x +0. 12 34y 7", Point{0.1234, 7, 5}, 0},
		"written plainly (3.3)":             {"g0 x+0.1234 y7", Point{0.1234, 7, 5}, 0},
		"tabs within numbers":               {"G0\tX1\t2Y-\t.5", Point{12, -0.5, 5}, 0},
		"numbers (3.3.2.1)":                 {"G0 X.5 Y5. Z+0.5", Point{0.5, 5, 0.5}, 0},
		"a negative number (3.3.2.1)":       {"G0 X-0.8807", Point{-0.8807, 0, 5}, 0},
		"any number of digits (3.3.2.1)":    {"G0 X000000000000000000001.50000000000000000000", Point{1.5, 0, 5}, 0},
		"order on the line is free (3.3.6)": {"Y7 F30 X2 G1", Point{2, 7, 5}, 30},
		"inches (3.5.7)":                    {"G20\nG1 X1 F2", Point{25.4, 0, 5}, 50.8},
		"units act before motion (table 8)": {"G1 X1 F2 G20", Point{25.4, 0, 5}, 2},
		"relative (3.5.17)":                 {"X1 Y1\nG91 X1 Y-2 Z-1", Point{2, -1, 4}, 0},
		"back to absolute (3.5.17)":         {"X1 Y1\nG91 X1\nG90 X0.5", Point{0.5, 1, 5}, 0},
		"motion stays in force (3.4)":       {"G1 X1 F9\nY2", Point{1, 2, 5}, 9},
		"a line number (3.3.1)":             {"N99999 X1", Point{1, 0, 5}, 0},
		"comments among words (3.3.4)":      {"(a)G0(b)X1(c)(d)", Point{1, 0, 5}, 0},
		"a shifted zero (3.5.18)":           {"X10\nG92 X0\nG0 X5", Point{15, 0, 5}, 0},
		"the zero back (3.5.18)":            {"X10\nG92 X0\nG92.1\nG0 X5", Point{5, 0, 5}, 0},
		"the zero put by and taken up":      {"X10\nG92 X0\nG92.2\nG92.3\nG0 X5", Point{15, 0, 5}, 0},
		"the usual zero named":              {"G54 X3", Point{3, 0, 5}, 0},
		"inverse time (3.5.19)":             {"G93 G1 X60 F2", Point{60, 0, 5}, 120},
	} {
		t.Run(name, func(t *testing.T) {
			p, faults := Read("line", []byte(head+c.text))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			m := p.Moves[len(p.Moves)-1]
			near(t, "X", m.To.X, c.to.X, 1e-12)
			near(t, "Y", m.To.Y, c.to.Y, 1e-12)
			near(t, "Z", m.To.Z, c.to.Z, 1e-12)
			near(t, "feed", m.Feed, c.feed, 1e-12)
		})
	}
}

// faultyLines are lines that a machine would refuse, or that cannot be followed.
// The column is that of the text at fault.
var faultyLines = map[string]struct {
	text, code string
	column     int
}{
	"exponent (3.3.2.1)":               {"G1 X1e-05 F9", "exponent", 6},
	"decimal comma (3.3.2.1)":          {"G1 X1,5 F9", "number", 4},
	"a point alone (3.3.2.1)":          {"G1 X. F9", "number", 4},
	"two points":                       {"G1 X1.2.3 F9", "number", 4},
	"two signs":                        {"G1 X--1 F9", "number", 4},
	"no number":                        {"G1 X Y2 F9", "number", 4},
	"nested comment (3.3.4)":           {"G0 X1 (a (b) c)", "nested-comment", 10},
	"open comment (3.3.4)":             {"G0 X1 (a", "open-comment", 7},
	"a closing bracket":                {"G0 X1 a)", "number", 7},
	"a stray bracket":                  {"G0 X1 )", "stray", 7},
	"comment not in ASCII":             {"G0 X1 (grün)", "not-ascii", 10},
	"character not in ASCII":           {"G0 X1 Ä", "stray", 7},
	"semicolon":                        {"G0 X1 ; on", "stray", 7},
	"percent within":                   {"G0 X1 %", "stray", 7},
	"block delete":                     {"/ G0 X1", "block-delete", 1},
	"line number too long (3.3.1)":     {"N123456 G0 X1", "line-number", 1},
	"line number not whole (3.3.1)":    {"N1.5 G0 X1", "line-number", 1},
	"line number within":               {"G0 N5 X1", "line-number", 4},
	"two of a group (3.3.5)":           {"G0 G1 X1 F9", "twice", 4},
	"two planes (3.3.5)":               {"G17 G18", "twice", 5},
	"two letters (3.3.5)":              {"G0 X1 Y2 X1", "twice", 10},
	"two stops (3.3.5)":                {"M0 M2", "twice", 4},
	"five M (3.3.5)":                   {"M3 M6 M8 M48 M0", "twice", 14},
	"unknown G":                        {"G5 X1", "unknown-word", 1},
	"unknown M":                        {"M100", "unknown-word", 1},
	"negative G":                       {"G-1 X1", "unknown-word", 1},
	"huge G":                           {"G99999999999999999999 X1", "unknown-word", 1},
	"fraction of M":                    {"M3.5", "unknown-word", 1},
	"unknown letter":                   {"G0 X1 U2", "unknown-word", 7},
	"a parameter set":                  {"#1=5", "parameter", 1},
	"a parameter used":                 {"G0 X#1", "parameter", 5},
	"a formula":                        {"G0 X[1+2]", "parameter", 5},
	"turning axis":                     {"G0 A90", "unused-word", 4},
	"P without dwell":                  {"G0 X1 P2", "unused-word", 7},
	"I without arc":                    {"G0 X1 I2", "unused-word", 7},
	"dwell without P (3.5.4)":          {"G4", "dwell", 1},
	"dwell of less than none (3.5.4)":  {"G4 P-1", "dwell", 1},
	"rapid without axis (3.5.1)":       {"G0", "no-axis", 1},
	"feed without axis (3.5.2)":        {"F9 G1", "no-axis", 4},
	"arc without end (3.5.3)":          {"G2 Z1 I1 F9", "arc", 1},
	"arc without axis":                 {"G2", "no-axis", 1},
	"arc without centre (3.5.3)":       {"G2 X1 Y1 F9", "arc", 1},
	"arc with both (3.5.3)":            {"G2 X1 Y1 I1 R1 F9", "arc", 13},
	"arc's offset across (3.5.3)":      {"G2 X1 Y1 I1 K1 F9", "arc", 13},
	"arc of equal ends by R (3.5.3.1)": {"G2 X0 Y0 R1 F9", "arc", 10},
	"arc of too small R (3.5.3.1)":     {"G2 X10 Y0 R4 F9", "arc", 11},
	"arc of no radius":                 {"G2 X10 Y0 I0 F9", "arc", 1},
	"inverse time without F (3.5.19)":  {"G93 G1 X1", "feed", 1},
	"negative feed":                    {"G1 X1 F-9", "feed", 7},
	"negative tool":                    {"T-1", "number", 1},
	"a cycle":                          {"G81 X1 Z-1 R1", "kept-in-machine", 1},
	"probing":                          {"G38.2 Z-1", "kept-in-machine", 1},
	"stored zero":                      {"G55 G0 X1", "kept-in-machine", 1},
	"machine's zero":                   {"G53 G0 X1", "kept-in-machine", 1},
	"stored place":                     {"G28", "kept-in-machine", 1},
	"setting a zero":                   {"G10 L2 P1 X0", "kept-in-machine", 1},
	"radius kept":                      {"G41 D1", "kept-in-machine", 1},
	"length kept":                      {"G43 H1", "kept-in-machine", 1},
	"motion and shift":                 {"G92 G0 X1", "twice", 1},
	"shift of nothing":                 {"G92", "no-axis", 1},
	"motion cancelled":                 {"G80\nX1", "no-motion", 1},
	"axis with cancelled motion":       {"G80 X1", "no-motion", 5},
	"too far":                          {"G0 X1000001", "far-away", 4},
	"too many digits":                  {"G0 X1" + strings.Repeat("0", 200), "far-away", 4},
	"long line (3.3)":                  {"G0 X1 (" + strings.Repeat("a", 249) + ")", "long-line", 1},
}

func TestFault(t *testing.T) {
	for name, c := range faultyLines {
		t.Run(name, func(t *testing.T) {
			lines := strings.Count(c.text, "\n")
			_, faults := Read("bad.nc", []byte(head+c.text+"\nM2\n"))
			if len(faults) != 1 {
				t.Fatalf("faults %v", faults)
			}
			f := faults[0]
			if f.Code != c.code || f.Line != 4+lines || f.Column != c.column || f.File != "bad.nc" {
				t.Errorf("%v, want code %s at column %d", f, c.code, c.column)
			}
			if f.Message == "" || f.Fix == "" {
				t.Error("does not say what is wrong and how to fix it")
			}
		})
	}
}

// A line of 256 characters is the longest (3.3).
func TestLongestLine(t *testing.T) {
	if _, faults := Read("long", []byte("G21 ("+strings.Repeat("a", 250)+")\n")); len(faults) > 0 {
		t.Error(faults)
	}
}

func TestUnknownStart(t *testing.T) {
	for name, text := range map[string]string{
		"relative": "G91 G0 Z5", "arc": "G17 G2 X1 Y1 I1 F9", "zero": "G92 X0",
	} {
		_, faults := Read(name, []byte(text))
		if len(faults) != 1 || faults[0].Code != "unknown-start" {
			t.Errorf("%s: %v", name, faults)
		}
	}
	p, _ := Read("start", []byte("G0 Z5\nX10 Y20\nX11\n"))
	if first := p.Moves[0]; first.From != (Point{10, 20, 5}) || first.Unknown != X|Y|Z || first.Stated != Z {
		t.Errorf("the first move is %+v", first)
	}
	if p.Moves[1].Unknown != X|Y || p.Moves[2].Unknown != 0 || p.Moves[2].From != (Point{10, 20, 5}) {
		t.Errorf("the moves are %+v", p.Moves)
	}
}

// The file may stand between two lines with % (3.2); nothing behind the end of
// a program is obeyed.
func TestEnd(t *testing.T) {
	for name, c := range map[string]struct {
		text              string
		end, after, moves int
	}{
		"M2":               {"G0 Z1\nM2\n", 2, 0, 1},
		"M30":              {"G0 Z1\nM30", 2, 0, 1},
		"percents":         {"\n %\nG0 Z1\nM2\n%\n\n", 4, 0, 1},
		"percents alone":   {"%\nG0 Z1\n%\n", 0, 0, 1},
		"behind M2":        {"G0 Z1\nM2\n\nG0 Z-9\n", 2, 4, 1},
		"behind percent":   {"%\nG0 Z1\nM2\n%\nG0 Z-9\n", 3, 5, 1},
		"comment behind":   {"G0 Z1\nM2\n(so)\n", 2, 3, 1},
		"percent behind":   {"G0 Z1\nM2\n%\n", 2, 3, 1},
		"motion before it": {"M2 G0 Z1\n", 1, 0, 1},
		"none":             {"G0 Z1\r\nG0 Z2\r\n", 0, 0, 2},
	} {
		p, faults := Read(name, []byte(c.text))
		if len(faults) > 0 || p.End != c.end || p.After != c.after || len(p.Moves) != c.moves {
			t.Errorf("%s: end %d, after %d, %d moves, faults %v", name, p.End, p.After, len(p.Moves), faults)
		}
	}
}

func TestComments(t *testing.T) {
	p, _ := Read("c", []byte("(one) (MSG, two)\nG21 ( msg,three)\n"))
	want := []Comment{{"one", false, 1, 1}, {"MSG, two", true, 1, 7}, {" msg,three", true, 2, 5}}
	if len(p.Comments) != 3 || p.Comments[0] != want[0] || p.Comments[1] != want[1] || p.Comments[2] != want[2] {
		t.Errorf("%+v", p.Comments)
	}
}

// Arcs, NISTIR 6556 sections 3.5.3.1 and 3.5.3.2.
func TestArc(t *testing.T) {
	for name, c := range map[string]struct {
		text           string
		centre         Point
		radius, degree float64
	}{
		"worked example, clockwise": {"X7 Y7\nG17 G2 X10 Y16 I3 J4 F9", Point{10, 11, 5}, 5, -143.13010235415598},
		"counter-clockwise":         {"X7 Y7\nG3 X10 Y16 I3 J4 F9", Point{10, 11, 5}, 5, 216.86989764584402},
		"full circle":               {"G2 X0 I3 J4 F9", Point{3, 4, 5}, 5, -360},
		"short by radius":           {"G2 X1 Y1 R1 F9", Point{1, 0, 5}, 1, -90},
		"long by radius":            {"G2 X1 Y1 R-1 F9", Point{0, 1, 5}, 1, -270},
		"short left by radius":      {"G3 X1 Y1 R1 F9", Point{0, 1, 5}, 1, 90},
		"half by radius":            {"G3 X10 Y0 R5 F9", Point{5, 0, 5}, 5, 180},
		"in ZX":                     {"G18 G2 X2 Z5 I1 K0 F9", Point{1, 0, 5}, 1, -180},
		"in YZ":                     {"G19 G3 Y0 Z7 J0 K1 F9", Point{0, 0, 6}, 1, 180},
	} {
		t.Run(name, func(t *testing.T) {
			p, faults := Read("arc", []byte(head+c.text))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			m := p.Moves[len(p.Moves)-1]
			near(t, "X", m.Helix.Centre.X, c.centre.X, 1e-9)
			near(t, "Y", m.Helix.Centre.Y, c.centre.Y, 1e-9)
			near(t, "Z", m.Helix.Centre.Z, c.centre.Z, 1e-9)
			near(t, "radius", m.Helix.Radius, c.radius, 1e-9)
			near(t, "sweep", m.Helix.Sweep*180/math.Pi, c.degree, 1e-9)
			last := m.From
			m.chords(chordError, func(_ float64, q Point) bool { last = q; return true })
			if last != m.To {
				t.Errorf("chords end at %v", last)
			}
		})
	}
}

// Which way an arc in the ZX plane turns: clockwise seen from the positive end
// of Y, from Z upwards X comes next counter-clockwise (3.5.3).
func TestArcUpright(t *testing.T) {
	p, _ := Read("arc", []byte(head+"G18 G3 X2 Z5 I1 K0 F9"))
	m := p.Moves[len(p.Moves)-1]
	if e := m.Extent(); math.Abs(e.Min.Z-5) > 1e-9 || math.Abs(e.Max.Z-6) > 1e-9 {
		t.Errorf("the arc lies between %v and %v", e.Min, e.Max)
	}
}

// Section 3.5.3.2, its own example of coordinates rounded to three decimals.
func TestArcRounded(t *testing.T) {
	p, faults := Read("arc", []byte("G21 G90 G94\nG0 Z5\nX132.98 Y279.073\nG3 X111.408 Y261.042 I-10.024 J-9.929 F9\nM2"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	near(t, "difference of radii", math.Abs(p.Moves[2].Helix.EndsOff), 0.002371, 1e-6)
}

func TestAngles(t *testing.T) {
	for i := range 3600 {
		a := (float64(i) - 1799) * math.Pi / 1800
		near(t, "angle", angleOf(7*math.Cos(a), 7*math.Sin(a)), a, 1e-14)
		if math.Abs(a) <= 1 {
			s, c := sineCosine(a)
			near(t, "sine", s, math.Sin(a), 1e-15)
			near(t, "cosine", c, math.Cos(a), 1e-15)
		}
	}
}
