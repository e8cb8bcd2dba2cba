package logbook

import (
	"bytes"
	"flag"
	"math"
	"os"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"mahlstick/recipe/model"
	"mahlstick/recipe/working"
	"mahlstick/runner/vector"
)

var update = flag.Bool("update", false, "write the golden files anew")

// sample is a small job with every part of the page in it.
func sample() *Page {
	blade := func(x, lean, w float64) Stroke {
		var s Stroke
		for i := range 25 {
			t := float64(i) / 24
			s.Points = append(s.Points, StrokePoint{x + lean*t*t, 30 + 200*t, w * math.Sin(math.Pi*math.Min(1, 0.15+0.85*t))})
		}
		return s
	}
	reeds := Layer{Number: 1, Name: "reeds", Ink: "moss", Hex: "#6f7d46", Brush: "Broad round", Drawing: "reeds.dxf", Unit: "cm", UnitFrom: "the file's header",
		Placed:  "Moved by 12.50, −3.00 mm by its mark.",
		Program: Program{File: "1-reeds.nc", Lines: 812}, Strokes: 3, Corners: 1, Picture: 4, CheckMarks: 2, StripAt: "from 9, 4 to 40, 4 mm on the sheet", Shapes: 3, Holes: 1,
		Painted: 640, Travel: 1210, Seconds: 95, Blocks: Blocks{60, 41, 3, 320}, Parts: Times{Painting: 50, Travel: 25, Lowering: 19, Held: 1}, Lingers: 20, Blots: []Blot{{4, 40.25, 61.5, 1.2, 0, 0.21, 0.125}, {9, 120, 14, 0.8, 212.5, 0.1, 0}}, Deepest: 4.2, SafePress: 6, Plunges: 3, Plunge: 1.25, Steepest: 0.4, SteepestPress: 1, Entries: &Entries{Entries: 41, Exits: 40, Light: 2, Straight: 1}, Narrowest: 0.3, Widest: 3.4, WidestMark: 4.2, Thinnest: 0.52, Uneven: &Uneven{-0.11, 0.3, 0.06, 0.15, 0.012, 0.04}, Feed: 750,
		Feeding: &Feeding{Formula: "750*mm/min * (1 - 0.3*press/(6*mm)) * (1 - along/4)", Slowest: 393.75, Fastest: 750, Along: []string{"at the start", "at the end"}, Bends: true,
			Rows: []FeedRow{{0, 0.2, []float64{750, 562.5}}, {6, 4.2, []float64{525, 393.75}}}},
		Drawn: 1300.4, Done: 1290.4, Refused: 10, Twice: 21.6, Coverage: 0.9964, Spill: 0.0021,
		Read: []Count{{What: "LWPOLYLINE", N: 3}}, Passed: []Count{{What: "TEXT", N: 1, Why: "text is not painted"}}, Missed: true,
		Remarks: []RemarkGroup{{Reason: "too thin", Meaning: "Narrower than the lightest mark; the recipe leaves it.", Refused: true, N: 1, Area: 10, Length: 30,
			Places: []Place{{X: 70, Y: 120, Width: 0.11, Length: 30, From: "reeds.dxf:1482"}}}},
		Marks:  []Stroke{blade(60, 40, 3.4), blade(90, -20, 2.6), blade(130, 25, 3)},
		Before: 2, Strip: []StripMark{{"a", 1.2, 0.6, 0.05}, {"b", 3, 1.4, 0.08}},
		Effects: []Effect{{"play", "pressed 0.10 mm less on the 1.2 m of way on which strokes narrow"}},
		Risks:   &Risks{Height: 0.08, Widest: 3.2, N: 3, Strokes: []StrokeAtRisk{{2, 60, 30, 0.6, 0.05, 0.03, 0.021, 0, "touch off more exactly"}}},
		Scale:   []ScaleRange{{"over 1.56", "touch off again"}, {"1.49 to 1.56", "raise 0.25"}, {"1.32 to 1.48", "leave"}, {"under 1.32", "touch off again"}},
		Tip:     Tip{true, 0.3, -0.1}, Drying: 900,
		Brushstrokes: []StrokeRow{{"", 1, 14, 60, 30, 204, 4.2, 3.4, 18, 3.5}},
	}
	bird := reeds
	bird.Number, bird.Name, bird.Ink, bird.Hex, bird.Brush, bird.Strip, bird.Remarks = 2, "bird", "indigo", "#24304f", "Fine sable", nil, nil
	bird.CheckMarks = 0
	bird.OrderPrice = "1.20 m of travel from stroke to stroke, 0.9 m in the shortest order"
	bird.InkUse, bird.Reloads, bird.Divided = "412 mm² painted with 3 loads of 160 mm²", []string{"3", "5"}, []string{"5"}
	bird.Loads = "The machine loads the brush in the well of indigo."
	bird.Program.File, bird.Unit, bird.Coverage, bird.Spill = "2-bird.nc", "mm", math.NaN(), math.NaN()
	bird.Marks = []Stroke{blade(100, 60, 1.4), {Points: []StrokePoint{{150, 240, 2}}}}
	bird.Register = "Expect it within 0.31 mm of “reeds” at the worst place, in 95 of 100 cases."
	bird.Marking = &Marking{Program: Program{File: "2-bird-marks.nc"}, Marks: []ExpectedMark{{"corner", 15.2, 14.9}}, Rows: "| layer | mark | x | y | zero |\n|---|---|---|---|---|\n| bird | corner |  mm |  mm | kept |\n"}
	return &Page{
		Heights: &Marking{Program: Program{File: "0-heights.nc"}, Marks: []ExpectedMark{{"1", 10, 10}, {"2", 200, 10}}, Rows: "| x | y | height |\n|---|---|---|\n| 10.0 mm | 10.0 mm |  mm |\n"},
		Seatings: []Seating{{Since: "layer bird", Layers: []string{"bird"}, Text: "It is turned 0.412° counter-clockwise.", Misfit: 0.3,
			Marks:  []SeatedMark{{"corner", 15, 15, 2, 0.03, -0.04}},
			Places: []Doubt{{"lower left corner", 0, 0, 0.05}, {"worst place of the picture", 190, 280, 0.07}}}},
		Registers: []Register{{A: "reeds", B: "bird", Promised: 0.31, X: 190, Y: 280, Parts: []RegisterPart{{"where the sheet lies", 0.07, false}, {"tips of the brushes", 0.3, true}}}},
		Wells:     []Well{{Ink: "indigo", Hex: "#24304f", At: vector.XY{X: -320, Y: -90}, Opening: 24, Wipe: &vector.XY{X: -304, Y: -90}, Scrap: &Scrap{At: vector.XY{X: -340, Y: -190}, Width: 30, Height: 60}}},
		WalkPath:  []vector.XY{{X: -10, Y: 10}, {X: -280, Y: 10}, {X: -280, Y: 200}, {X: -10, Y: 10}},
		Title:     "Reeds & one bird", Job: "pond", Index: "../index.html#job-pond", Recipe: "pond/pond.md", RecipeHash: strings.Repeat("ab", 32), Engine: 1,
		Sheet: Sheet{Size: "A4 portrait", Width: 210, Height: 297, Margin: 8, Paper: "hot-pressed", Grain: "long", Lay: model.LowerRight, Turned: 1, Clamps: &Clamps{Holder: 30, Under: 25, Clear: 1, FromRest: true, Clamps: []Clamp{{"left & low", -12, 100, 15, 20, 12, true, []vector.XY{{X: -12, Y: 100}, {X: 3, Y: 100}, {X: 3, Y: 120}, {X: -12, Y: 120}}, "goes round"}}},
			Lies: &Lies{XX: 0.99997, XY: -0.00719, YX: 0.00719, YY: 0.99997, X: 0.5, Y: -0.3}, Marks: []Mark{{"corner", 15, 15, 8, ""}, {"far", 190, 280, 6, "reeds"}},
			Flatness: &Flatness{X: 12, Y: 12, Followed: true, Bent: true, Doubt: 0.043, Low: -0.21, High: 0.34, Touches: []Touched{{10, 10, 0.02, 0.01, 0.01}, {200, 287, -0.2, -0.19, -0.01}}}},
		Blocks: []Block{
			{HTML: "<p>Two layers, palest first.</p>"},
			{Heading: "Sheet", Facts: []Fact{{Word: "size", Value: "A4 portrait"}, {Word: "turned", Value: "1"}, {Word: "lay", Value: "lower right", Was: "lower left"}, {Word: "margin", Name: "sheet.margin", Value: "8 mm", Default: true}}},
			{Heading: "Brush: fine", Name: "fine", Facts: []Fact{{Word: "widest mark", Name: "brush.widest_mark", Also: []string{"fine.widest_mark"}, Value: "2.40 mm", Was: "2.50 mm"}},
				Unstated: []Fact{{Word: "touch", Name: "brush.touch", Value: "0.1 mm", Default: true, Help: "How exactly Z is found."}, {Word: "lag", Value: "0 mm", Default: true}}},
			{Heading: "Layers", Table: &Table{Head: []string{"layer", "ink"}, Rows: [][]Fact{{{Word: "layer", Value: "reeds"}, {Word: "ink", Value: "moss"}}, {{Word: "layer", Value: "bird"}, {Word: "ink", Value: "indigo"}}}}},
			{Workings: []string{"taper"}},
		},
		Workings: map[string]working.Working{
			"taper": {Name: "taper", Formula: "asin(half_width / slant)", Filled: "asin(1.2 mm / 5.14 mm)", Result: "13.50 ± 0.30°", Remark: "half the angle of the tip",
				FormulaMath: "<math><mi>asin</mi><mo>(</mo><mfrac><msub><mi>half</mi><mi>width</mi></msub><mi>slant</mi></mfrac><mo>)</mo></math>",
				FilledMath:  "<math><mi>asin</mi><mo>(</mo><mfrac><mrow><mn>1.2</mn><mtext> mm</mtext></mrow><mrow><mn>5.14</mn><mtext> mm</mtext></mrow></mfrac><mo>)</mo></math>",
				Needs:       []string{"slant", "brush.touch", "brush.widest_mark", "fine", "fine.widest_mark", "elsewhere.half"}},
			"slant": {Name: "slant", Formula: "sqrt(a^2 + b^2)", Filled: "sqrt(1.44 mm² + 25 mm²)", Result: "5.14 mm", UsedBy: []string{"taper"}},
		},
		Derived: []string{"slant"},
		Layers:  []Layer{reeds, bird},
		Walk:    &Program{File: "0-margin-walk.nc"},
		Day: &Day{Lesson: 1500, NoDrying: []string{"reeds", "bird"}, Lessons: []Lesson{
			{Seconds: 1400, Steps: []Step{{0, 180, "mount broad", "", false, false, "", nil}, {180, 1220, "paint reeds, strokes 4 to 60", "#6c7a45", false, true, "stop before stroke 61", []Break{{false, 600, 60}, {true, 900, 5}}}}},
			{Seconds: 240, Steps: []Step{{0, 180, "reeds dries", "", true, false, "", nil}, {180, 60, "touch off", "", false, false, "", nil}}}}},
		Machine: Machine{Title: "Bench machine", OptionalStop: true, ReachX: 400, ReachY: 300, SafeHeight: 5, Clear: 3, LowestZ: -55, HighestZ: 12, RestY: 230},
		Checks: []Check{
			{Program: "1-reeds.nc", Name: "never below the safe press", OK: true, Found: "4.200 mm", Allowed: "6.000 mm"},
			{Program: "2-bird.nc", Name: "stays on the sheet", OK: false, Found: "x 211.00", Allowed: "210.00", Where: "line 44"},
		},
		Notes:   []Note{{"warning", "pond/pond.md:12:3", "a feed of 9000 mm/min is unusual", "usual is 300 to 3000 mm/min"}},
		Inputs:  []FileHash{{Name: "pond/pond.md", Size: 812, Hash: strings.Repeat("cd", 32)}},
		Outputs: []FileHash{{Name: "1-reeds.nc", Link: "1-reeds.nc", Size: 24000, Hash: strings.Repeat("ef", 32)}},
		Widths:  []Widths{sampleWidths()}, Results: []Result{{Heading: "Sheet 2", Charted: true}, {Heading: "Impression 1", HTML: "<p>A little heavy.</p>", Strips: []Strip{{"reeds", []StripReading{{"a", 0.6, 0.71, 0.05}, {"b", 1.4, 1.38, 0.08}}, "Raise Z zero by 0.15 mm.", "| press | width |\n"}, {"", []StripReading{{"a", 0.6, 0.66, 0}}, "", ""}},
			Painted: []PaintedBy{{"reeds", 9, []PaintedPart{{1, 6, "1-reeds.nc"}, {7, 7, "1-reeds-from-7-to-7.nc"}, {8, 9, "1-reeds.nc"}}}}}},
	}
}

