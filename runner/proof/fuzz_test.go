package proof

import (
	"bytes"
	"io"
	"math"
	"reflect"
	"strings"
	"testing"
)

// Any bytes: nothing panics, each fault lies in the text, each place is a
// number, and a second reading gives the same.
func FuzzProof(f *testing.F) {
	for _, name := range []string{"good.nc", "nistir6556_c1.txt"} {
		f.Add(readFile(f, name))
	}
	for _, s := range []string{
		"", "%\n%", "g0x +0. 12 34y 7", "G2", "N", "(", "G91 X1", "G93 G1 X1 F2", "G18 G3 X1 Z1 R-1 F1", "G1 X.F", "G0 X1e5",
		"G21\nG0 X1 Y1 Z1\nG92 X0\nG92.2\nG92.3\nG20 G2 X1 Y1 I0.5 J0.5 F1", "G0 Z-1 X0 Y0\nG3 X0 I1e F1", "/M3\xff\x00(\xc3", "G4 P1 M0 T1 S1 M6 M3 M8",
		"G0 X0 Y0 Z0\nG2 X1 R0.4999 F1\nG19 G2 Y0.001 J1000000 K-1", "G0 X999999 Y-999999 Z1\nG1 Z-1 F1\nX-999999",
	} {
		f.Add([]byte(s))
	}
	f.Add([]byte(wellProgram))
	brush, err := NewBrush([]Rung{{0, 0.2}, {1, 1}, {4, 2.4}})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, faults := Read("fuzz.nc", text)
		checkFaults(t, text, faults)
		checkMoves(t, p)
		again, _ := Read("fuzz.nc", text)
		if !reflect.DeepEqual(p, again) {
			t.Fatal("a second reading differs")
		}
		checkUse(t, p, brush)
		if stations := StatedStations(p); len(stations) > 0 {
			checkUse(t, Visiting(p, stations), brush)
			Check(p, Limits{Loose: true, Strokes: -1, Stations: stations, Brush: brush})
			Check(p, Limits{Stations: stations, Brush: brush, Load: &Load{Area: 10}})
		}
	})
}

// checkFaults: each fault is in the text and is complete.
func checkFaults(t *testing.T, text []byte, faults []Fault) {
	lines := strings.Split(string(text), "\n")
	for _, fault := range faults {
		if fault.Line < 1 || fault.Line > len(lines) || fault.Column < 1 || fault.Column > len(lines[fault.Line-1])+1 {
			t.Fatalf("%v is not in the text", fault)
		}
		if fault.Code == "" || fault.Message == "" || fault.Fix == "" {
			t.Fatalf("%+v says too little", fault)
		}
	}
}

// checkMoves: the moves are finite and join.
func checkMoves(t *testing.T, p *Path) {
	for i := range p.Moves {
		m := &p.Moves[i]
		for _, v := range []float64{m.From.X, m.From.Y, m.From.Z, m.To.X, m.To.Y, m.To.Z} {
			if !(math.Abs(v) <= MaxCoord) {
				t.Fatalf("move %d goes to %g", i, v)
			}
		}
		if l := m.Length(); !(l >= 0 && l < 1e12) {
			t.Fatalf("move %d is %g mm long", i, l)
		}
		if i > 0 && m.From != p.Moves[i-1].To && m.Unknown == 0 {
			t.Fatalf("move %d does not begin where the last one ends", i)
		}
	}
}

// checkUse: everything that uses a path accepts it, and a program with faults
// passes no check.
func checkUse(t *testing.T, p *Path, brush *Brush) {
	m := Measure(p, Timing{Travel: 1500, ZFeed: 400, Acceleration: 100, Corner: 0.05}, brush)
	if !(m.Seconds >= 0 && m.Painted >= 0 && m.Travel >= 0) {
		t.Fatalf("%g s, %g mm painted, %g mm travel", m.Seconds, m.Painted, m.Travel)
	}
	checks := Check(p, Limits{Sheet: Rect{0, 0, 210, 297}, SafePress: 4, SafeHeight: 5, Brush: brush})
	if len(p.Faults) > 0 && Passed(checks) {
		t.Fatal("a program with faults passed")
	}
	c := Comparison{Brush: brush, Pixel: 0.5, Drawn: []Region{{Rings: [][]Vertex{{{0, 0}, {9, 0}, {9, 9}}}}}}
	if m.Marks.MaxX-m.Marks.MinX < 1000 && m.Marks.MaxY-m.Marks.MinY < 1000 && len(p.Moves) < 200 {
		if cover, err := Compare(p, c); err == nil && !(cover.Coverage >= 0 && cover.Coverage <= 1) {
			t.Fatalf("covers %g", cover.Coverage)
		}
		if err := Picture(io.Discard, p, PictureOptions{Brush: brush, Travel: true, Numbers: true}); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := Report(&b, Reading{Path: p, Measures: m, Checks: checks}); err != nil || b.Len() == 0 {
		t.Fatal("no report")
	}
}
