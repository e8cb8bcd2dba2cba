package runner_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/proof"
)

// bow is a bed that was never shown to the program: its height (mm) over a place
// on the sheet, A5 landscape.
type bow func(x, y float64) float64

// touched is a table of Flatness of n rows each way, each height off by a normal
// error of so many mm, and written to a hundredth.
func (b bow) touched(n int, scatter float64, draw *rand.Rand) string {
	out := "\n## Flatness\n\n| x | y | height |\n|---|---|---|\n"
	for i := range n {
		for k := range n {
			x, y := 8+194*float64(i)/float64(n-1), 8+132*float64(k)/float64(n-1)
			out += fmt.Sprintf("| %.1f mm | %.1f mm | %.2f ± %g mm |\n", x, y, b(x, y)-b(12, 12)+scatter*draw.NormFloat64(), max(scatter, 0.01))
		}
	}
	return out
}

// onBed is the pond on a bed whose heights are touched. Its brush keeps a reserve
// that does not depend on them, so that the same strokes are planned on any bed.
func onBed(t testing.TB, heights string) (recipe string) {
	t.Helper()
	studio, recipe := pond(t)
	rewrite(t, filepath.Join(studio, "brushes", "sable.md"), func(line string) string {
		return strings.Replace(line, "| caliper ", "| reserve | 0.3 mm |\n| caliper ", 1)
	})
	if heights == "" {
		return recipe
	}
	rewrite(t, recipe, func(line string) string {
		switch {
		case strings.HasPrefix(line, "| margin"):
			return line + "\n| touch-off x | 12 mm |\n| touch-off y | 12 mm |"
		case line == "## Registration":
			return heights + "\n" + line
		}
		return line
	})
	return recipe
}

// axesAt is where the axes are while a stroke is painted.
type axesAt struct{ x, y, z float64 }

var axisWord = regexp.MustCompile(`([XYZ])(-?[0-9.]+)`)

// strokesOf reads the moves on the paper of each stroke from a program's text:
// those from the end of the lowering to the beginning of the lift.
func strokesOf(t testing.TB, text []byte) (out [][]axesAt) {
	t.Helper()
	var at axesAt
	var moves []axesAt
	end := func() {
		if len(moves) > 0 {
			out = append(out, moves[:len(moves)-1])
		}
		moves = nil
	}
	painting := false
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "(") {
			end()
			painting = strings.HasPrefix(line, "(stroke")
			continue
		}
		for _, m := range axisWord.FindAllStringSubmatch(line, -1) {
			v, err := strconv.ParseFloat(m[2], 64)
			if err != nil {
				t.Fatal(err)
			}
			*map[string]*float64{"X": &at.x, "Y": &at.y, "Z": &at.z}[m[1]] = v
		}
		if painting && !strings.HasPrefix(line, "G0") && axisWord.MatchString(line) {
			moves = append(moves, at)
		}
	}
	end()
	return out
}

// along is the press that a stroke of a flat bed has after a share of its way.
func along(flat []axesAt, share float64) float64 {
	lengths := make([]float64, len(flat))
	for i := 1; i < len(flat); i++ {
		lengths[i] = lengths[i-1] + math.Hypot(flat[i].x-flat[i-1].x, flat[i].y-flat[i-1].y)
	}
	at := share * lengths[len(flat)-1]
	for i := 1; i < len(flat); i++ {
		if at <= lengths[i] && lengths[i] > lengths[i-1] {
			t := (at - lengths[i-1]) / (lengths[i] - lengths[i-1])
			return -(flat[i-1].z + t*(flat[i].z-flat[i-1].z))
		}
	}
	return -flat[len(flat)-1].z
}

// surePress (mm) is the least press at which widths are compared. A lighter line
// is none of those that are sure to be painted: it has its width or none.
const surePress = 0.25