func TestPageGolden(t *testing.T) {
	got, err := sample().Render()
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "testdata/page.html", got)
}

// compare holds got against a golden file.
func compare(t *testing.T, golden string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("it differs from %s; look at it, then run with -update", golden)
	}
}

// The page and the card of programs that break a rule say so, and nothing that the
// broken rule would have made sure of.
func TestPageOfBrokenRules(t *testing.T) {
	never := "These programs never start one"
	for _, c := range []struct {
		ok              bool
		has, lacks      []string
		onCard, notCard string
	}{
		{true, []string{"All rules hold"}, []string{"1 rule is broken"}, never, "broken"},
		{false, []string{"<strong>1 rule is broken.</strong> The job was signed despite that"}, []string{"All rules hold"}, "Do not run these programs: 1 rule is broken.", never},
	} {
		p := sample()
		p.Edition = "3"
		p.Checks[1].OK = c.ok
		page, err := p.Render()
		if err != nil {
			t.Fatal(err)
		}
		card, err := p.Card()
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range c.has {
			if !strings.Contains(string(page), text) {
				t.Errorf("rules hold: %v; the page lacks %q", c.ok, text)
			}
		}
		for _, text := range c.lacks {
			if strings.Contains(string(page), text) {
				t.Errorf("rules hold: %v; the page says %q", c.ok, text)
			}
		}
		if !strings.Contains(string(card), c.onCard) || strings.Contains(string(card), c.notCard) {
			t.Errorf("rules hold: %v; the card lacks %q or says %q", c.ok, c.onCard, c.notCard)
		}
	}
}

