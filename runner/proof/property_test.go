package proof

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What is printed with four decimals is read as it was.
func TestReadsWhatIsPrinted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		steps := rapid.SliceOfN(rapid.IntRange(-9_999_999, 9_999_999), 3, 60).Draw(t, "steps")
		var b strings.Builder
		for i := 0; i+2 < len(steps); i += 3 {
			fmt.Fprintf(&b, "G0 X%s Y%s Z%s\n", decimal(steps[i]), decimal(steps[i+1]), decimal(steps[i+2]))
		}
		p, faults := Read("p", []byte(b.String()))
		if len(faults) > 0 || len(p.Moves) != len(steps)/3 {
			t.Fatal(faults)
		}
		for i, m := range p.Moves {
			want := Point{float64(steps[3*i]) / 1e4, float64(steps[3*i+1]) / 1e4, float64(steps[3*i+2]) / 1e4}
			if m.To != want {
				t.Fatalf("%v, want %v", m.To, want)
			}
		}
	})
}

// decimal writes a number of ten-thousandths.
func decimal(n int) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	return fmt.Sprintf("%s%d.%04d", sign, n/10000, n%10000)
}

// Blanks outside comments and the case of letters mean nothing (NISTIR 6556,
// 3.3), nor does the order of words on a line (3.3.6).
func TestBlanksAndCaseMeanNothing(t *testing.T) {
	text := string(readFile(t, "good.nc"))
	want, _ := Read("good.nc", []byte(text))
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		comment := false
		for _, c := range text {
			comment = comment && c != ')' || c == '('
			if !comment && c != '\n' && rapid.IntRange(0, 4).Draw(t, "blank") == 0 {
				b.WriteString([...]string{" ", "\t", "  "}[rapid.IntRange(0, 2).Draw(t, "which")])
			}
			if !comment && rapid.Bool().Draw(t, "lower") {
				b.WriteString(strings.ToLower(string(c)))
			} else {
				b.WriteRune(c)
			}
		}
		got, faults := Read("good.nc", []byte(b.String()))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if !reflect.DeepEqual(got.Moves, want.Moves) || len(got.Words) != len(want.Words) {
			t.Fatal("the reading differs")
		}
	})
}

// A mark moved by whole pixels covers as many; turned about by a quarter, as
// many too but for the few whose centres lie on an edge.
func TestPaintedAreaStays(t *testing.T) {
	brush, err := NewBrush([]Rung{{0, 0.3}, {1, 1.1}, {4, 2.4}})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.IntRange(-100_000, 100_000)
		var at [][3]int
		for range rapid.IntRange(2, 5).Draw(t, "points") {
			at = append(at, [3]int{place.Draw(t, "x"), place.Draw(t, "y"), -rapid.IntRange(0, 40_000).Draw(t, "z")})
		}
		area := func(by func(x, y int) (int, int)) float64 {
			var b strings.Builder
			for i, q := range at {
				x, y := by(q[0], q[1])
				fmt.Fprintf(&b, "G%d X%s Y%s Z%s F600\n", min(i, 1), decimal(x), decimal(y), decimal(q[2]))
			}
			p, faults := Read("p", []byte(b.String()))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			c, err := Compare(p, Comparison{Brush: brush, Pixel: 0.05})
			if err != nil {
				t.Fatal(err)
			}
			return c.Painted
		}
		here := area(func(x, y int) (int, int) { return x, y })
		if moved := area(func(x, y int) (int, int) { return x + 123*500, y - 77*500 }); abs(moved-here) > 4*0.05*0.05 {
			t.Fatalf("%g mm², moved %g", here, moved)
		}
		if turned := area(func(x, y int) (int, int) { return -y, x }); abs(turned-here) > 12*0.05*0.05 {
			t.Fatalf("%g mm², turned %g", here, turned)
		}
	})
}

// No stroke takes less time than its length at its feed; where it begins and
// ends in the text is where the contact does.
func TestStrokesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		height := rapid.IntRange(-30_000, 30_000)
		for range rapid.IntRange(1, 40).Draw(t, "moves") {
			fmt.Fprintf(&b, "G1 X%s Y%s Z%s F600\n", decimal(height.Draw(t, "x")), decimal(height.Draw(t, "y")), decimal(height.Draw(t, "z")))
		}
		p, _ := Read("p", []byte(b.String()))
		m := Measure(p, Timing{Acceleration: 200, Corner: 0.02}, nil)
		painted, contact := 0.0, 0.0
		for _, s := range m.Strokes {
			painted += s.Length
			contact += s.Seconds
			if s.Seconds*10 < s.Length*(1-1e-9) || s.Deepest > 0 || s.FirstLine > s.LastLine {
				t.Fatalf("%+v", s)
			}
		}
		if abs(painted-m.Painted) > 1e-9 || abs(contact-m.Contact) > 1e-9 || m.Contact > m.Seconds+1e-9 {
			t.Fatalf("strokes %g mm %g s, all %g mm %g s of %g s", painted, contact, m.Painted, m.Contact, m.Seconds)
		}
	})
}
