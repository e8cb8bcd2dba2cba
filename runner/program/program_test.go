package program_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/program"
	"mahlstick/runner/proof"
	"mahlstick/runner/stroke"
)

var update = flag.Bool("update", false, "write the golden programs")

// studio is a job of one layer.
type studio struct {
	layer   model.Layer
	sheet   model.Sheet
	machine model.Machine
	head    program.Head
}

func newStudio() *studio {
	curve, err := brush.Fit([]brush.Mark{{Press: 1, Width: 0.6}, {Press: 2.5, Width: 1.3}}, 5, 2.4, 0.2)
	if err != nil {
		panic(err)
	}
	return &studio{
		model.Layer{Name: "bird", Feed: 900, Tolerance: 0.02, Brush: &model.Brush{SafePress: 5, Curve: curve, TipX: 0.3, TipY: -0.12}},
		model.Sheet{Width: 210, Height: 297, Margin: 8},
		model.Machine{ReachX: 300, ReachY: 400, ReachZ: 40, SafeHeight: 5, TravelFeed: 3000, FastestFeed: 3000, LoweringFeed: 300, ZFeed: 600, Acceleration: 100, Decimals: 3, RestX: 0, RestY: 317, RestZ: 5},
		program.Head{
			Job: "heron", Title: "Heron at first light", Number: 2, Of: 4, Layer: "bird", Brush: "Fine sable", Ink: "indigo #1d1b1a",
			Hash:    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
			Figures: program.Figures{Strokes: 4, CheckMarks: 3, Length: 1250, Seconds: 309, Travel: 3000, ZFeed: 600, Acceleration: 100, Corner: 0.05},
		},
	}
}

func (k *studio) at(x, y, press float64) stroke.Point {
	p := plane.At(x, y)
	w, _ := k.layer.Brush.Curve.WidthAt(press)
	return stroke.Point{X: p.X, Y: p.Y, Press: press, Width: w}
}

func (k *studio) gestures() []stroke.Gesture {
	return []stroke.Gesture{
		{Points: []stroke.Point{k.at(40, 50, 0), k.at(60, 55, 3), k.at(80, 50, 0)}},
		{Shape: 1, Points: []stroke.Point{k.at(90, 60, 0.5), k.at(92, 60, 4.9), k.at(120, 80, 1)}},
		{Shape: 1, Kind: stroke.Corner, Points: []stroke.Point{k.at(120, 80, 1), k.at(120.4, 80.4, 0)}},
		{Shape: 2, Points: []stroke.Point{k.at(100, 200, 1.25)}},
	}
}

func (k *studio) plan(t interface{ Fatal(...any) }, gestures []stroke.Gesture) motion.Plan {
	p, problems := motion.Make(gestures, &k.layer, &k.sheet, &k.machine, motion.Lie{})
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	return p
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != string(want) {
		t.Errorf("%s differs; if that is meant, run go test -update and raise the engine number\n%s", name, got)
	}
}