// widthErrors are the differences (mm) between the width that a stroke has on the
// bed and the one that was planned, a mm of way each, and the deepest true press.
func widthErrors(curve *brush.Curve, strokes, flat [][]axesAt, bed bow) (squares float64, n int, deepest float64) {
	width := func(press float64) float64 {
		if press < 0 {
			return 0
		}
		w, err := curve.WidthAt(min(press, curve.SafePress()))
		if err != nil {
			panic(err)
		}
		return w
	}
	for k, s := range strokes {
		total := 0.0
		for i := 1; i < len(s); i++ {
			total += math.Hypot(s[i].x-s[i-1].x, s[i].y-s[i-1].y)
		}
		way := 0.0
		for i := 1; i < len(s); i++ {
			a, b := s[i-1], s[i]
			d := math.Hypot(b.x-a.x, b.y-a.y)
			steps := int(math.Ceil(d)) // none where it is pressed in one place
			for j := range steps {
				share := (float64(j) + 0.5) / float64(steps)
				x, y, z := a.x+share*(b.x-a.x), a.y+share*(b.y-a.y), a.z+share*(b.z-a.z)
				press := bed(x, y) - bed(12, 12) - z
				deepest = max(deepest, press)
				planned := along(flat[k], (way+share*d)/max(total, 1e-9))
				if planned < surePress {
					continue
				}
				off := width(press) - width(planned)
				squares += off * off
				n++
			}
			way += d
		}
	}
	return squares, n, deepest
}

// checkStatedBed reads the programs with nothing but what they state: each stroke
// is found, and pressed as deep as the proof with the recipe's heights says.
func checkStatedBed(t *testing.T, r *runner.Result) {
	t.Helper()
	for _, l := range r.Layers {
		path, _ := proof.Read(l.File, l.Program)
		m := proof.Measure(proof.OnStatedBed(path), proof.Timing{}, nil)
		if len(m.Strokes) != len(l.Measures.Strokes) || math.Abs(m.Lowest-l.Measures.Lowest) > 0.0005 {
			t.Errorf("%s: read alone it has %d strokes and a lowest Z of %g, want %d and %g", l.File, len(m.Strokes), m.Lowest, len(l.Measures.Strokes), l.Measures.Lowest)
		}
	}
}

// outOfFlat is a bed with a random tilt and bow, 1.5 mm out of flat in all.
func outOfFlat(draw *rand.Rand) bow {
	c := make([]float64, 5)
	for i := range c {
		c[i] = draw.NormFloat64()
	}
	raw := func(x, y float64) float64 {
		u, v := (x-105)/97, (y-74)/66
		return c[0]*u + c[1]*v + c[2]*u*u + c[3]*u*v + c[4]*v*v
	}
	low, high := math.Inf(1), math.Inf(-1)
	for x := 8.0; x <= 202; x += 2 {
		for y := 8.0; y <= 140; y += 2 {
			low, high = min(low, raw(x, y)), max(high, raw(x, y))
		}
	}
	return func(x, y float64) float64 { return raw(x, y) * 1.5 / (high - low) }
}

// Beds tilted and bowed by 1.5 mm: nine touches, good to 0.05 mm, make the error
// of the widths at least ten times less, in the root mean square over twelve beds.
func TestBowedBed(t *testing.T) {
	flat := mustRun(t, onBed(t, ""), runner.Options{})
	var before, after float64
	var points int
	for seed := range uint64(12) {
		draw := rand.New(rand.NewPCG(seed, 1))
		bed := outOfFlat(draw)
		r := mustRun(t, onBed(t, bed.touched(3, 0.05, draw)), runner.Options{})
		if r.Failed() {
			t.Errorf("a check fails: %v", r.Checks)
		}
		checkStatedBed(t, r)
		for i, l := range r.Layers {
			planned := strokesOf(t, flat.Layers[i].Program)
			curve := l.Model.Brush.Curve
			without, n, _ := widthErrors(curve, planned, planned, bed)
			with, m, deepest := widthErrors(curve, strokesOf(t, l.Program), planned, bed)
			before, after, points = before+without/float64(n), after+with/float64(m), points+1
			if deepest > l.Model.Brush.SafePress {
				t.Errorf("pressed %g mm deep", deepest)
			}
		}
	}
	before, after = math.Sqrt(before/float64(points)), math.Sqrt(after/float64(points))
	t.Logf("widths are off by %.3f mm (root mean square) without following the bed, %.3f mm with: %.1f times less", before, after, before/after)
	if before < 10*after {
		t.Errorf("only %.1f times less", before/after)
	}
}

