package dxf

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"time"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/collect"
)

// sketch writes entities as drawing programs do, handles and owners and all.
type sketch struct {
	strings.Builder
	handle int
	rand   *rand.Rand
}

func newSketch() *sketch {
	s := &sketch{handle: 0x40, rand: rand.New(rand.NewPCG(1, 2))}
	s.WriteString("  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1018\n  9\n$INSUNITS\n 70\n     4\n  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n")
	return s
}

func (s *sketch) end() []byte {
	s.WriteString("  0\nENDSEC\n  0\nEOF\n")
	return []byte(s.String())
}

func (s *sketch) entity(kind, class string) {
	s.handle++
	fmt.Fprintf(s, "  0\n%s\n  5\n%X\n330\n1F\n100\nAcDbEntity\n  8\nreeds\n100\n%s\n", kind, s.handle, class)
}

func (s *sketch) xy(code int, x, y float64) {
	fmt.Fprintf(s, "%3d\n%.6f\n%3d\n%.6f\n", code, x, code+10, y)
}

func (s *sketch) xyz(code int, x, y float64) {
	s.xy(code, x, y)
	fmt.Fprintf(s, "%3d\n0.0\n", code+20)
}

func (s *sketch) line(x1, y1, x2, y2 float64) {
	s.entity("LINE", "AcDbLine")
	s.xyz(10, x1, y1)
	s.xyz(11, x2, y2)
}

func (s *sketch) polyline(n int, bulges bool) {
	s.entity("LWPOLYLINE", "AcDbPolyline")
	fmt.Fprintf(s, " 90\n%8d\n 70\n     1\n 43\n0.0\n", n)
	x, y := s.rand.Float64()*200, s.rand.Float64()*280
	for i := range n {
		sin, cos := math.Sincos(float64(i) / float64(n) * 2 * math.Pi)
		s.xy(10, x+3*cos+s.rand.Float64()*0.1, y+3*sin)
		if bulges && i%3 == 0 {
			fmt.Fprintf(s, " 42\n%.6f\n", s.rand.Float64()-0.5)
		}
	}
}

func (s *sketch) spline(n int) {
	s.entity("SPLINE", "AcDbSpline")
	fmt.Fprintf(s, "210\n0.0\n220\n0.0\n230\n1.0\n 70\n     8\n 71\n     3\n 72\n%6d\n 73\n%6d\n 74\n     0\n 42\n0.0000001\n 43\n0.0000001\n", n+4, n)
	for i := range n + 4 {
		fmt.Fprintf(s, " 40\n%.4f\n", float64(min(max(i-3, 0), n-3)))
	}
	x, y := s.rand.Float64()*200, s.rand.Float64()*280
	for i := range n { // a closed outline: there along one side, back along the other
		t := float64(i) / float64(n-1) * 2 * math.Pi
		s.xyz(10, x-9*math.Cos(t), y+math.Sin(t)+math.Sin(t/2)*s.rand.Float64())
	}
}

func (s *sketch) arc(x, y, r, start, end float64) {
	s.entity("ARC", "AcDbCircle")
	s.xyz(10, x, y)
	fmt.Fprintf(s, " 40\n%.6f\n100\nAcDbArc\n 50\n%.6f\n 51\n%.6f\n", r, start, end)
}

// slot is an outline of two lines and two arcs.
func (s *sketch) slot() {
	x, y, r, l := s.rand.Float64()*200, s.rand.Float64()*280, 0.5+s.rand.Float64(), 3+s.rand.Float64()*8
	s.arc(x, y, r, 90, 270)
	s.line(x, y-r, x+l, y-r)
	s.arc(x+l, y, r, 270, 90)
	s.line(x+l, y+r, x, y+r)
}

