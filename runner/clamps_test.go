package runner_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/stage"
)

// standing is a clamp as it really stands: on the sheet, which may have moved since,
// or on the bed. It knows nothing of the program.
type standing struct {
	x, y, width, length, height float64
	bed                         bool
}

func (c standing) row(i int) string {
	on := map[bool]string{true: "bed", false: "sheet"}[c.bed]
	return fmt.Sprintf("| c%d | %.2f mm | %.2f mm | %.2f mm | %.2f mm | %.2f mm | %s |\n", i+1, c.x, c.y, c.width, c.length, c.height, on)
}

// workbench is a simulated bench: a holder over a bed that is not flat, a sheet that
// was put back, and clamps.
type workbench struct {
	holder, under float64
	sheet         driedSheet
	zeroX, zeroY  float64 // what is fixed on the bed has moved by, in the machine's axes
	bed           bow     // height of the paper by places of the sheet as it was laid
	clamps        []standing
}

// isIn reports whether a point of the bed, in mm of the machine's axes, is over a
// clamp.
func (w *workbench) isIn(c standing, x, y float64) bool {
	x, y = w.of(c, x, y)
	return x > c.x && x < c.x+c.width && y > c.y && y < c.y+c.length
}

// of is a point of the bed as a clamp's place is counted.
func (w *workbench) of(c standing, x, y float64) (float64, float64) {
	if c.bed {
		return x - w.zeroX, y - w.zeroY
	}
	return w.sheet.painted(x, y)
}

// paper is the height of the paper at a place, the nearest on the sheet.
func (w *workbench) paper(x, y float64) float64 {
	if w.bed == nil {
		return 0
	}
	return w.bed(min(max(x, 0), 210), min(max(y, 0), 148)) - w.bed(12, 12)
}

// meets is a clamp that the holder or the tip is in with the axes above the tip at a place; -1 for
// none. The holder is looked at every half millimetre of its rim, and in its middle.
func (w *workbench) meets(x, y, z float64) int {
	for i, c := range w.clamps {
		top := c.height + w.paper(c.x+c.width/2, c.y+c.length/2)
		if z < top && w.isIn(c, x, y) {
			return i
		}
		u, v := w.of(c, x, y)
		away := math.Hypot(max(c.x-u, u-c.x-c.width, 0), max(c.y-v, v-c.y-c.length, 0))
		if z+w.under >= top || away > 0.8*w.holder {
			continue
		}
		half := w.holder / 2
		n := int(math.Ceil(w.holder / 0.5))
		for k := range n + 1 {
			along := -half + w.holder*float64(k)/float64(n)
			for _, p := range [...][2]float64{{along, -half}, {along, half}, {-half, along}, {half, along}, {along, 0}, {0, along}} {
				if w.isIn(c, x+p[0], y+p[1]) {
					return i
				}
			}
		}
	}
	return -1
}

const (
	pondSafePress = 5     // mm, of the pond's brush
	readTo        = 0.001 // mm to which marks are read, and coordinates written
)

// follow runs a program on the bench, from rest, and reports the first line at which
// brush or holder is in a clamp, too deep in the paper
// or out of reach; "" if there is none.
func (w *workbench) follow(text []byte, at axesAt) (line string) {
	started := false
	for l := range strings.Lines(string(text)) {
		words := axisWord.FindAllStringSubmatch(l, -1)
		if strings.HasPrefix(l, "(") || len(words) == 0 {
			continue
		}
		to := at
		for _, m := range words {
			v, _ := strconv.ParseFloat(m[2], 64)
			*map[string]*float64{"X": &to.x, "Y": &to.y, "Z": &to.z}[m[1]] = v
		}
		if !started { // the first lift
			started, at = true, to
			continue
		}
		n := int(math.Ceil(math.Hypot(to.x-at.x, to.y-at.y)/0.7)) + 1
		for k := range n + 1 {
			t := float64(k) / float64(n)
			if z := to.z - w.paper(to.x-w.zeroX, to.y-w.zeroY); z < -pondSafePress-0.02 || min(to.x-w.zeroX, to.y-w.zeroY) < -readTo || max(to.x-w.zeroX-300, to.y-w.zeroY-400) > readTo {
				return strings.TrimSpace(l) + " (safe press or reach)"
			}
			if i := w.meets(at.x+t*(to.x-at.x), at.y+t*(to.y-at.y), at.z+t*(to.z-at.z)); i >= 0 {
				return fmt.Sprintf("%s (clamp %d)", strings.TrimSpace(l), i+1)
			}
		}
		at = to
	}
	return ""
}