// checkRefused wants a bed to be refused because the machine cannot follow it.
func checkRefused(t *rapid.T, problems problem.List) {
	for _, p := range problems {
		if p.Severity == problem.Error && p.Code != problem.OutOfReach && p.Code != problem.BedTooSteep {
			t.Fatal(problems)
		}
	}
}

// A recipe that says where brushes are touched off gets a program over nine
// places, and their rows ready to paste: filled in, they are all that it takes.
func TestPlacesToTouch(t *testing.T) {
	recipe := onBed(t, "\n")
	r := mustRun(t, recipe, runner.Options{})
	var page, walk string
	for _, o := range r.Outputs {
		switch o.Name {
		case "index.html":
			page = string(o.Data)
		case "0-heights.nc":
			walk = string(o.Data)
		}
	}
	if r.Failed() || strings.Count(walk, "(place ") != 9 || strings.Count(walk, "\nM0\n") != 10 {
		t.Fatalf("checks %v, program\n%s", r.Checks, walk)
	}
	rows := regexp.MustCompile(`(?s)\| x \| y \| height \|\n.*?</pre>`).FindString(page)
	rows = strings.TrimSuffix(rows, "</pre>")
	if strings.Count(rows, "|  mm |") != 9 {
		t.Fatalf("rows to paste: %q", rows)
	}
	filled := onBed(t, "\n## Flatness\n\n"+strings.ReplaceAll(rows, "|  mm |", "| 0.1 mm |"))
	_, problems, err := runner.Run(filled, runner.Options{})
	if err != nil || len(problems) > 0 {
		t.Errorf("with the rows filled in: %v %v", err, problems)
	}
	// With one place less than the painting needs, a warning says so.
	short := strings.Split(strings.TrimSpace(strings.ReplaceAll(rows, "|  mm |", "| 0.1 mm |")), "\n")
	_, problems, _ = runner.Run(onBed(t, "\n## Flatness\n\n"+strings.Join(short[:len(short)-3], "\n")), runner.Options{})
	if !slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Code == problem.BeyondHeights && p.Severity == problem.Warning }) {
		t.Errorf("painted beyond the touched places in silence: %v", problems)
	}
}

// Whatever the bed, no program leaves the machine's reach, presses past the safe
// press on the touched surface, or travels lower above the paper than the safe
// height: by the program's text and the heights as they were made.
func TestAnyBed(t *testing.T) {
	flat := mustRun(t, onBed(t, ""), runner.Options{})
	rapid.Check(t, func(rt *rapid.T) {
		c := make([]float64, 5)
		for i := range c {
			c[i] = math.Round(rapid.Float64Range(-1.2, 1.2).Draw(rt, "term")*50) / 50
		}
		rows := rapid.IntRange(2, 4).Draw(rt, "rows")
		if rows == 2 {
			c[2], c[3], c[4] = 0, 0, 0
		}
		bed := bow(func(x, y float64) float64 {
			u, v := (x-105)/97, (y-74)/66
			return c[0]*u + c[1]*v + c[2]*u*u + c[3]*u*v + c[4]*v*v
		})
		r, problems, err := runner.Run(onBed(t, bed.touched(rows, 0, rand.New(rand.NewPCG(1, 1)))), runner.Options{})
		if err != nil {
			rt.Fatal(err)
		}
		if r == nil {
			checkRefused(rt, problems)
			return
		}
		if r.Failed() {
			rt.Fatal(r.Checks)
		}
		for i, l := range r.Layers {
			planned := strokesOf(t, flat.Layers[i].Program)
			squares, n, deepest := widthErrors(l.Model.Brush.Curve, strokesOf(t, l.Program), planned, bed)
			// Heights are written to 0.01 mm, and Z follows within 0.01 mm.
			if deepest > l.Model.Brush.DeepestPress()+0.02 || math.Sqrt(squares/float64(n)) > 0.02 {
				rt.Fatalf("%v: pressed %.3f mm deep, widths off by %.3f mm", c, deepest, math.Sqrt(squares/float64(n)))
			}
		}
	})
}
