package logbook

import (
	"fmt"
	"html"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestCardGolden(t *testing.T) {
	got, err := sample().Card()
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "testdata/card.html", got)
}

// layersOf is the sample with so many layers.
func layersOf(n int) *Page {
	p := sample()
	two := p.Layers
	p.Layers = nil
	for i := range n {
		l := two[i%2]
		l.Number, l.Name = i+1, "layer "+strconv.Itoa(i+1)
		p.Layers = append(p.Layers, l)
	}
	return p
}

// One sheet of paper, with two sides, has room for six layers.
func TestSheetsOfACard(t *testing.T) {
	for layers, want := range map[int]int{1: 1, 2: 1, 6: 1, 7: 2, 12: 2, 13: 3} {
		got, err := layersOf(layers).Card()
		if err != nil {
			t.Fatal(err)
		}
		if sides := strings.Count(string(got), `<section class="side `); sides != 2*want {
			t.Errorf("%d layers: %d sides, want %d", layers, sides, 2*want)
		}
		if maps := strings.Count(string(got), `<svg class="sheet map"`); maps != layers {
			t.Errorf("%d layers: %d maps", layers, maps)
		}
	}
}

// All maps of a side fit on it, whatever is painted.
func TestMapsFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := layersOf(rapid.IntRange(1, perCard).Draw(t, "layers"))
		p.Sheet.Width, p.Sheet.Height = rapid.Float64Range(20, 1200).Draw(t, "width"), rapid.Float64Range(20, 1200).Draw(t, "height")
		for i := range p.Layers {
			place := func() StrokePoint {
				return StrokePoint{rapid.Float64Range(0, p.Sheet.Width).Draw(t, "x"), rapid.Float64Range(0, p.Sheet.Height).Draw(t, "y"), 1}
			}
			p.Layers[i].Before, p.Layers[i].Marks = 0, []Stroke{{[]StrokePoint{place(), place()}}, {[]StrokePoint{place()}}}
		}
		s := card{newShown(p)}.Sheets()[0]
		plan, err := s.Plan()
		if err != nil {
			t.Fatal(err)
		}
		text, err := backHigh(&s)
		if err != nil {
			t.Fatal(err)
		}
		checkRows(t, plan, p.Sheet, sideHigh-text)
	})
}

// checkRows wants the maps of a plan on their sheet, beside and below each other within
// the card's side.
func checkRows(t *rapid.T, plan plan, sheet Sheet, room float64) {
	high := 0.0
	for i := 0; i < len(plan.Maps); i += plan.across {
		wide, tall, caption := -mapGap, 0.0, 0
		for _, f := range plan.Maps[i:min(i+plan.across, len(plan.Maps))] {
			if f.scale <= 0 || f.scale > 1 || f.x < 0 || f.y < 0 || f.x+f.wide > sheet.Width+1e-9 || f.y+f.high > sheet.Height+1e-9 {
				t.Fatalf("frame %+v of a sheet of %g x %g mm", f.frame, sheet.Width, sheet.Height)
			}
			if printedWide(f) > f.room+1e-6 {
				t.Errorf("a map of %g mm in %g mm", printedWide(f), f.room)
			}
			wide += mapGap + f.room
			tall, caption = max(tall, printedHigh(f), f.tall), max(caption, lines(captionOf(f), f.room, captionEm))
		}
		if wide > sideWide+1e-6 {
			t.Errorf("maps beside each other are %g mm wide", wide)
		}
		high += tall + captionGap + captionRow*float64(caption)
	}
	if high > room+1e-6 {
		t.Errorf("maps below each other are %g mm high, where %g mm are free", high, room)
	}
}

