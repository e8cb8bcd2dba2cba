package impression

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/proof"
	"mahlstick/runner/record"
)

func TestFirstDifference(t *testing.T) {
	long := strings.Repeat("x", 200)
	for _, c := range []struct {
		was, is string
		program bool
		want    string
	}{
		{"a\nb\nc\n", "a\nB\nc\n", false, "f:2\n  was  b\n  is   B"},
		{"a\nb\n", "a\nb\nc\n", false, "f:3\n  was  (the end)\n  is   c"},
		{"a\nb\n", "a\nb", false, "f:2\n  was  b\n  is   b (without a line end)"},
		{"", "a", false, "f:1\n  was  (the end)\n  is   a"},
		{"(hash: 1)\nG1 X1\n", "(hash: 2)\nG1 X2\n", true, "f:2\n  was  G1 X1\n  is   G1 X2"},
		{"(hash: 1)\nG1 X1\n", "(hash: 2)\nG1 X1\n", true, "f:1\n  was  (hash: 1)\n  is   (hash: 2)"},
		{"(hash: 1)\nG1 X1\n", "(hash: 2)\nG1 X1\nM2\n", true, "f:3\n  was  (the end)\n  is   M2"},
		{long + "1" + long, long + "2" + long, false, "f:1\n  was  …" + long[:40] + "1" + long[:79] + "…\n  is   …" + long[:40] + "2" + long[:79] + "…"},
		{"bell \a", "bell \x1b[31m", false, "f:1\n  was  bell �\n  is   bell �[31m"},
		{"Grün", "Grüß", false, "f:1\n  was  Grün\n  is   Grüß"},
	} {
		d := firstDifference([]byte(c.was), []byte(c.is), c.program)
		d.File = "f"
		if d.String() != c.want {
			t.Errorf("%q and %q:\n%s\nwant\n%s", c.was, c.is, d, c.want)
		}
	}
}

func TestWords(t *testing.T) {
	one := pageText([]byte("<style>a{b:c}</style><h1 class=\"x\">A  page</h1>\n<p>of <em>words</em><svg><text>7</text></svg></p>"))
	two := pageText([]byte("<style>d{}</style><h1>A page</h1><p class=\"new\">of\n<em>words</em><svg/></p>"))
	if string(one) != string(two) || string(one) != "A page of words " {
		t.Errorf("%q and %q", one, two)
	}
	for _, odd := range []string{"", "<", "<style", "a<b", "<svg><svg></svg>x", ">"} {
		pageText([]byte(odd)) // comes to an end
	}
}

// program paints straight lines through the points.
func program(points ...proof.Point) []byte {
	var b strings.Builder
	b.WriteString("G21 G90 G94\nG0 Z5\n")
	fmt.Fprintf(&b, "G0 X%.4f Y%.4f\n", points[0].X, points[0].Y)
	for _, p := range points {
		fmt.Fprintf(&b, "G1 X%.4f Y%.4f Z%.4f F600\n", p.X, p.Y, p.Z)
	}
	b.WriteString("G0 Z5\nM2\n")
	return []byte(b.String())
}

func TestApart(t *testing.T) {
	line := []proof.Point{{X: 10, Y: 10, Z: -1}, {X: 50, Y: 10, Z: -1}}
	for name, c := range map[string]struct {
		is   []proof.Point
		want float64
	}{
		"the same":            {line, 0},
		"moved across by 0.3": {[]proof.Point{{X: 10, Y: 10.3, Z: -1}, {X: 50, Y: 10.3, Z: -1}}, 0.3},
		"pressed 0.2 deeper":  {[]proof.Point{{X: 10, Y: 10, Z: -1.2}, {X: 50, Y: 10, Z: -1.2}}, 0.2},
		"longer by 5":         {[]proof.Point{{X: 10, Y: 10, Z: -1}, {X: 55, Y: 10, Z: -1}}, 5},
		"the other way round": {[]proof.Point{{X: 50, Y: 10, Z: -1}, {X: 10, Y: 10, Z: -1}}, 0},
		"with a point more":   {[]proof.Point{{X: 10, Y: 10, Z: -1}, {X: 30, Y: 10, Z: -1}, {X: 50, Y: 10, Z: -1}}, 0},
		"far away":            {[]proof.Point{{X: 310, Y: 410, Z: -1}, {X: 350, Y: 410, Z: -1}}, 500},
	} {
		a := markDistance("1-line.nc", program(line...), program(c.is...))
		// The brush comes down and lifts within the same lines.
		if math.Abs(a.MM-c.want) > 1e-3 {
			t.Errorf("%s: %.6f mm apart, want %g\n%s", name, a.MM, c.want, a)
		}
	}
	if a := markDistance("1.nc", program(line...), []byte("G21 G90\nG0 X1 Y1 Z5\nM2\n")); !math.IsInf(a.MM, 1) || !strings.Contains(a.String(), "only one of the two") {
		t.Errorf("a program that paints nothing: %s", a)
	}
	if a := markDistance("1.nc", nil, []byte("garbage")); a.MM != 0 {
		t.Errorf("two programs that paint nothing: %s", a)
	}
}

