package runner_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/part"
	"mahlstick/runner/stage"
)

// wellDepth and wellSeconds are those of all wells in these tests.
const (
	wellDepth   = 7.5
	wellSeconds = "0.75"
)

// addWells adds a well for each ink to a recipe, beside the sheet and in the reach of
// the machine; false where there is no room. Every other one has a strip and is
// wiped. The job is that of the recipe without them.
func addWells(t *testing.T, recipe string, job *model.Job) bool {
	t.Helper()
	x0, y0 := job.Sheet.OnBed(0, 0)
	x1, y1 := job.Sheet.OnBed(job.Sheet.Width, job.Sheet.Height)
	side := func(a, b float64) float64 { return math.Copysign(1, a+b) }
	width := math.Abs(x1 - x0)
	if width+72 > job.Machine.ReachX {
		return false
	}
	text := "## Wells\n\n| ink | x | y | opening | rim | depth | seconds | wipe x | wipe y | scrap x | scrap y | scrap width | scrap height |\n" + strings.Repeat("|---", 13) + "|\n"
	var inks []string
	for _, l := range job.Layers {
		if slices.Contains(inks, l.Ink.Name) {
			continue
		}
		x, y := side(x0, x1)*(width+40), side(y0, y1)*(25+58*float64(len(inks)))
		rest := " |  |  |  |  | "
		if len(inks)%2 == 0 {
			rest = fmt.Sprintf("%g mm | %g mm | %g mm | %g mm | 50 mm | 21 mm", x+14, y, x-35, min(side(y0, y1)*18, side(y0, y1)*39)+y)
		}
		text += fmt.Sprintf("| %s | %g mm | %g mm | 20 mm | 2 mm | %g mm | %s s | %s |\n", l.Ink.Name, x, y, wellDepth, wellSeconds, rest)
		inks = append(inks, l.Ink.Name)
	}
	data, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(recipe, bytes.Replace(data, []byte("\n## Layers"), []byte("\n"+text+"\n## Layers"), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	return 25+58*float64(len(inks)) < job.Machine.ReachY
}

// Random jobs with wells: every rule holds; each program begins with a visit; from
// visit to visit no more is painted than a load has, counted from the text alone;
// and the strokes are those of the same job that is loaded by hand at its pauses
// where no strip takes ink.
func TestWells(t *testing.T) {
	visits, jobs := 0, 0
	for number := 1; number <= 3; number++ {
		recipe := scribbled(t, number, []string{"as drawn", "concealed", "longer"}[number%3], 0, 0)
		rowBefore(t, filepath.Dir(filepath.Dir(recipe)), "| caliper |", "| holds | 150 mm |")
		hand, _, err := runner.Run(recipe, runner.Options{})
		if err != nil || hand == nil || !addWells(t, recipe, hand.Job) {
			continue
		}
		r, problems, err := runner.Run(recipe, runner.Options{})
		if err != nil || r == nil {
			t.Logf("job %d: %v %v", number, err, problems)
			continue
		}
		jobs++
		for _, k := range r.Checks {
			if !k.OK {
				t.Errorf("job %d, %s: %s: found %s, allowed %s", number, k.Program, k.Name, k.Found, k.Allowed)
			}
		}
		for i, l := range r.Layers {
			what := fmt.Sprintf("job %d, %s", number, l.File)
			visits += checkVisits(t, what, l, 150)
			if l.Model.Well.Scrap == nil && !slices.Equal(strokeLines(l.Program), strokeLines(hand.Layers[i].Program)) {
				t.Errorf("%s: other strokes than by hand", what)
			}
			resumed := resume(t, r, l, part.Part{From: len(l.Motion.Strokes), To: len(l.Motion.Strokes)})
			checkVisits(t, what+", resumed", resumed.Proven, 150)
			if bytes.Count(resumed.Program, []byte("\nM0\n")) != 1 {
				t.Errorf("%s: a resumed program pauses before it paints", what)
			}
		}
	}
	t.Logf("%d jobs, %d visits", jobs, visits)
	if jobs < 3 || visits < 12 {
		t.Error("too few to show anything")
	}
}

var visitLine = regexp.MustCompile(`(?m)^\(loads the brush in the well of .*\)$`)

// checkVisits follows a program by its text: it is how many visits it makes.
func checkVisits(t *testing.T, what string, l stage.Proven, load float64) int {
	t.Helper()
	w, b := l.Model.Well, l.Model.Brush
	sections := visitLine.Split(string(l.Program), -1)
	if strings.Contains(sections[0], "(stroke ") {
		t.Errorf("%s: it paints before it is loaded", what)
	}
	into := fmt.Sprintf("X%.*f Y%.*f\nG1 Z%.*f F", l.Motion.Decimals, w.X-b.TipX, l.Motion.Decimals, w.Y-b.TipY, l.Motion.Decimals, -wellDepth)
	for i, section := range sections[1:] {
		visit, strokes, found := strings.Cut(section, "\n(stroke ")
		if !found || !strings.Contains(visit, into) || strings.Count(visit, "\nG4 P"+wellSeconds+"\n") != 1 || strings.Count(visit, "G4") != 1 || strings.Contains(visit, "M0") {
			t.Fatalf("%s: visit %d:%s", what, i+1, visit)
		}
		painted := 0.0
		if w.Scrap != nil {
			mark, _ := w.RunIn(b)
			painted = mark.Length
		}
		for _, c := range widths(t, l, []byte("G21 G90\nG0 Z9\n(stroke "+strokes)) {
			painted += c.length()
		}
		if painted > load && !b.Lag.Known() { // then the way is not that of the mark
			t.Errorf("%s: %.1f mm painted with load %d of %g mm", what, painted, i+1, load)
		}
	}
	return len(sections) - 1
}

// strokeLines are the lines of a program's strokes.
func strokeLines(text []byte) (out []string) {
	for _, s := range strings.Split(string(text), "\n(stroke ")[1:] {
		var lines []string
		for _, line := range strings.Split(s, "\n")[1:] {
			if strings.HasPrefix(line, "(") || line == "M0" || strings.HasPrefix(line, "G0 Z") {
				break
			}
			lines = append(lines, line)
		}
		out = append(out, strings.Join(lines, "\n"))
	}
	return out
}