// polygon is an outline of loose lines.
func (s *sketch) polygon(n int) {
	x, y := s.rand.Float64()*200, s.rand.Float64()*280
	at := func(i int) (float64, float64) {
		sin, cos := math.Sincos(float64(i%n) / float64(n) * 2 * math.Pi)
		return x + 3*cos, y + 2*sin
	}
	for i := range n {
		x1, y1 := at(i)
		x2, y2 := at(i + 1)
		s.line(x1, y1, x2, y2)
	}
}

// drawingOf gives a drawing of about size bytes: of one kind of entity, or
// the mixture that painters draw, nearly all of it closed outlines.
func drawingOf(kind string, size int) []byte {
	s := newSketch()
	for i := 0; s.Len() < size; i++ {
		switch kind {
		case "lines":
			s.polygon(12)
		case "polylines":
			s.polyline(40, false)
		case "bulges":
			s.polyline(40, true)
		case "splines":
			s.spline(20)
		case "arcs":
			s.slot()
		case "mixed":
			switch i % 8 {
			case 0, 1, 2:
				s.polyline(60, false)
			case 3, 4:
				s.spline(24)
			case 5:
				s.polyline(30, true)
			case 6:
				s.slot()
			default:
				s.polygon(8)
			}
		}
	}
	return s.end()
}

// readWhole makes a drawing of a file, with all processors.
func readWhole(f *source.File, opt drawing.Options) (*drawing.Drawing, problem.List) {
	c := collect.New(f, opt)
	Read(f, c, Options{Workers: runtime.GOMAXPROCS(0)})
	return c.Drawing()
}

// BenchmarkReadAgainstScan compares reading with a bare scan of the group
// codes, measured in the same run. x-scan must stay below 3.
func BenchmarkReadAgainstScan(b *testing.B) {
	for _, kind := range []string{"mixed", "coarse", "polylines", "lines", "splines", "bulges", "arcs"} {
		b.Run(kind, func(b *testing.B) {
			opt := drawing.Options{}
			if kind == "coarse" { // the mixture at the largest tolerance
				kind, opt.Tolerance = "mixed", 0.005
			}
			data := drawingOf(kind, 2<<20)
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			// The machine may be busy with other things: the quickest of
			// several runs of each is compared.
			scan, reading := time.Hour, time.Hour
			n := 0
			for b.Loop() {
				start := time.Now()
				for g := newGroups(data); g.next(); {
					n += g.code
				}
				middle := time.Now()
				d, problems := readWhole(source.New("bench.dxf", data), opt)
				reading = min(reading, time.Since(middle))
				scan = min(scan, middle.Sub(start))
				if problems.HasErrors() || len(d.Contours) == 0 {
					b.Fatal(problems)
				}
			}
			b.ReportMetric(float64(reading)/float64(scan), "x-scan")
			b.ReportMetric(float64(len(data))/scan.Seconds()/1e6, "scan-MB/s")
			b.ReportMetric(float64(len(data))/reading.Seconds()/1e6, "read-MB/s")
		})
	}
}

// BenchmarkMemory reads a drawing of 50 MB and reports the most memory in use
// at any time, the file included, as a multiple of its size.
func BenchmarkMemory(b *testing.B) {
	for _, kind := range []string{"mixed", "lines"} {
		b.Run(kind, func(b *testing.B) {
			data := drawingOf(kind, 50_000_000)
			for b.Loop() {
				runtime.GC()
				stop, done := make(chan bool), make(chan uint64)
				go func() {
					var most uint64
					var m runtime.MemStats
					for {
						select {
						case <-stop:
							done <- most
							return
						case <-time.After(5 * time.Millisecond):
							runtime.ReadMemStats(&m)
							most = max(most, m.HeapInuse)
						}
					}
				}()
				d, problems := readWhole(source.New("bench.dxf", data), drawing.Options{})
				close(stop)
				most := <-done
				if problems.HasErrors() || len(d.Contours) == 0 {
					b.Fatal(problems)
				}
				b.ReportMetric(float64(most)/float64(len(data)), "x-file")
			}
		})
	}
}