func TestGoldenPrograms(t *testing.T) {
	k := newStudio()
	plan := k.plan(t, k.gestures())
	text := program.Layer(k.head, plan)
	readBack(t, text, plan.Strokes, plan.Rest)
	golden(t, "layer.nc", text)

	k = newStudio()
	k.sheet.Turned, k.sheet.Lay, k.machine.Decimals = 1, model.UpperLeft, 4
	k.machine.RestX, k.machine.RestY, k.machine.RestZ = 280.00004, -10.25, 20.5
	strip, marks, problems := motion.CheckStrip(&k.layer, &k.sheet, &k.machine, motion.Lie{}, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	k.head.Strip = marks
	plan = k.plan(t, append(strip, k.gestures()...))
	text = program.Layer(k.head, plan)
	readBack(t, text, plan.Strokes, plan.Rest)
	golden(t, "strip.nc", text)

	k = newStudio()
	k.machine.Hover = 2.5
	plan = k.plan(t, k.gestures())
	text = program.Layer(k.head, plan)
	readBack(t, text, plan.Strokes, plan.Rest)
	golden(t, "hover.nc", text)

	k = newStudio()
	walk := motion.MarginWalk([]motion.Painted{{Gestures: k.gestures(), Brush: k.layer.Brush}}, &k.sheet, &k.machine)
	k.head.Number, k.head.Ink = 0, ""
	text = program.Walk(k.head, walk)
	readBack(t, text, []motion.Stroke{{Moves: walk.Moves[1:]}}, walk.Rest)
	golden(t, "walk.nc", text)
}

// The grammar of NISTIR 6556, 3.3, as far as our programs use it: a line is a
// comment or a block, at most 80 characters long (256 are allowed); a block has
// no word twice; numbers have a sign, digits and one point and no exponent.
var (
	commentLine = regexp.MustCompile(`^\([^()]*\)$`)
	setupLine   = "G21 G17 G90 G94 G40 G49"
	blockLine   = regexp.MustCompile(`^(?:(G0|G1)(?: |$))?(?:X(-?\d+\.\d{3,4})(?: |$))?(?:Y(-?\d+\.\d{3,4})(?: |$))?(?:Z(-?\d+\.\d{3,4})(?: |$))?(?:F([1-9]\d*))?$`)
	strokeLine  = regexp.MustCompile(`^\(stroke (\d+)(?:, check mark [a-z])?\)$`)
)

// failer is what readBack needs of *testing.T and *rapid.T.
type failer interface {
	Helper()
	Fatalf(string, ...any)
}

// lineReader reads a program line by line, with code of its own.
type lineReader struct {
	at           motion.Move
	moves        []motion.Move
	numbers      []int // of the stroke comments
	word         string
	feed         int32
	setup, ended bool
}

// line reads one line and returns what is wrong with it, or "".
func (r *lineReader) line(line string) string {
	if len(line) > 80 || line == "" {
		return "length"
	}
	for _, c := range []byte(line) {
		if c < ' ' || c > '~' {
			return "not plain ASCII"
		}
	}
	switch {
	case r.ended:
		return "after the end"
	case commentLine.MatchString(line):
		if m := strokeLine.FindStringSubmatch(line); m != nil {
			number, _ := strconv.Atoi(m[1])
			r.numbers = append(r.numbers, number)
		}
	case line == setupLine && !r.setup:
		r.setup = true
	case line == "M0":
	case line == "M2":
		r.ended = true
	default:
		return r.block(blockLine.FindStringSubmatch(line))
	}
	return ""
}

// block makes the move of a block, given as the groups of blockLine.
func (r *lineReader) block(m []string) string {
	switch {
	case m == nil:
		return "no block"
	case !r.setup:
		return "a move before the modes are set"
	case m[2]+m[3]+m[4] == "":
		return "no axis word"
	}
	if m[1] != "" {
		r.word = m[1]
	}
	if m[5] != "" {
		f, _ := strconv.Atoi(m[5])
		r.feed = int32(f)
	}
	next := r.at
	for i, axis := range []*int32{&next.X, &next.Y, &next.Z} {
		if m[2+i] != "" {
			v, _ := strconv.ParseFloat(m[2+i], 64)
			*axis = plane.Snap(v)
		}
	}
	next.Feed = r.feed
	switch {
	case r.word == "G0":
		next.Feed = 0
	case r.word != "G1":
		return "no motion word holds"
	case r.feed == 0:
		return "no feed"
	}
	r.moves = append(r.moves, next)
	r.at = next
	return ""
}

// readBack reads a program and requires the moves of the strokes, all modes set
// before the first move, and the end at the place to rest.
func readBack(t failer, text []byte, strokes []motion.Stroke, rest motion.Move) {
	t.Helper()
	var r lineReader
	lines := strings.Split(string(text), "\n")
	if lines[len(lines)-1] != "" {
		t.Fatalf("the last line has no end")
	}
	for n, line := range lines[:len(lines)-1] {
		if why := r.line(line); why != "" {
			t.Fatalf("line %d: %s: %q", n+1, why, line)
		}
	}
	if !r.ended {
		t.Fatalf("no M2 at the end")
	}
	if r.at.X != rest.X || r.at.Y != rest.Y || r.at.Z != rest.Z {
		t.Fatalf("the program ends at %+v, not at %+v", r.at, rest)
	}
	var want []motion.Move
	for i, s := range strokes {
		if s.Number != 0 && (i >= len(r.numbers) || r.numbers[i] != s.Number) {
			t.Fatalf("stroke comments %v, stroke %d is number %d", r.numbers, i, s.Number)
		}
		want = append(want, s.Moves...)
	}
	// Moves between the strokes are lifted, to the place to rest or straight up or
	// down.
	k, at := 0, motion.Move{}
	for _, m := range r.moves {
		if k < len(want) && m == want[k] {
			k++
		} else if m.Z <= 0 || m.Feed != 0 || (m.X != rest.X || m.Y != rest.Y) && (m.X != at.X || m.Y != at.Y) {
			t.Fatalf("move %+v is not in the plan", m)
		}
		at = m
	}
	if k != len(want) {
		t.Fatalf("move %d of the plan, %+v, is not written", k, want[k])
	}
}

func TestProgramsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := newStudio()
		k.sheet.Turned = rapid.IntRange(0, 3).Draw(t, "turned")
		k.sheet.Lay = model.Corner(rapid.IntRange(0, 3).Draw(t, "lay"))
		k.machine.RestX, k.machine.RestY = rapid.Float64Range(-300, 300).Draw(t, "rest x"), rapid.Float64Range(-300, 300).Draw(t, "rest y")
		k.machine.RestZ = rapid.Float64Range(5, 60).Draw(t, "rest z")
		k.machine.Decimals = rapid.IntRange(3, 4).Draw(t, "decimals")
		k.machine.Hover = rapid.SampledFrom([]float64{0, 2, 2.5, 5}).Draw(t, "hover")
		k.head.Title = rapid.String().Draw(t, "title")
		k.head.Brush = rapid.StringN(0, 200, -1).Draw(t, "brush")
		var gestures []stroke.Gesture
		for range rapid.IntRange(0, 5).Draw(t, "gestures") {
			var g stroke.Gesture
			for range rapid.IntRange(1, 6).Draw(t, "points") {
				g.Points = append(g.Points, k.at(rapid.Float64Range(20, 190).Draw(t, "x"), rapid.Float64Range(20, 270).Draw(t, "y"), rapid.Float64Range(0, 5).Draw(t, "press")))
			}
			gestures = append(gestures, g)
		}
		plan := k.plan(t, gestures)
		text := program.Layer(k.head, plan)
		readBack(t, text, plan.Strokes, plan.Rest)
		if string(text) != string(program.Layer(k.head, plan)) {
			t.Fatal("two texts for one plan")
		}
		walk := motion.MarginWalk([]motion.Painted{{Gestures: gestures, Brush: k.layer.Brush}}, &k.sheet, &k.machine)
		if len(walk.Moves) > 0 {
			readBack(t, program.Walk(k.head, walk), []motion.Stroke{{Moves: walk.Moves[1:]}}, walk.Rest)
		}
	})
}

