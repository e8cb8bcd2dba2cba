package program_test

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"strconv"
	"testing"
	"time"

	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/program"
	"mahlstick/runner/proof"
)

// million is a plan of a million moves: strokes of a thousand, each wound round a
// place of its own with a press that swells and narrows.
func million() motion.Plan {
	p := motion.Plan{Decimals: 3, Safe: 60_000, Hover: 60_000, Rest: motion.Move{Z: 60_000}}
	round := func(v float64) int32 { return plane.Snap(math.Round(v*1000) / 1000) }
	for n := range 1000 {
		x, y := 20+float64(n%40)*5, 20+float64(n/40)*8
		s := motion.Stroke{Number: n + 1, Deepest: 2}
		s.Moves = append(s.Moves, motion.Move{X: round(x + 2), Y: round(y), Z: p.Safe}, motion.Move{X: round(x + 2), Y: round(y), Feed: 300})
		for i := 1; i < 998; i++ {
			turn := float64(i) / 50
			s.Moves = append(s.Moves, motion.Move{X: round(x + 2*math.Cos(turn)), Y: round(y + 2*math.Sin(turn)), Z: round(-1 - math.Sin(turn/3)), Feed: 600 + int32(i/100)*10})
		}
		last := s.Moves[len(s.Moves)-1]
		s.Moves = append(s.Moves, motion.Move{X: last.X, Y: last.Y, Z: p.Safe, Feed: 300})
		p.Strokes = append(p.Strokes, s)
	}
	return p
}

// BenchmarkMillion writes a program of a million moves and reads it back. Beside it,
// the same moves are written and scanned bare, once with fmt and once as quickly as
// strconv can: "of-fmt" and "of-strconv" are the speeds as a share of those.
func BenchmarkMillion(b *testing.B) {
	plan := million()
	var ours, formatted, quick time.Duration
	for b.Loop() {
		start := time.Now()
		text := program.Layer(program.Head{Job: "million"}, plan)
		path, faults := proof.Read("million.nc", text)
		ours += time.Since(start)
		if len(faults) > 0 || len(path.Moves) < 1_000_000 {
			b.Fatalf("%d moves, %v", len(path.Moves), faults)
		}
		b.SetBytes(int64(len(text)))

		start = time.Now()
		if n := withFmt(b, plan); n < 1_000_000 {
			b.Fatal(n)
		}
		formatted += time.Since(start)

		start = time.Now()
		if n := withStrconv(b, plan); n < 1_000_000 {
			b.Fatal(n)
		}
		quick += time.Since(start)
	}
	b.ReportMetric(ours.Seconds()/float64(b.N), "s/million")
	b.ReportMetric(formatted.Seconds()/ours.Seconds(), "of-fmt")
	b.ReportMetric(quick.Seconds()/ours.Seconds(), "of-strconv")
}

// withFmt writes all moves with fmt and scans them with fmt.
func withFmt(b *testing.B, plan motion.Plan) int {
	var out bytes.Buffer
	for _, s := range plan.Strokes {
		for _, m := range s.Moves {
			fmt.Fprintf(&out, "G1 X%.3f Y%.3f Z%.3f F%d\n", plane.MM(m.X), plane.MM(m.Y), plane.MM(m.Z), m.Feed)
		}
	}
	n := 0
	var x, y, z float64
	var feed int
	for lines := bufio.NewScanner(&out); lines.Scan(); n++ {
		if _, err := fmt.Sscanf(lines.Text(), "G1 X%g Y%g Z%g F%d", &x, &y, &z, &feed); err != nil {
			b.Fatal(err)
		}
	}
	return n
}

// withStrconv writes and scans all moves without fmt, and keeps them.
func withStrconv(b *testing.B, plan motion.Plan) int {
	var out []byte
	for _, s := range plan.Strokes {
		for _, m := range s.Moves {
			for i, v := range [...]int32{m.X, m.Y, m.Z} {
				out = strconv.AppendFloat(append(out, [...]string{"G1 X", " Y", " Z"}[i]...), plane.MM(v), 'f', 3, 64)
			}
			out = append(strconv.AppendInt(append(out, " F"...), int64(m.Feed), 10), '\n')
		}
	}
	var moves [][4]float64
	for line := range bytes.Lines(out) {
		var m [4]float64
		k := 0
		for word := range bytes.FieldsSeq(line[3:]) {
			v, err := strconv.ParseFloat(string(word[1:]), 64)
			if err != nil {
				b.Fatal(err)
			}
			m[k] = v
			k++
		}
		moves = append(moves, m)
	}
	return len(moves)
}