// The page must be well nested, fetch nothing, run nothing, and have no two
// elements of one id and no link to an id that is not there.
func TestPageStandsAlone(t *testing.T) {
	p := sample()
	p.Title = `<script>alert(1)</script> & "quoted"`
	p.Layers[0].Ink = `"><img src=x onerror=alert(1)>`
	p.Layers[1].Hex = "url(https://example.org/x)"
	for _, render := range []func() ([]byte, error){p.Render, p.Card} {
		got, err := render()
		if err != nil {
			t.Fatal(err)
		}
		standsAlone(t, got)
	}
}

// standsAlone checks a page.
func standsAlone(t *testing.T, got []byte) {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(got))
	if err != nil {
		t.Fatal(err)
	}
	ids, links := map[string]bool{}, []string{}
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		switch n.Data {
		case "script", "iframe", "object", "embed", "link", "img":
			t.Errorf("the page holds a %s", n.Data)
		}
		for _, a := range n.Attr {
			switch {
			case a.Key == "id":
				if ids[a.Val] {
					t.Errorf("two elements have the id %q", a.Val)
				}
				ids[a.Val] = true
			case a.Key == "href":
				links = append(links, a.Val)
			case a.Key == "src" || strings.HasPrefix(a.Key, "on"):
				t.Errorf("the page holds %s=%q", a.Key, a.Val)
			}
		}
	}
	for _, l := range links {
		if strings.Contains(l, ":") {
			t.Errorf("the page leads out, to %s", l)
		}
		if id, inside := strings.CutPrefix(l, "#"); inside && !ids[id] {
			t.Errorf("the link to %s leads nowhere", l)
		}
	}
	if bytes.Contains(got, []byte("ZgotmplZ")) || bytes.Contains(got, []byte("example.org")) {
		t.Error("a colour that is none reached the page")
	}
}

