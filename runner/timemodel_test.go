package runner_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// bench is a machine as the head of a program states it, mm and s.
type bench struct {
	travel, z, acceleration, corner float64
}

// stretchOfWay is a straight way between two places.
type stretchOfWay struct {
	d      [3]float64 // mm
	length float64
	most   float64 // mm/s
}

var (
	wordOf       = regexp.MustCompile(`([A-Z])(-?[0-9.]+)`)
	remarks      = regexp.MustCompile(`\([^)]*\)`)
	timedWith    = regexp.MustCompile(`\(timed with travel ([0-9.]+), z ([0-9.]+), acceleration ([0-9.]+), corner ([0-9.]+)\)`)
	aboutSeconds = regexp.MustCompile(`\(about ([^,]*),`)
	timeOnPage   = regexp.MustCompile(`<tr><th scope="row">time at [^<]*</th><td>([^,<]*),`)
)

func statedBench(t *testing.T, text string) bench {
	t.Helper()
	found := timedWith.FindStringSubmatch(text)
	if found == nil {
		t.Fatal("the head does not say with what the time was worked out")
	}
	var v [4]float64
	for i, s := range found[1:] {
		var err error
		if v[i], err = strconv.ParseFloat(s, 64); err != nil {
			t.Fatal(err)
		}
	}
	return bench{v[0] / 60, v[1] / 60, v[2], v[3]}
}

// seconds drives a program's text on the machine, from the first place that it states whole. It knows
// G0, G1, G4, M0 and M2, and of X, Y, Z places in mm.
func (b bench) seconds(t *testing.T, text string) float64 {
	t.Helper()
	unknown := math.NaN()
	at, rapid, feed, sum := [3]float64{unknown, unknown, unknown}, true, 0.0, 0.0
	var way []stretchOfWay
	for line := range strings.Lines(remarks.ReplaceAllString(text, "")) {
		to, wait, stops := at, 0.0, false
		for _, w := range wordOf.FindAllStringSubmatch(line, -1) {
			v, err := strconv.ParseFloat(w[2], 64)
			if err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			switch w[1] {
			case "X", "Y", "Z":
				to[w[1][0]-'X'] = v
			case "F":
				feed = v / 60
			case "P":
				wait = v
			case "M":
				stops = true
			case "G":
				switch v {
				case 0, 1:
					rapid = v == 0
				case 4:
					stops = true
				case 17, 21, 40, 49, 90, 94:
				default:
					t.Fatalf("G%v is not known", v)
				}
			default:
				t.Fatalf("%s%v is not known", w[1], v)
			}
		}
		if stops {
			sum, way = sum+b.drive(way)+wait, way[:0]
		}
		if to != at && !slices.ContainsFunc(at[:], math.IsNaN) {
			way = append(way, b.straight(at, to, rapid, feed))
		}
		at = to
	}
	return sum + b.drive(way)
}

func (b bench) straight(from, to [3]float64, rapid bool, feed float64) stretchOfWay {
	s := stretchOfWay{most: feed}
	if rapid {
		s.most = b.travel
	}
	for i := range s.d {
		s.d[i] = to[i] - from[i]
	}
	s.length = math.Sqrt(s.d[0]*s.d[0] + s.d[1]*s.d[1] + s.d[2]*s.d[2])
	if s.d[2] != 0 {
		s.most = min(s.most, b.z*s.length/math.Abs(s.d[2]))
	}
	return s
}

// drive is the time in s from standstill to standstill. The way is walked in small
// steps, once backwards, so that the machine can always brake, and once forwards, as it
// gets faster.
func (b bench) drive(way []stretchOfWay) float64 {
	const step = 0.01 // mm
	var squares, lengths []float64
	for i, s := range way {
		enter := 0.0
		if i > 0 {
			enter = min(b.corner2(way[i-1], s), s.most*s.most, way[i-1].most*way[i-1].most)
		}
		squares = append(squares, enter)
		n := max(int(s.length/step), 4)
		for k := range n {
			lengths = append(lengths, s.length/float64(n))
			if k > 0 {
				squares = append(squares, s.most*s.most)
			}
		}
	}
	squares = append(squares, 0)
	for i := len(lengths) - 1; i >= 0; i-- {
		squares[i] = min(squares[i], squares[i+1]+2*b.acceleration*lengths[i])
	}
	sum := 0.0
	for i, d := range lengths {
		squares[i+1] = min(squares[i+1], squares[i]+2*b.acceleration*d)
		sum += 2 * d / (math.Sqrt(squares[i]) + math.Sqrt(squares[i+1]))
	}
	return sum
}