// Where strokes are crowded, a detail shows them larger, with the numbers that have
// no room on the map; it lies on the map, and in its room.
func TestDetails(t *testing.T) {
	l := Layer{Number: 1, Name: "feathers"}
	for i := range 60 {
		x, y := 100+float64(i%10)*3, 100+float64(i/10)*5
		l.Marks = append(l.Marks, Stroke{[]StrokePoint{{x, y, 0.6}, {x + 1, y + 2, 0.6}}})
	}
	l.Marks = append(l.Marks, Stroke{[]StrokePoint{{5, 5, 1}, {6, 6, 1}}}, Stroke{[]StrokePoint{{205, 290, 1}, {204, 289, 1}}})
	sheet := &Sheet{Width: 210, Height: 297}
	f := MapOf{Layer: &l, frame: frame{wide: 210, high: 297, scale: 0.3}, sheet: sheet, room: 130, left: tickRoom, low: tickRoom}
	without := unnumbered(f)
	details, _ := detailsOf(f, without)
	if len(without) < 30 || len(details) == 0 {
		t.Fatalf("%d strokes without a number, %d details", len(without), len(details))
	}
	d := details[0]
	left := newLabels(&svg{height: sheet.Height}, d).numbers(&l, d.Every(), onDetail)
	if d.scale < 2*f.scale || 2*len(left) > len(without) {
		t.Errorf("the detail at %g leaves %d of %d strokes without a number", d.scale, len(left), len(without))
	}
	if d.x < f.x || d.y < f.y || d.x+d.wide > f.x+f.wide || d.y+d.high > f.y+f.high || printedWide(d) > f.room-printedWide(f) {
		t.Errorf("the detail is %+v on %+v", d.frame, f.frame)
	}
}

// Details do not lie over each other, and fit beside or below their map.
func TestDetailsApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Layer{Number: 1, Name: "reeds"}
		for range rapid.IntRange(20, 60).Draw(t, "strokes") {
			x, y := rapid.Float64Range(20, 90).Draw(t, "x"), rapid.Float64Range(20, 90).Draw(t, "y")
			l.Marks = append(l.Marks, Stroke{[]StrokePoint{{x, y, 0.6}, {x + 1, y + 9, 0.6}}})
		}
		f := MapOf{Layer: &l, frame: frame{wide: 210, high: 297, scale: 0.2}, sheet: &Sheet{Width: 210, Height: 297}, left: tickRoom, low: tickRoom}
		f.room = printedWide(f) + rapid.Float64Range(0, 40).Draw(t, "beside")
		f.tall = printedHigh(f) + rapid.Float64Range(0, 40).Draw(t, "below")
		details, below := detailsOf(f, unnumbered(f))
		wide, high := 0.0, -detailGap
		for i, d := range details {
			if over(d.frame, details[:i]) {
				t.Errorf("%+v lies over another detail", d.frame)
			}
			if below {
				wide, high = wide+detailGap+printedWide(d), max(high, printedHigh(d))
			} else {
				wide, high = max(wide, printedWide(d)+detailGap), high+printedHigh(d)+detailGap
			}
		}
		if below && (wide-detailGap > f.room || high+detailGap > f.tall-printedHigh(f)) || !below && (wide > f.room-printedWide(f) || high > f.tall) && len(details) > 0 {
			t.Errorf("details of %g x %g mm, below %t, with a map of %g x %g in %g x %g", wide, high, below, printedWide(f), printedHigh(f), f.room, f.tall)
		}
	})
}

// Labels stand on the map, and a few not upon each other, wherever they belong.
func TestPlacesOfLabels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const side = 9000
		p := newPlacer(side, side, nil)
		at := rapid.SliceOfN(rapid.IntRange(0, side), 2, 5).Draw(t, "places")
		for i := 1; i < len(at); i++ {
			p.place(at[i-1], at[i], 500, 232)
		}
		for i, a := range p.taken {
			if a.x0 < 0 || a.y0 < 0 || a.x1 >= side || a.y1 >= side {
				t.Fatalf("label at %+v", a)
			}
			for _, b := range p.taken[:i] {
				if a.overlap(b) > 0 {
					t.Fatalf("labels at %+v and %+v", a, b)
				}
			}
		}
	})
}

// A label avoids marks where it can.
func TestLabelsAvoidMarks(t *testing.T) {
	var marks [][2]int
	for x := 0; x < 1000; x += 10 {
		for y := 0; y < 2000; y += 10 {
			marks = append(marks, [2]int{x, y})
		}
	}
	p := newPlacer(2000, 2000, marks)
	if x, y := p.place(900, 1000, 400, 200); x < 1200 {
		t.Errorf("the label is at %d, %d, over the marks", x, y)
	}
}