// clampedPond is the pond with clamps; rows are added to the machine.
func clampedPond(t testing.TB, rows string, clamps []standing, more string) string {
	t.Helper()
	recipe := onBed(t, more)
	studio := filepath.Dir(filepath.Dir(recipe))
	rewrite(t, filepath.Join(studio, "machines", "bench.md"), func(line string) string {
		if strings.HasPrefix(line, "| bed ") {
			return rows + line
		}
		return line
	})
	table := "## Clamps\n\n| clamp | x | y | width | length | height | on |\n|---|---|---|---|---|---|---|\n"
	for i, c := range clamps {
		table += c.row(i)
	}
	rewrite(t, recipe, func(line string) string {
		if line == "## Layers" {
			return table + "\n" + line
		}
		return line
	})
	return recipe
}

// drawClamps are up to four clamps, most of them at the edges of an A5 sheet.
func drawClamps(t *rapid.T) (out []standing) {
	round := func(v float64) float64 { return math.Round(v*100) / 100 }
	for range rapid.IntRange(1, 4).Draw(t, "clamps") {
		c := standing{
			width: round(rapid.Float64Range(3, 40).Draw(t, "width")), length: round(rapid.Float64Range(3, 40).Draw(t, "length")),
			height: round(rapid.SampledFrom([]float64{0.1, 2, 8, 14, 35, 35}).Draw(t, "height")), bed: rapid.Bool().Draw(t, "on the bed"),
			x: round(rapid.Float64Range(-20, 215).Draw(t, "x")), y: round(rapid.Float64Range(-20, 150).Draw(t, "y")),
		}
		switch rapid.IntRange(0, 5).Draw(t, "side") {
		case 0:
			c.x = -c.width + 4
		case 1:
			c.x = 206
		case 2:
			c.y = -c.length + 4
		case 3:
			c.y = 144
		}
		out = append(out, c)
	}
	return out
}

// Whatever the clamps, the seating and the bed, no program runs brush or holder into
// a clamp, or the job is refused with a message that names one. The bench is
// simulated from the programs' text alone.
func TestAnyClamps(t *testing.T) {
	ran := map[string]int{}
	rapid.Check(t, func(rt *rapid.T) {
		w, recipe := drawBench(t, rt)
		r, problems, err := runner.Run(recipe, runner.Options{})
		os.RemoveAll(filepath.Dir(filepath.Dir(recipe)))
		if err != nil {
			rt.Fatal(err)
		}
		if r == nil {
			ran[refusedForClamps(rt, problems)]++
			return
		}
		ran["painted"]++
		if r.Failed() {
			rt.Fatal(r.Checks[slices.IndexFunc(r.Checks, func(c stage.Check) bool { return !c.OK })])
		}
		checkPrograms(rt, w, r, ran)
	})
	t.Log(ran)
	if ran["painted"] < 10 || ran[string(problem.ClampInWay)] < 5 {
		t.Errorf("too few of a kind: %v", ran)
	}
}

// checkPrograms runs all programs of a job on a bench.
func checkPrograms(t *rapid.T, w *workbench, r *runner.Result, ran map[string]int) {
	for _, l := range r.Layers {
		for _, s := range l.Motion.Strokes {
			if a, b := s.Moves[0], s.Moves[1]; b.Feed == 0 && (a.X != b.X || a.Y != b.Y) {
				ran["round"]++
			} else if a.Z > l.Motion.Safe {
				ran["over"]++
			}
		}
	}
	rest := axesAt{r.Job.Machine.RestX, r.Job.Machine.RestY, r.Job.Machine.RestZ}
	for _, o := range r.Outputs {
		if !strings.HasSuffix(o.Name, ".nc") {
			continue
		}
		ran["programs"]++
		bench, from := *w, rest
		if strings.HasPrefix(o.Name, "1-") || strings.HasPrefix(o.Name, "0-heights") { // before the sheet was moved
			bench.sheet, bench.zeroX, bench.zeroY = driedSheet{growX: 1, growY: 1}, 0, 0
		} else {
			from.x, from.y = from.x+bench.zeroX, from.y+bench.zeroY
		}
		if line := bench.follow(o.Data, from); line != "" {
			t.Fatalf("%s: %s\n%s", o.Name, line, o.Data)
		}
	}
}