// corner2 is the square of the speed at a corner. There the machine adds a constant
// acceleration to its speed until it goes along the next stretch: it follows a
// parabola, which passes the corner by an eighth of acceleration times time squared,
// and leaves no stretch before its middle.
func (b bench) corner2(before, after stretchOfWay) float64 {
	turn := 0.0 // the change of direction
	for i := range before.d {
		d := after.d[i]/after.length - before.d[i]/before.length
		turn += d * d
	}
	if turn == 0 {
		return math.Inf(1)
	}
	return min(8*b.acceleration*b.corner/turn, b.acceleration*min(before.length, after.length)/math.Sqrt(turn))
}

// shownSeconds reads a time such as 6 min 41 s.
func shownSeconds(t *testing.T, shown string) float64 {
	t.Helper()
	var minutes, seconds float64
	if _, err := fmt.Sscanf(strings.ReplaceAll(shown, "\u00a0", " "), "%f min %f s", &minutes, &seconds); err != nil {
		t.Fatalf("%q is no time: %v", shown, err)
	}
	return 60*minutes + seconds
}

// The demo's times, as head, page and card show them, agree within 2 % with a machine
// of another build: it is driven by the programs' text alone, in small steps, takes
// corners on parabolas and not on circles, and shares no code with the runner's clock.
func TestDemoTime(t *testing.T) {
	r := runDemo(t)
	page, card := output(r, "index.html"), output(r, "card.html")
	onPage := timeOnPage.FindAllStringSubmatch(page, -1)
	if len(onPage) != len(r.Layers) {
		t.Fatalf("%d times on the page", len(onPage))
	}
	shown, modelled := 0.0, 0.0
	for i, l := range r.Layers {
		text := output(r, l.File)
		want := statedBench(t, text).seconds(t, text)
		head := aboutSeconds.FindStringSubmatch(text)
		if head == nil {
			t.Fatalf("%s says no time", l.File)
		}
		got := shownSeconds(t, head[1])
		t.Logf("%s: %s, modelled %.1f s, %+.2f %%", l.Model.Name, head[1], want, 100*(got/want-1))
		if math.Abs(got/want-1) > 0.02 {
			t.Errorf("%s is to take %s, and takes %.1f s", l.File, head[1], want)
		}
		if shownSeconds(t, onPage[i][1]) != got || !strings.Contains(card, ", "+onPage[i][1]+"</td>") {
			t.Errorf("%s takes %s by its head, %s by the page, and not that by the card", l.File, head[1], onPage[i][1])
		}
		shown, modelled = shown+got, modelled+want
	}
	t.Logf("in all %.0f s, modelled %.0f s", shown, modelled)
}

// The machine of another build against closed forms: there and back along a line, with
// a stop; a right angle, slowed as the parabola says; a wait.
func TestBench(t *testing.T) {
	b := bench{travel: 50, z: 10, acceleration: 100, corner: 0.1}
	corner := math.Sqrt(8 * 100 * 0.1 / 2) // mm/s
	leg := func(length, most float64) float64 { return length/most + most/100 }
	slowed := 50/20.0 + (20-corner)*(20-corner)/(2*100*20) + 20/(2*100.0)
	for _, c := range []struct {
		text string
		want float64
	}{
		{"G0 X0 Y0 Z0\nG1 X40 F1200\nM0\nX0", 2 * leg(40, 20)},
		{"G0 X0 Y0 Z0\nG1 X50 F1200 (so far)\nY50", 2 * slowed},
		{"G0 X0 Y0 Z0\nG0 Z-5\nG4 P2.5\nM2", leg(5, 10) + 2.5},
		{"G0 X0 Y0 Z0\nX1", 2 * math.Sqrt(1/100.0)},
	} {
		if got := b.seconds(t, c.text); math.Abs(got/c.want-1) > 1e-3 {
			t.Errorf("%q takes %.5f s, want %.5f s", c.text, got, c.want)
		}
	}
}
