package bed_test

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"mahlstick/recipe/bed"
)

var a4 = bed.Box{MaxX: 210, MaxY: 297}

func grid(n int, height func(x, y float64) float64) []bed.Touch {
	var out []bed.Touch
	for i := range n {
		for k := range n {
			x, y := 10+190*float64(i)/float64(n-1), 10+277*float64(k)/float64(n-1)
			out = append(out, bed.Touch{X: x, Y: y, Height: height(x, y)})
		}
	}
	return out
}

func fit(t interface{ Fatal(...any) }, touches []bed.Touch) *bed.Surface {
	s, err := bed.Fit(touches, bed.Setup{TouchOffX: 12, TouchOffY: 12, Touched: 0.05, Flat: 0.2, Area: a4})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A plane and a surface of second degree are found again everywhere, from the
// touches of a grid.
func TestFindsWhatWasTouched(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := make([]float64, 6)
		for i := range c {
			c[i] = rapid.Float64Range(-1, 1).Draw(t, "term")
		}
		n := rapid.IntRange(2, 5).Draw(t, "rows")
		if n == 2 {
			c[3], c[4], c[5] = 0, 0, 0
		}
		height := func(x, y float64) float64 {
			x, y = (x-100)/100, (y-150)/100
			return c[0] + c[1]*x + c[2]*y + c[3]*x*x + c[4]*x*y + c[5]*y*y
		}
		touches := grid(n, height)
		for i := range touches { // as they are written down
			touches[i].Height = math.Round(touches[i].Height*1e4) / 1e4
			touches[i].X, touches[i].Y = math.Round(touches[i].X*1e4)/1e4, math.Round(touches[i].Y*1e4)/1e4
		}
		s := fit(t, touches)
		if s.Curved() != (n > 2) {
			t.Fatalf("%d rows: curved %v", n, s.Curved())
		}
		x, y := rapid.Float64Range(0, 210).Draw(t, "x"), rapid.Float64Range(0, 297).Draw(t, "y")
		want := height(x, y) - height(12, 12)
		if got := s.Height(x, y); math.Abs(got-want) > 0.0004 {
			t.Fatalf("height at %g, %g is %g, want %g", x, y, got, want)
		}
	})
}

// Least squares as gonum's QR decomposition finds them, whatever was touched.
func TestAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 4).Draw(t, "rows")
		touches := grid(n, func(x, y float64) float64 { return rapid.Float64Range(-2, 2).Draw(t, "height") })
		for i := range touches {
			touches[i].Height = math.Round(touches[i].Height*1e4) / 1e4
			touches[i].X, touches[i].Y = math.Round(touches[i].X*1e4)/1e4, math.Round(touches[i].Y*1e4)/1e4
		}
		terms := func(x, y float64) []float64 {
			x, y = (x-105)/100, (y-148)/100
			return []float64{1, x, y, x * x, x * y, y * y}
		}
		a, b := mat.NewDense(len(touches), 6, nil), mat.NewVecDense(len(touches), nil)
		for i, q := range touches {
			a.SetRow(i, terms(q.X, q.Y))
			b.SetVec(i, q.Height)
		}
		var c mat.VecDense
		if err := c.SolveVec(a, b); err != nil {
			t.Fatal(err)
		}
		s := fit(t, touches)
		at := func(x, y float64) float64 { return mat.Dot(mat.NewVecDense(6, terms(x, y)), &c) }
		x, y := rapid.Float64Range(0, 210).Draw(t, "x"), rapid.Float64Range(0, 297).Draw(t, "y")
		if got, want := s.Height(x, y), at(x, y)-at(12, 12); math.Abs(got-want) > 1e-9 {
			t.Fatalf("height %g, want %g", got, want)
		}
		sum := 0.0
		for i, q := range touches {
			left := q.Height - at(q.X, q.Y)
			sum += left
			if math.Abs(s.Left(i)-left) > 1e-9 {
				t.Fatalf("left %g, want %g", s.Left(i), left)
			}
		}
		if math.Abs(sum) > 1e-8 {
			t.Fatalf("the touches lie %g above the surface", sum)
		}
		checkBounds(t, s, x, y)
		// The middle of a chord.
		x2, y2 := rapid.Float64Range(0, 210).Draw(t, "x2"), rapid.Float64Range(0, 297).Draw(t, "y2")
		sag := math.Abs(s.Height((x+x2)/2, (y+y2)/2) - (s.Height(x, y)+s.Height(x2, y2))/2)
		if got := s.Sag(x2-x, y2-y); math.Abs(got-sag) > 1e-9 {
			t.Fatalf("sag %g, want %g", got, sag)
		}
	})
}