// The outline of a mark of constant width has the area of the mark: Steiner's
// formula for a segment, length × width + π r².
func TestOutlineArea(t *testing.T) {
	s := svg{height: 0}
	s.outline(Stroke{[]StrokePoint{{0, 0, 2}, {10, 0, 2}}})
	if got, want := s.String(), "M0 -1L10 -1A1 1 0 0 1 10 1L0 1A1 1 0 0 1 0 -1Z"; got != want {
		t.Errorf("outline is %s, want %s", got, want)
	}
}

// A mark with a sharp turn is written as two that overlap with their round
// ends, so that no corner of it is missing from the picture.
func TestOutlineOfASharpTurn(t *testing.T) {
	s := svg{height: 0}
	s.outline(Stroke{[]StrokePoint{{0, 0, 2}, {10, 0, 2}, {10, 10, 2}}})
	got := strings.Split(strings.TrimSuffix(s.String(), "Z"), "Z")
	want := []string{"M0 -1L10 -1A1 1 0 0 1 10 1L0 1A1 1 0 0 1 0 -1", "M9 0L9 -10A1 1 0 0 1 11 -10L11 0A1 1 0 0 1 9 0"}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("outline is %q, want %q", got, want)
	}
}

func TestIndexGolden(t *testing.T) {
	s := &Studio{Title: "Studio by the <water>", Jobs: []Job{
		{Name: "pond", Title: "Reeds & one bird", Link: "pond/index.html", Picture: "pond/painting.svg", Layers: 2, Strokes: 51, CheckMarks: 3, Painted: 1640.28, Seconds: 245.1, Impressions: []Impression{{"1/10", "pond/impressions/01/index.html"}}},
		{Name: "tests/ladder", Title: "A ladder", Link: "tests/ladder/index.html", Layers: 1},
	}}
	got, err := s.Render()
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "testdata/index.html", got)
	compare(t, "testdata/painting.svg", sample().Picture())
}