// The grid finds what looking at every pair finds.
func TestApartAgainstEveryPair(t *testing.T) {
	point := func(t *rapid.T) proof.Point {
		at := rapid.Float64Range(0, 40)
		return proof.Point{X: at.Draw(t, "x"), Y: at.Draw(t, "y"), Z: rapid.Float64Range(-4, -0.1).Draw(t, "z")}
	}
	path := func(t *rapid.T, name string) []proof.Move {
		var moves []proof.Move
		from := point(t)
		for range rapid.IntRange(1, 12).Draw(t, name) {
			to := point(t)
			moves = append(moves, proof.Move{Kind: proof.Feed, From: from, To: to})
			from = to
		}
		return moves
	}
	rapid.Check(t, func(t *rapid.T) {
		one, two := path(t, "one"), path(t, "two")
		grid := newNeighbours(two)
		for _, m := range one {
			for i := range 5 {
				p := between(m.From, m.To, float64(i)/4)
				want := math.Inf(1)
				for _, other := range two {
					want = min(want, toMove(p, other))
				}
				if got := grid.nearest(p); got != want {
					t.Fatalf("the nearest of %v is %v away, want %v", p, got, want)
				}
			}
		}
	})
}

func TestOutOfDate(t *testing.T) {
	value := func(name, formula, text string) record.Value {
		return record.Value{Name: name, Formula: formula, Value: text}
	}
	run := &Frozen{Outputs: Files{"1-a.nc": []byte("G1 X1\n"), "index.html": []byte("page")}, Record: &record.Record{
		Engine: 1, Version: "1", Title: "Pond", Values: []record.Value{value("a", "", "1 mm"), value("b", "a * 2", "2 mm")},
		Outputs: []record.File{record.NewFile("1-a.nc", []byte("G1 X1\n")), record.NewFile("index.html", []byte("page"))},
	}}
	same := []record.Output{{Name: "1-a.nc", Data: []byte("G1 X1\n")}, {Name: "index.html", Data: []byte("another page")}}
	for _, c := range []struct {
		outputs []record.Output
		now     record.Record
		want    string
	}{
		{same, record.Record{Engine: 1, Title: "Another title", Values: run.Record.Values}, ""},
		{same, record.Record{Engine: 1, Values: []record.Value{value("a", "", "1 mm"), value("b", "a * 2", "2.1 mm")}}, "b was 2 mm and is 2.1 mm"},
		{same, record.Record{Engine: 1, Values: []record.Value{value("a", "", "1 mm"), value("b", "2 * a", "2 mm")}}, `b was "a * 2" and is "2 * a"`},
		{same, record.Record{Engine: 1, Values: run.Record.Values[:1]}, "b is gone"},
		{same, record.Record{Engine: 1, Values: append([]record.Value{value("c", "", "3")}, run.Record.Values...)}, "c is new: 3"},
		{same, record.Record{Engine: 1, Values: []record.Value{run.Record.Values[1], run.Record.Values[0]}}, "the order of the values has changed"},
		{[]record.Output{{Name: "1-a.nc", Data: []byte("G1 X2\n")}}, record.Record{Engine: 1, Values: run.Record.Values}, "1-a.nc differs from line 1 on"},
		{nil, record.Record{Engine: 1, Values: run.Record.Values}, "1-a.nc was made, is no longer made"},
		{append(same[:2:2], record.Output{Name: "2-b.nc"}), record.Record{Engine: 1, Values: run.Record.Values}, "2-b.nc was not made, is made now"},
		{same, record.Record{Engine: 2, Version: "2", Values: run.Record.Values}, "it was made by engine 1, this is engine 2: CHANGELOG.md lists what changed; mahlstick 1 makes the same programs"},
	} {
		if got := strings.Join(OutOfDate(run, c.outputs, &c.now), "; "); got != c.want {
			t.Errorf("out of date: %q, want %q", got, c.want)
		}
	}
}

func TestNumbers(t *testing.T) {
	for name, want := range map[string]int{"01": 1, "09": 9, "10": 10, "99": 99, "100": 100, "1": 0, "001": 0, "00": 0, "-1": 0, "+1": 0, "0x": 0, "": 0, "١": 0} {
		if got := Number(name); got != want {
			t.Errorf("Number(%q) is %d, want %d", name, got, want)
		}
		if want > 0 && Name(want) != name {
			t.Errorf("Name(%d) is %q", want, Name(want))
		}
	}
}
