package proof

import (
	"bytes"
	"fmt"
	"math"
	"testing"
)

// longProgram is a program of about the given number of lines: swelling waves
// over an A4 sheet, a point each 0.3 mm.
func longProgram(lines int) []byte {
	var b bytes.Buffer
	b.WriteString("G21 G90 G94 G17\nG0 Z5\n")
	for n, row := 0, 0; n < lines; row++ {
		y := 12 + float64(row%90)*3
		x0 := 12 + float64(row/90%4)*46
		fmt.Fprintf(&b, "(stroke %d)\nG0 X%.3f Y%.3f\nG1 Z0 F300\n", row+1, x0, y)
		n += 3
		for i := 1; i <= 140 && n < lines; i++ {
			s := float64(i) / 140
			fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z-%.3f F750\n", x0+42*s, y+2*math.Sin(9*s), 4*s*(1-s)*3.6)
			n++
		}
		b.WriteString("G0 Z5\n")
	}
	b.WriteString("M2\n")
	return b.Bytes()
}

func benchBrush(b *testing.B) *Brush {
	brush, err := NewBrush([]Rung{{0, 0.25}, {0.5, 0.48}, {1, 0.7}, {2, 1.08}, {3, 1.6}, {4, 2.1}, {5, 2.4}})
	if err != nil {
		b.Fatal(err)
	}
	return brush.Smooth()
}

func BenchmarkRead100000Lines(b *testing.B) {
	text := longProgram(100_000)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := Read("long.nc", text); len(faults) > 0 {
			b.Fatal(faults[0])
		}
	}
}

func BenchmarkMeasureAndCheck100000Lines(b *testing.B) {
	p, _ := Read("long.nc", longProgram(100_000))
	brush := benchBrush(b)
	lim := Limits{SafePress: 5, SafeHeight: 5, Sheet: Rect{0, 0, 210, 297}, Margin: 8, Reach: Rect{0, 0, 300, 300},
		ReachLow: -10, ReachHigh: 10, LowestFeed: 300, HighestFeed: 750, ZFeed: 400, Brush: brush, Strokes: 700}
	b.ReportAllocs()
	for b.Loop() {
		Measure(p, Timing{Travel: 1500, ZFeed: 400, Acceleration: 100, Corner: 0.05}, brush)
		if checks := Check(p, lim); !Passed(checks) {
			b.Fatal(checks)
		}
	}
}

// A page of 360 strokes, 15 m of mark in 50,000 points, at 0.02 mm.
func BenchmarkComparePage(b *testing.B) {
	p, _ := Read("long.nc", longProgram(360*144))
	brush := benchBrush(b)
	var drawn []Region
	for i := range 360 {
		x, y := 12+float64(i/90%4)*46, 12+float64(i%90)*3
		drawn = append(drawn, Region{Rings: [][]Vertex{polygon(x+21, y, 1.2, 60), rectangle(x, y-1, x+42, y+1)}})
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compare(p, Comparison{Brush: brush, Drawn: drawn}); err != nil {
			b.Fatal(err)
		}
	}
}