// A program for a brush has no word that turns a spindle, opens coolant, changes
// a tool, waits or sets an origin.
func TestNoOtherWords(t *testing.T) {
	k := newStudio()
	strip, marks, _ := motion.CheckStrip(&k.layer, &k.sheet, &k.machine, motion.Lie{}, nil)
	k.head.Strip = marks
	text := string(program.Layer(k.head, k.plan(t, append(strip, k.gestures()...))))
	allowed := []string{"G0", "G1", "G17", "G21", "G40", "G49", "G90", "G94", "M0", "M2"}
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "(") {
			continue
		}
		for _, word := range strings.Fields(line) {
			if !slices.Contains(allowed, word) && !strings.ContainsAny(word[:1], "XYZF") {
				t.Errorf("the word %s in %q", word, line)
			}
		}
	}
	if strings.Count(text, "\nM0\n") != 2 || strings.Contains(text, "\r") {
		t.Error("want two pauses, after the strip and at the end, and line feeds alone")
	}
	for _, want := range []string{
		"(layer 2 of 4: bird)\n", "(brush: Fine sable)\n", "(ink: indigo #1d1b1a)\n",
		"(hash: ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad)\n", "touch off Z only", "Leave X and Y alone", "4 strokes and 3 check marks, ", "check strip: at the pause, measure a 0.75 mm", "caution:",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the head lacks %q", want)
		}
	}
}

// A written program continued from any line, after its modes and a lift, breaks
// a rule of the proof or paints its last strokes only; from the line that the
// proof gives for a stroke it paints that stroke and all after it.
func TestContinued(t *testing.T) {
	for _, hover := range []float64{0, 2.5} {
		t.Run(fmt.Sprintf("hover %g", hover), func(t *testing.T) { continued(t, hover) })
	}
}