// refusedForClamps is the code of the first error, which must be of a kind that
// clamps or the bench can cause.
func refusedForClamps(t *rapid.T, problems problem.List) string {
	for _, p := range problems.Sorted() {
		if p.Severity == problem.Error && !slices.Contains([]problem.Code{problem.ClampInWay, problem.NoWayRound, problem.OutOfReach, problem.BedTooSteep}, p.Code) {
			t.Fatal(problems)
		}
	}
	for _, p := range problems.Sorted() {
		if p.Severity == problem.Error {
			return string(p.Code)
		}
	}
	t.Fatal("refused without an error")
	return ""
}

// drawBench draws a bench and writes its recipe.
func drawBench(t *testing.T, rt *rapid.T) (*workbench, string) {
	w := &workbench{holder: rapid.SampledFrom([]float64{6, 16, 30}).Draw(rt, "holder"), under: rapid.SampledFrom([]float64{0, 0, 12}).Draw(rt, "holder height"),
		sheet: driedSheet{growX: 1, growY: 1}, clamps: drawClamps(rt)}
	rows := fmt.Sprintf("| holder | %g mm |\n| holder height | %g mm |\n", w.holder, w.under)
	if rapid.Bool().Draw(rt, "hover") {
		rows += "| hover | 3 mm |\n"
	}
	if rapid.Bool().Draw(rt, "air run") {
		rows += "| air run | 1 mm |\n"
	}
	if rapid.Bool().Draw(rt, "rest z") {
		rows += "| rest z | 20 mm |\n"
	}
	more := ""
	if rapid.Bool().Draw(rt, "bed") {
		a, b := rapid.Float64Range(-0.6, 0.6).Draw(rt, "along x"), rapid.Float64Range(-0.6, 0.6).Draw(rt, "bent")
		w.bed = func(x, y float64) float64 { u, v := (x-105)/97, (y-74)/66; return a*u + b*u*u - b*v }
		more = w.bed.touched(3, 0, rand.New(rand.NewPCG(1, 1)))
	}
	recipe := clampedPond(t, rows, w.clamps, more)
	if rapid.Bool().Draw(rt, "put back") {
		w.putBack(t, rt, recipe)
	}
	return w, recipe
}

// putBack moves the sheet, or the zero, before the second layer, and writes the
// readings into the recipe.
func (w *workbench) putBack(t *testing.T, rt *rapid.T, recipe string) {
	v := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(rt, name) }
	zero := "kept"
	w.sheet = driedSheet{turn: v("turn", 4) * math.Pi / 180, growX: 1, growY: 1, shiftX: v("shift x", 4), shiftY: v("shift y", 4)}
	if rapid.Bool().Draw(rt, "lost") {
		zero, w.sheet.turn = "lost", 0
		w.zeroX, w.zeroY = w.sheet.shiftX, w.sheet.shiftY
	}
	marks := [][2]float64{{15, 15}, {195, 15}, {15, 133}}
	registration, seating := "", "\n## Seating\n\n| layer | mark | x | y | zero |\n|---|---|---|---|---|\n"
	for i, m := range marks {
		name := []string{"corner", "right", "upper"}[i]
		if i > 0 {
			registration += fmt.Sprintf("| %s | %g mm | %g mm | 6 mm | reeds |\n", name, m[0], m[1])
		}
		x, y := w.sheet.at(m[0], m[1])
		seating += fmt.Sprintf("| bird | %s | %.4f mm | %.4f mm | %s |\n", name, x, y, zero)
	}
	rewrite(t, recipe, func(line string) string {
		switch {
		case strings.HasPrefix(line, "| mark "):
			return line + " painted |"
		case strings.HasPrefix(line, "|--------|-------|-------|------|"):
			return line + "---|"
		case strings.HasPrefix(line, "| corner"):
			return line + " |\n" + strings.TrimSuffix(registration, "\n")
		case line == "## Layers":
			return seating + "\n" + line
		}
		return line
	})
}