// A table with more columns than paper has room for is printed as lists.
func TestWideTables(t *testing.T) {
	for columns, want := range map[int]bool{2: false, 11: false, 12: true, 20: true} {
		p := sample()
		for i := range p.Blocks {
			if p.Blocks[i].Table != nil {
				p.Blocks[i].Table = &Table{Head: make([]string, columns), Rows: [][]Fact{make([]Fact, columns)}}
			}
		}
		page, err := p.Render()
		if err != nil {
			t.Fatal(err)
		}
		if got := bytes.Contains(page, []byte(`<table class="stack many">`)); got != want {
			t.Errorf("%d columns: as a list %v, want %v", columns, got, want)
		}
	}
}

// A remark gives an area or a length only where it is not printed as 0.
func TestRemarksWithoutZeros(t *testing.T) {
	for _, c := range []struct {
		area, length float64
		want         string
	}{
		{0, 0, "too small: 2 places</summary>"},
		{0.0001, 0.0001, "too small: 2 places</summary>"},
		{0.0001, 2, "too small: 2 places, 2.00 mm of path</summary>"},
		{0.13, 0, "too small: 2 places, 0.13 mm² not painted</summary>"},
	} {
		p := sample()
		p.Layers[0].Remarks = []RemarkGroup{{Reason: "too small", N: 2, Area: c.area, Length: c.length, Refused: true, Places: make([]Place, 2)}}
		got, err := p.Render()
		if err != nil {
			t.Fatal(err)
		}
		if text := strings.ReplaceAll(string(got), "\u00a0", " "); !strings.Contains(text, c.want) {
			t.Errorf("%g mm², %g mm: no %q", c.area, c.length, c.want)
		}
	}
}