func continued(t *testing.T, hover float64) {
	k := newStudio()
	k.machine.Hover = hover
	strip, marks, _ := motion.CheckStrip(&k.layer, &k.sheet, &k.machine, motion.Lie{}, nil)
	k.head.Strip = marks
	text := string(program.Layer(k.head, k.plan(t, append(strip, k.gestures()...))))
	lines := strings.SplitAfter(text, "\n")
	paints := func(text string) ([]proof.Stroke, bool) {
		p, _ := proof.Read("continued.nc", []byte(text))
		ok := proof.Passed(proof.Check(p, proof.Limits{Loose: true, Strokes: -1, SafeHeight: 5, Hover: hover, NearStrokes: model.NearStrokes, Sheet: proof.Rect{MaxX: 210, MaxY: 297}, TipX: 0.3, TipY: -0.12}))
		return proof.Measure(p, proof.Timing{}, nil).Strokes, ok
	}
	whole, ok := paints(text)
	if !ok || len(whole) != 7 {
		t.Fatalf("%d strokes", len(whole))
	}
	same := func(a, b proof.Stroke) bool { return a.From == b.From && a.To == b.To && a.Length == b.Length }
	starts := map[int]int{}
	for i, s := range whole {
		starts[s.StartLine] = len(whole) - i
		before := s.StartLine - 2
		if strings.HasPrefix(lines[before], "G0 Z") { // lifts higher for the travel
			before--
		}
		if m := strokeLine.FindStringSubmatch(strings.TrimSuffix(lines[before], "\n")); m == nil || m[1] != strconv.Itoa(s.Number) {
			t.Errorf("stroke %d starts after the line %q", s.Number, lines[before])
		}
	}
	broken := 0
	for line := range len(lines) - 1 {
		got, ok := paints(setupLine + "\nG0 Z5.000\n" + strings.Join(lines[line:], ""))
		n, start := starts[line+1]
		switch {
		case start && (!ok || len(got) != n):
			t.Errorf("continued from line %d: %d strokes, want %d; rules kept: %v", line+1, len(got), n, ok)
		case !ok:
			broken++
		case len(got) > len(whole) || !slices.EqualFunc(got, whole[len(whole)-len(got):], same):
			t.Errorf("continued from line %d: %+v", line+1, got)
		}
	}
	if broken < 7 {
		t.Errorf("only %d lines from which nothing can be continued", broken)
	}
}

func TestEmptyPlan(t *testing.T) {
	k := newStudio()
	readBack(t, program.Layer(program.Head{}, k.plan(t, nil)), nil, motion.Move{Y: 3170000, Z: 50000})
	readBack(t, program.Walk(program.Head{}, motion.Walk{Decimals: 3, Height: 100000, Rest: motion.Move{Z: 100000}}), nil, motion.Move{Z: 100000})
}

// Whatever the title of a picture is, the comments remain comments.
func FuzzComments(f *testing.F) {
	for _, seed := range []string{"Heron at first light", "(MSG, stop) M3 S8000", "a)\nM3 S1000\n(", "Fürwahr: ½ %;!~?\r\n\x18", "鷺と葦", strings.Repeat("reed ", 60), strings.Repeat("ø", 300), "e\u0301tude", ""} {
		f.Add(seed)
	}
	k := newStudio()
	plan := k.plan(f, k.gestures())
	f.Fuzz(func(t *testing.T, text string) {
		h := k.head
		h.Title, h.Job, h.Layer, h.Brush, h.Ink = text, text, text, text, text
		out := program.Layer(h, plan)
		readBack(t, out, plan.Strokes, plan.Rest)
		for line := range strings.Lines(string(out)) {
			if strings.HasPrefix(strings.ToUpper(line), "(MSG") || strings.ContainsAny(line, "!~?%;$@\\\"") {
				t.Fatalf("a controller may take %q for a message or a command", line)
			}
		}
	})
}

func ExampleLayer() {
	k := newStudio()
	plan, _ := motion.Make(k.gestures()[3:], &k.layer, &k.sheet, &k.machine, motion.Lie{})
	text := string(program.Layer(k.head, plan))
	fmt.Print(text[strings.Index(text, "G21"):])
	// Output:
	// G21 G17 G90 G94 G40 G49
	// G0 Z5.000
	// (stroke 1)
	// G0 X99.700 Y200.120
	// G1 Z-1.250 F300
	// Z5.000
	// (end)
	// G0 X0.000 Y317.000
	// M0
	// M2
}

func BenchmarkLayer(b *testing.B) {
	k := newStudio()
	var gestures []stroke.Gesture
	for i := range 1000 {
		var g stroke.Gesture
		for j := range 101 {
			g.Points = append(g.Points, k.at(20+float64(j)*0.3, 20+float64(i)*0.2, 0.2+float64(j%17)*0.1))
		}
		gestures = append(gestures, g)
	}
	plan := k.plan(b, gestures)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n = len(program.Layer(k.head, plan))
	}
	b.SetBytes(int64(n))
}