// Luma, as ITU-R BT.601 defines it, falls from stroke to stroke, and the hue stays:
// the order of the three parts of a colour does not change.
func TestShades(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ink [3]int
		for i := range ink {
			ink[i] = rapid.IntRange(0, 255).Draw(t, "part")
		}
		n := rapid.IntRange(2, shades).Draw(t, "shades")
		var lumas []float64
		for i := range n {
			var s [3]int
			hex := shadeHex(fmt.Sprintf("#%02x%02x%02x", ink[0], ink[1], ink[2]), i, n)
			if _, err := fmt.Sscanf(hex, "#%02x%02x%02x", &s[0], &s[1], &s[2]); err != nil {
				t.Fatal(err)
			}
			if otherOrder(ink, s) {
				t.Errorf("%v has another hue as %v", ink, s)
			}
			lumas = append(lumas, 0.299*float64(s[0])+0.587*float64(s[1])+0.114*float64(s[2]))
			if i > 0 && lumas[i] > lumas[i-1]+1 {
				t.Errorf("%v: shade %d of %d has luma %.1f after %.1f", ink, i, n, lumas[i], lumas[i-1])
			}
		}
		if math.Abs(lumas[0]-lightest) > 3 || math.Abs(lumas[n-1]-darkest) > 3 {
			t.Errorf("%v: lumas from %.1f to %.1f", ink, lumas[0], lumas[n-1])
		}
	})
}

// otherOrder reports whether two parts of a colour are in another order in b.
func otherOrder(a, b [3]int) bool {
	for i := range a {
		for k := range a {
			if a[i] > a[k] && b[i] < b[k] {
				return true
			}
		}
	}
	return false
}

// So many numbers that they would hide the map are thinned out.
func TestEveryFifth(t *testing.T) {
	for n, want := range map[int]int{1: 5, 134: 5, 3000: 50} {
		l := Layer{Marks: make([]Stroke, n)}
		f := MapOf{Layer: &l, frame: frame{wide: 200, high: 250, scale: 0.45}}
		if got := f.Every(); got != want {
			t.Errorf("%d strokes: every %dth is numbered, want %d", n, got, want)
		}
	}
}

// A time without seconds is written without them, and the head of the back mentions frames
// only where there are some.
func TestToldOnCard(t *testing.T) {
	for seconds, want := range map[float64]string{0: "0.0 s", 1200: "20 min", 1205: "20 min 5 s", 7200: "2 h", 7260: "2 h 1 min"} {
		if got := strings.ReplaceAll(briefly(seconds), "\u00a0", " "); got != want {
			t.Errorf("%g s: %q, want %q", seconds, got, want)
		}
	}
	for _, crowded := range []bool{false, true} {
		p := layersOf(2)
		for i := range 60 {
			if crowded {
				x, y := 100+float64(i%10)*3, 100+float64(i/10)*5
				p.Layers[0].Marks = append(p.Layers[0].Marks, Stroke{[]StrokePoint{{x, y, 0.6}, {x + 1, y + 2, 0.6}}})
			}
		}
		got, err := p.Card()
		if err != nil {
			t.Fatal(err)
		}
		drawn, said := strings.Contains(string(got), `<div class="details`), strings.Contains(string(got), "drawn again")
		if drawn != crowded || said != crowded {
			t.Errorf("crowded %t: details drawn %t, said %t", crowded, drawn, said)
		}
		if both, said := strings.Contains(string(got), ", detail ii</title>"), strings.Contains(string(got), "Frames i and ii"); said != both {
			t.Errorf("crowded %t: a second detail drawn %t, said %t", crowded, both, said)
		}
	}
}

// The example of how to go on is a stroke of a layer of the job: a recipe's layer with
// that name has that stroke.
func TestResumedOnCard(t *testing.T) {
	said := regexp.MustCompile(`mahlstick resume \S+ --layer "(.*)" --from (\d+)`)
	for layers := 1; layers <= 2*perCard; layers++ {
		p := layersOf(layers)
		for i := range p.Layers {
			p.Layers[i].Marks = slices.Repeat(p.Layers[i].Marks, 1+i%4)
		}
		got, err := p.Card()
		if err != nil {
			t.Fatal(err)
		}
		found := said.FindAllStringSubmatch(html.UnescapeString(string(got)), -1)
		if want := (layers + perCard - 1) / perCard; len(found) != want {
			t.Errorf("%d layers: %d examples, want %d", layers, len(found), want)
		}
		for _, f := range found {
			from, _ := strconv.Atoi(f[2])
			k := slices.IndexFunc(p.Layers, func(l Layer) bool { return l.Name == f[1] })
			if k < 0 || from <= p.Layers[k].Before || from > len(p.Layers[k].Marks) {
				t.Errorf("%d layers: stroke %d of %q", layers, from, f[1])
			}
		}
	}
}
