package formula_test

import (
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// evaluate returns all problems of the lines of a file, sorted.
func evaluate(f *source.File, scope formula.Scope) problem.List {
	made, list := lines(f)
	_, more := formula.Evaluate(made, scope, 1)
	return append(list, more...).Sorted()
}

// Every message, with its place, and every fix. A fix that can be applied
// leaves a line without that problem.
func TestMessages(t *testing.T) {
	data, err := os.ReadFile("testdata/wrong.md")
	if err != nil {
		t.Fatal(err)
	}
	f := source.New("wrong.md", data)
	list := evaluate(f, fineSable(t))
	var b strings.Builder
	if err := problem.Print(&b, list); err != nil {
		t.Fatal(err)
	}
	golden(t, "testdata/wrong.golden", b.String())

	faulty := map[int]bool{}
	for _, p := range list {
		faulty[p.Place.Line()] = true
		fixed, ok := p.Fixed()
		if !ok {
			continue
		}
		for _, q := range evaluate(source.New("wrong.md", fixed), fineSable(t)) {
			if q.Place.Line() == p.Place.Line() && q.Code == p.Code {
				t.Errorf("%v: %q does not fix it: %v", p, p.Fix.Advice, q)
			}
		}
	}
	sound := []string{"half_width", "one_reading", "loop_b", "loop_c", "needs_loop", "fine_sable.touch", "größe_2"}
	for i, line := range strings.Split(string(data), "\n") {
		name, _, ok := strings.Cut(line, " = ")
		if ok && !faulty[i+1] && !slices.Contains(sound, name) {
			t.Errorf("line %d: %q has no problem", i+1, line)
		}
	}
}

// The same recipe with its lines in any order gives the same results and
// names the same faults.
func TestAnyOrder(t *testing.T) {
	data, err := os.ReadFile("testdata/working.md")
	if err != nil {
		t.Fatal(err)
	}
	made, list := lines(source.New("working.md", data))
	if len(list) > 0 {
		t.Fatal(list)
	}
	scope := fineSable(t)
	want, list := formula.Evaluate(made, scope, 1)
	if len(list) > 0 {
		t.Fatal(list)
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		order := random.Perm(len(made))
		shuffled := make([]*formula.Formula, len(made))
		for i, j := range order {
			shuffled[i] = made[j]
		}
		got, list := formula.Evaluate(shuffled, scope, 1)
		if len(list) > 0 {
			t.Fatal(list)
		}
		for i, j := range order {
			a, b := got[i], want[j]
			if a.Formula != b.Formula || a.Working.Result != b.Working.Result || a.Working.FilledMath != b.Working.FilledMath ||
				!slices.Equal(a.Working.Needs, b.Working.Needs) || !slices.Equal(a.Working.UsedBy, b.Working.UsedBy) {
				t.Fatalf("%v came out as %+v, want %+v", order, a.Working, b.Working)
			}
		}
	}
}

// A chain of any length is worked out, and a loop of any length is named.
func TestLongChains(t *testing.T) {
	const n = 20_000
	var b strings.Builder
	for i := n; i > 0; i-- {
		b.WriteString("x" + strconv.Itoa(i) + " = x" + strconv.Itoa(i-1) + " + 1*mm\n")
	}
	chain := b.String()
	made, list := lines(source.New("a.md", []byte(chain+"x0 = 1*mm\n")))
	results, more := formula.Evaluate(made, nil, 1)
	if list = append(list, more...); len(list) > 0 {
		t.Fatal(list[0])
	}
	if q, _ := results[0].Value.Quantity(); q.Number() != n+1 {
		t.Errorf("x%d is %v", n, q)
	}
	made, _ = lines(source.New("a.md", []byte(chain+"x0 = x"+strconv.Itoa(n)+"\n")))
	_, list = formula.Evaluate(made, nil, 1)
	if len(list) != 1 || list[0].Code != "formula-loop" || len(list[0].Message) > 400 || !strings.HasSuffix(list[0].Message, "-> ... -> x20000") {
		t.Errorf("%d problems, %v", len(list), list[:min(len(list), 2)])
	}
}

// Two knots are two loops, each named once and in full.
func TestTwoLoops(t *testing.T) {
	list := evaluate(source.New("a.md", []byte("a = b\nb = a + c\nc = d\nd = c\ne = a + d\nf = f\n")), nil)
	var got []string
	for _, p := range list {
		got = append(got, p.Message)
	}
	want := []string{
		"these formulas need each other in a loop: a -> b -> a",
		"these formulas need each other in a loop: c -> d -> c",
		"the formula needs itself: f -> f",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
	if len(list) > 0 && (len(list[0].Related) != 1 || list[0].Related[0].Place.Line() != 2) {
		t.Errorf("the loop's other place is %v", list[0].Related)
	}
}

// Wanted dimensions are checked at the formula's place.
func TestWanted(t *testing.T) {
	scope := fineSable(t)
	text := "2 * fine_sable.safe_press"
	f := source.New("a.md", []byte(text))
	made, _ := formula.Parse("reeds.feed", text, f.Place(0, len(text)))
	speed := speedDim
	made.Want = &speed
	results, list := formula.Evaluate([]*formula.Formula{made}, scope, 1)
	if len(list) != 1 || list[0].Code != "wrong-dimension" || list[0].Place != f.Place(0, len(text)) || results[0].OK {
		t.Errorf("got %v", list)
	}
}

// A scope whose names have other names, and places.
type aliases struct{ formula.Values }

func (aliases) Canonical(name string) string {
	if rest, ok := strings.CutPrefix(name, "brush."); ok {
		return "fine_sable." + rest
	}
	return name
}

func TestAliases(t *testing.T) {
	made, list := lines(source.New("a.md", []byte("fine_sable.touch = 0.1*mm\nx = brush.touch * 2\ny = fine_sable.touch * 2\n")))
	results, more := formula.Evaluate(made, aliases{formula.Values{}}, 1)
	if list = append(list, more...); len(list) > 0 {
		t.Fatal(list)
	}
	if got := results[1].Value.String(); got != "0.2 mm" {
		t.Errorf("x is %v", got)
	}
	if w := results[0].Working; !slices.Equal(w.UsedBy, []string{"x", "y"}) || !slices.Equal(results[1].Working.Needs, []string{"fine_sable.touch"}) {
		t.Errorf("used by %v, needs %v", w.UsedBy, results[1].Working.Needs)
	}
}

func TestFold(t *testing.T) {
	for name, want := range map[string]string{
		"Fine sable": "fine_sable", " fine-sable ": "fine_sable", "fine__sable": "fine_sable", "fine\u00a0sable": "fine_sable", "Größe": "grösse",
		"A\u0308pfel": "äpfel", "ΘΗΤΑ": "θητα", "_x_": "x", "a.B": "a.b", "": "", "safe_press": "safe_press", "-a": "a",
	} {
		if got := formula.Fold(name); got != want {
			t.Errorf("%q folds to %q, want %q", name, got, want)
		}
		if got := formula.Fold(formula.Fold(name)); got != want {
			t.Errorf("%q folded twice is %q, want %q", name, got, want)
		}
	}
	// Composed and decomposed spelling are one name.
	results := sheet(t, "ä = 2*mm\nb = a\u0308 * 2\nµ_x = 1\nc = μ_X", nil)
	if results["b"].Value.String() != "4 mm" || results["c"].Value.String() != "1" {
		t.Errorf("b is %v, c is %v", results["b"].Value, results["c"].Value)
	}
}

// Where the author may have meant something else, the fix asks and changes
// nothing.
func TestQuestions(t *testing.T) {
	for text, want := range map[string]string{
		"3*mm / 2 min":                   "did you mean 2*min or (2*min)?",
		"1/2π":                           "did you mean 2*π or (2*π)?",
		"2^3 mm":                         "did you mean 3*mm or (3*mm)?",
		"8*mm / 8.5inches":               "did you mean 8.5*inch or (8.5*inch)?",
		"1,234 * mm":                     "did you mean 1.234 or 1234?",
		"half width * 2":                 "write half_width if it is one name, or an operator between two",
		"sin(30)":                        "did you mean 30*deg or 30*rad?",
		"squirt(4*mm^2)":                 "did you mean sqrt?",
		"2 * fine_sable.widest":          "did you mean fine_sable.widest_mark?",
		"fine_sable.safe_press = 5.5*mm": "write == to compare two values",
	} {
		at := source.New("a.md", []byte(text)).Place(0, len(text))
		f, list := formula.Parse("a", text, at)
		_, more := formula.Evaluate([]*formula.Formula{f}, fineSable(t), 1)
		list = append(list, more...)
		if len(list) != 1 || list[0].Fix.Advice != want || len(list[0].Edits()) > 0 {
			t.Errorf("%s: %v, want %q and no edit", text, list, want)
			for _, p := range list {
				t.Log(p.Fix.Advice, p.Edits())
			}
		}
	}
}