// checkBounds compares places with the stated range and steepest slope.
func checkBounds(t *rapid.T, s *bed.Surface, x, y float64) {
	low, high := s.Range()
	for range 40 {
		h := s.Height(rapid.Float64Range(-30, 240).Draw(t, "x"), rapid.Float64Range(-30, 330).Draw(t, "y"))
		if h < low-1e-9 || h > high+1e-9 {
			t.Fatalf("height %g is not from %g to %g", h, low, high)
		}
	}
	steepest, _, _ := s.Steepest()
	if d := math.Abs(s.Height(x, y)-s.Height(min(x+1, 210), y)) - steepest; d > 1e-9 {
		t.Fatalf("steeper than the steepest by %g", d)
	}
}

// The stated doubt is what the heights scatter by when the touches do: 600
// draws of nine touches, each good to 0.05 mm.
func TestDoubt(t *testing.T) {
	state := uint64(7)
	normal := func() float64 { // the sum of twelve even draws, whose variance is 1
		sum := -6.0
		for range 12 {
			state = state*6364136223846793005 + 1442695040888963407
			sum += float64(state>>11) / (1 << 53)
		}
		return sum
	}
	const runs = 600
	places := [][2]float64{{200, 287}, {105, 148}, {10, 287}, {60, 220}}
	squares, stated := make([]float64, len(places)), make([]float64, len(places))
	for range runs {
		s := fit(t, grid(3, func(x, y float64) float64 { return 0.002*x + 0.05*normal() }))
		for i, p := range places {
			off := s.Height(p[0], p[1]) - 0.002*(p[0]-12)
			squares[i] += off * off
			stated[i] += s.Doubt(p[0], p[1]) * s.Doubt(p[0], p[1])
		}
	}
	for i, p := range places {
		scattered, said := math.Sqrt(squares[i]/runs), math.Sqrt(stated[i]/runs)
		// The bed's own roughness cannot be separated from the touches' scatter by
		// three spare touches, so the statement is on the safe side.
		if said < 0.95*scattered || said > 1.6*scattered {
			t.Errorf("at %v heights scatter by %.4f mm; %.4f mm is stated", p, scattered, said)
		}
	}
}

// Three places make a plane that says nothing of a bow, so the doubt of an
// unknown bed stays; four in a line make none, nor do two.
func TestFewPlaces(t *testing.T) {
	at := func(xy ...float64) (out []bed.Touch) {
		for i := 0; i < len(xy); i += 2 {
			out = append(out, bed.Touch{X: xy[i], Y: xy[i+1], Height: 0.1})
		}
		return out
	}
	for _, few := range [][]bed.Touch{nil, at(10, 10), at(10, 10, 200, 10), at(10, 10, 60, 60.5, 100, 100, 200, 200), at(10, 10, 10, 10, 10, 10, 90, 90)} {
		if _, err := bed.Fit(few, bed.Setup{Area: a4}); !errors.Is(err, bed.ErrFew) {
			t.Errorf("%v: %v", few, err)
		}
	}
	s := fit(t, at(10, 10, 200, 10, 105, 287))
	if got := s.GreatestDoubt(); got < 0.2 {
		t.Errorf("three places leave %g mm", got)
	}
	// Nine places in two rows, and nine on a circle.
	two, circle := at(), at()
	for i := range 9 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 9)
		two = append(two, bed.Touch{X: float64(10 + 20*i), Y: float64(10 + 200*(i%2)), Height: 0.2})
		circle = append(circle, bed.Touch{X: math.Round(105 + 90*cos), Y: math.Round(148 + 90*sin), Height: 0.2})
	}
	if fit(t, two).Curved() {
		t.Error("two rows bend")
	}
	if s := fit(t, circle); math.Abs(s.Height(105, 148)) > 1e-6 {
		t.Errorf("a flat circle is %g high in its middle", s.Height(105, 148))
	}
	if b := s.Beyond(105, 100); b > 0 {
		t.Errorf("the middle of the triangle is %g beyond it", b)
	}
	if b := s.Beyond(12, 280); b <= 0 {
		t.Errorf("a place beside the triangle is %g beyond it", b)
	}
}
