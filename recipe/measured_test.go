package recipe_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
)

const toMeasure = "number,trial,x (mm),y (mm),across (deg),press (mm),feed (mm/min),expected (mm),measured (mm)\n"

// sheetRow is a line of a sheet's readings.
func sheetRow(b *strings.Builder, number *int, trial string, x, across, press, feed float64, measured string) {
	*number++
	fmt.Fprintf(b, "%d,%s,%g,100,%g,%.3f,%g,,%s\n", *number, trial, x, across, press, feed, measured)
}

// aWidth is the mark of an invented brush that was touched off 0.03 mm too deep.
func aWidth(press float64) string {
	if press+0.03 < 0 {
		return "0"
	}
	return fmt.Sprintf("%.3f", 0.25+0.5*(press+0.03)-0.01*(press+0.03)*(press+0.03))
}

// aSheet is a file of readings with all trials, as a painter fills it in.
func aSheet() string {
	var b strings.Builder
	b.WriteString(toMeasure)
	n := 0
	for i := range 5 {
		p := -0.2 + 0.05*float64(i)
		sheetRow(&b, &n, "ladder", 10, 90, p, 900, aWidth(p))
	}
	deepest := 0.0
	for _, p := range []float64{0.1, 0.2, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 1.5, 4, 2, 4.5, 3, 5, 0.5, 2.5} {
		deepest = max(deepest, p)
		sheetRow(&b, &n, "ladder", 10, 90, p, 900, aWidth(p))
		check := aWidth(min(p, 0.2))
		if deepest >= 5 {
			check = "0.55" // the tip did not come back
		}
		sheetRow(&b, &n, "ladder", 10, 90, min(p, 0.2), 900, check)
	}
	for _, p := range []float64{1.5, 3, 4.5} {
		for _, radius := range []float64{4, 8, 16} {
			lag := 0.3 * p
			sheetRow(&b, &n, "rings", 10, 0, p, 900, fmt.Sprintf("%.3f", 2*math.Sqrt(radius*radius-lag*lag)))
		}
	}
	for _, turn := range []float64{60, 90} {
		sheetRow(&b, &n, "corners", 10, 90+turn/2, 4.5, 900, fmt.Sprintf("%.3f", map[float64]float64{60: 0.4053, 90: 0.6627}[turn]*1.35))
	}
	for range 2 {
		for i := 1; i < 10; i++ {
			up := float64(min(i, 10-i)) * 0.8
			at := up + 0.06
			if i > 5 {
				at -= 4 / 75.0 * 0.3 * up // painted while the axis was ahead
			} else {
				at = up + 4/75.0*0.3*up
			}
			sheetRow(&b, &n, "ramp", 15*float64(i), 90, up, 900, aWidth(at))
		}
	}
	for feed := 300.0; feed <= 4800; feed *= 2 {
		dry := 0.25 + 0.5*2.03 - 0.01*2.03*2.03
		wide := fmt.Sprintf("%.3f", dry+2*math.Sqrt(0.005*dry*60/feed))
		if feed > 2400 {
			wide = "0"
		}
		sheetRow(&b, &n, "feeds", 10, 90, 2, feed, wide)
	}
	for _, share := range []float64{0, 1.0 / 16, 1.0 / 8, 0.25, 0.5, 1} {
		for _, across := range []float64{0, 90} {
			sheetRow(&b, &n, "dots", 10, across, 1, 0, fmt.Sprintf("%.3f", math.Sqrt(0.8*0.8+4*0.02*4*share)))
		}
	}
	for _, length := range []string{"12", "2400", "9", "2150"} {
		sheetRow(&b, &n, "load", 10, 0, 2, 900, length)
	}
	for _, off := range []string{"0.15", "-0.1"} {
		n++
		fmt.Fprintf(&b, "%d,tip,20,100,%d,1,0,%s,%s\n", n, map[string]int{"0.15": 0, "-0.1": 90}[off], map[string]string{"0.15": "9", "-0.1": "0"}[off], map[string]string{"0.15": "9.15", "-0.1": "-0.1"}[off])
	}
	return b.String()
}

const swatchRecipe = `# Fine sable, measured
## Sheet
| sheet | |
|---|---|
| size | A4 portrait |
| paper | hot-pressed |

## Trials
| trial | kind | brush | ink | press |
|---|---|---|---|---|
| ladder | ladder | [fine sable](../brushes/fine-sable.md) | indigo | 5 mm |
| rings | rings | [fine sable](../brushes/fine-sable.md) | indigo | 4.5 mm |
| corners | corners | [fine sable](../brushes/fine-sable.md) | indigo | 4.5 mm |
| ramp | ramp | [fine sable](../brushes/fine-sable.md) | indigo | 4 mm |
| feeds | feeds | [fine sable](../brushes/fine-sable.md) | indigo | 2 mm |
| dots | dwell | [fine sable](../brushes/fine-sable.md) | indigo | 1 mm |
| load | run-out | [fine sable](../brushes/fine-sable.md) | indigo | 2 mm |
| tip | tips | [fine sable](../brushes/fine-sable.md) | indigo | 1 mm |

## Results
### 3 May
[readings](fine-sable-readings.csv)
`

const measuredBrush = "# Fine sable\n## Brush: fine sable\n| brush | |\n|---|---|\n| caliper | 0.01 mm |\n\n## Swatch: fine sable\n[Measured](../swatches/fine-sable.md) with calipers.\n"

const measuredRecipe = `# Reeds
## Sheet
| sheet | |
|---|---|
| size | A5 landscape |

## Machine
[bench router](../machines/bench-router.md)

## Registration
| mark | x | y | size |
|---|---|---|---|
| corner | 15 mm | 15 mm | 8 mm |

## Layers
| layer | drawing | brush | ink |
|---|---|---|---|
| reeds | [reeds](reeds.dxf) | [fine sable](../brushes/fine-sable.md) | indigo |

The taper is ` + "`taper`" + `.
` + "```working\ntaper = atan(fine_sable.widest_mark / 2 / fine_sable.safe_press)\n```\n"

// measuredStudio is the test studio with a brush that links its swatch sheet.
func measuredStudio(t *testing.T, readings string) fstest.MapFS {
	t.Helper()
	files := studio(t)
	files["brushes/fine-sable.md"] = &fstest.MapFile{Data: []byte(measuredBrush)}
	files["swatches/fine-sable.md"] = &fstest.MapFile{Data: []byte(swatchRecipe)}
	files["swatches/fine-sable-readings.csv"] = &fstest.MapFile{Data: []byte(readings)}
	files[wrongRecipe] = &fstest.MapFile{Data: []byte(measuredRecipe)}
	return files
}

// A brush that states nothing but its caliper is known from its linked sheet: the
// touch, the curve, the safe press, lag, play, spreading, load and tip offset.
func TestMeasuredBrush(t *testing.T) {
	job, list := recipe.Read(measuredStudio(t, aSheet()), wrongRecipe)
	for _, p := range list {
		t.Log(p, p.Fix.Advice)
	}
	if list.HasErrors() || len(job.Brushes) == 0 || job.Brushes[0].Measured == nil {
		t.Fatal("the brush is not measured")
	}
	b := job.Brushes[0]
	m := b.Measured
	for _, c := range []struct {
		what              string
		got, want, within float64
	}{
		{"touch", m.Touches[0].Value, -0.025, 1e-9}, {"touch mark", b.TouchMark, 0.25, 0.02}, {"safe press", b.SafePress, 4.525, 1e-9},
		{"widest mark", b.WidestMark, 0.25 + 0.5*4.53 - 0.01*4.53*4.53, 0.02}, {"lag at the safe press", b.Lag.At(4.525), 1.35, 0.02},
		{"play", m.Play.Value, 0.06, 0.02}, {"spreading", m.Spread.Rate.Value, 0.005, 0.0005}, {"fastest feed", m.Spread.Fastest, 2400, 0},
		{"growth of a dot", m.Dot.Rate.Value, 0.02, 0.002}, {"load", m.Load.Length.Value, 2150, 1e-9}, {"run-in", m.RunIn.Value, 12, 1e-9},
		{"tip x", b.TipX, 0.15, 1e-9}, {"tip y", b.TipY, -0.1, 1e-9},
	} {
		if math.Abs(c.got-c.want) > c.within {
			t.Errorf("%s = %.5f, want %g ± %g", c.what, c.got, c.want, c.within)
		}
	}
	for p := 0.0; p <= b.SafePress; p += 0.25 {
		low, high, err := b.Curve.Band(p)
		truth := 0.25 + 0.5*p - 0.01*p*p
		if err != nil || truth < low || truth > high || high-low > 0.15 {
			t.Errorf("at %g mm the band is %g to %g, the truth %g: %v", p, low, high, truth, err)
		}
	}
	var files []string
	for _, f := range job.Files {
		files = append(files, f.Name)
	}
	if got := strings.Join(files, " "); !strings.HasSuffix(got, "swatches/fine-sable.md swatches/fine-sable-readings.csv") {
		t.Errorf("files: %s", got)
	}
	var facts []string
	for _, f := range job.Facts {
		if f.Section.Word == "Swatch" {
			facts = append(facts, f.Word+": "+f.Value)
		}
	}
	shown := map[string]string{}
	for _, w := range job.Workings {
		shown[w.Name] = w.Filled + " = " + w.Result
	}
	for _, name := range []string{"touched_at", "cone", "trail", "wider_by_spreading", "play_there", "load_area", "dot_then", "tip_right", "tip_up", "width_doubt", "reserve", "thinnest"} {
		if shown["fine_sable."+name] == "" {
			t.Errorf("how %s comes about is not shown: %v", name, shown)
		}
	}
	// How two dots are joined can be worked out from the numbers that are shown.
	dots := b.Curve.Marks()
	matches := false
	for i := 0; i+1 < len(dots); i++ {
		between := math.Round(100*(dots[i].Press+(dots[i+1].Press-dots[i].Press)/4)) / 100
		width, _ := b.Curve.WidthAt(between)
		matches = matches || strings.HasSuffix(shown["fine_sable.joined"], fmt.Sprintf(" = %.6g mm", width)) || strings.HasSuffix(shown["fine_sable.joined"], fmt.Sprintf(" = %.3f mm", width)) || strings.HasSuffix(shown["fine_sable.joined"], fmt.Sprintf(" = %.2f mm", width))
	}
	if !matches {
		t.Errorf("joined: %s", shown["fine_sable.joined"])
	}
	if len(facts) < 15 {
		t.Error(strings.Join(facts, "\n"))
	}
}

// A value that the notebook states counts instead of the measured one.
func TestStatedInsteadOfMeasured(t *testing.T) {
	files := measuredStudio(t, aSheet())
	files["brushes/fine-sable.md"].Data = []byte(strings.Replace(measuredBrush, "| caliper |", "| safe press | 3 mm |\n| lag | 0.5 mm |\n| tip offset x | 0.2 mm |\n| caliper |", 1))
	job, list := recipe.Read(files, wrongRecipe)
	if list.HasErrors() {
		t.Fatal(list)
	}
	b := job.Brushes[0]
	if b.SafePress != 3 || b.Lag.At(1) != 0.5 || b.TipX != 0.2 || b.Curve.SafePress() != 3 || math.Abs(b.WidestMark-(0.25+1.5-0.09)) > 0.02 {
		t.Errorf("%v %v %v %v", b.SafePress, b.Lag.At(1), b.TipX, b.WidestMark)
	}
}

// Results never change their own recipe's programs: the swatch recipe read as a
// recipe has the same brush with and without readings.
func TestOwnResultsDoNotCount(t *testing.T) {
	files := measuredStudio(t, aSheet())
	with, _ := recipe.Read(files, "swatches/fine-sable.md")
	files["swatches/fine-sable-readings.csv"] = &fstest.MapFile{Data: []byte(toMeasure)}
	without, list := recipe.Read(files, "swatches/fine-sable.md")
	if list.HasErrors() {
		t.Fatal(list)
	}
	for _, job := range []*model.Job{with, without} {
		if len(job.Trials) != 8 || job.Trials[0].Brush == nil || job.Trials[0].Brush.Curve != nil || job.Trials[0].Brush.Measured != nil {
			t.Errorf("%d trials; the brush knows its own sheet", len(job.Trials))
		}
	}
}

// Each fault of readings has a message at its place.
func TestReadingsRefused(t *testing.T) {
	sheet := aSheet()
	for name, c := range map[string]struct {
		readings func() string
		code     problem.Code
		severity problem.Severity
	}{
		"nothing was measured": {func() string { return toMeasure + "1,ladder,1,1,90,0.5,900,,\n" }, problem.NoReadings, problem.Error},
		"too few rungs":        {func() string { return toMeasure + "1,ladder,1,1,90,0.5,900,,0.5\n2,ladder,1,1,90,1,900,,0.8\n" }, problem.TooFewPresses, problem.Error},
		"lines are missing": {func() string {
			return strings.Join(append(strings.SplitAfter(sheet, "\n")[:7], strings.SplitAfter(sheet, "\n")[9:]...), "")
		}, problem.NoReadings, problem.Error},
		"another job's":         {func() string { return strings.ReplaceAll(sheet, ",ladder,", ",steps,") }, problem.OtherSheet, problem.Error},
		"deeper than the sheet": {func() string { return strings.ReplaceAll(sheet, ",5.000,", ",6.000,") }, problem.OtherSheet, problem.Error},
		"mixed units":           {func() string { return strings.Replace(sheet, ",2.000,900,,"+aWidth(2), ",2.000,900,,0.122", 1) }, problem.MixedUnits, problem.Error},
		"falling": {func() string {
			return strings.ReplaceAll(strings.ReplaceAll(sheet, ",4.000,900,,"+aWidth(4), ",4.000,900,,1.2"), ",4.500,900,,"+aWidth(4.5), ",4.500,900,,1.1")
		}, problem.NoCurve, problem.Error},
		"a slip of the caliper": {func() string { return strings.Replace(sheet, ",3.500,900,,"+aWidth(3.5), ",3.500,900,,2.91", 1) }, problem.OutlyingReading, problem.Warning},
		"touched off too deep":  {func() string { return strings.NewReplacer(",900,,0\n", ",900,,0.24\n").Replace(sheet) }, problem.NoTouch, problem.Warning},
		"measured in cm":        {func() string { return strings.Replace(sheet, "measured (mm)", "measured (cm)", 1) }, problem.MixedUnits, problem.Error},
		"a ladder in cm": {func() string {
			return strings.Join(strings.SplitAfter(strings.Replace(sheet, "measured (mm)", "measured (cm)", 1), "\n")[:46], "")
		}, problem.MixedUnits, problem.Warning},
		"no presses": {func() string {
			return regexp.MustCompile(`(?m)^((?:[^,\n]*,){5})[^,\n]*,`).ReplaceAllString(sheet, "$1")
		}, problem.OtherSheet, problem.Error},
		"less than nothing": {func() string { return strings.Replace(sheet, ",2.000,900,,"+aWidth(2), ",2.000,900,,-1.22", 1) }, problem.OutOfRange, problem.Error},
		"cut off":           {func() string { return strings.Join(strings.SplitAfter(sheet, "\n")[:46], "") }, problem.NoReadings, problem.Warning},
		"no light marks": {func() string {
			return regexp.MustCompile(`(?m)^((?:[0-9]+),ladder,.*,0\.[012]00,900,,).*$`).ReplaceAllString(sheet, "$1")
		}, problem.MissingRow, problem.Error},
		"no unit": {func() string { return strings.Replace(sheet, "measured (mm)", "measured", 1) }, problem.MissingUnit, problem.Error},
		"a word":  {func() string { return strings.Replace(sheet, aWidth(1.5), "wide", 1) }, problem.NotAQuantity, problem.Error},
	} {
		_, list := recipe.Read(measuredStudio(t, c.readings()), wrongRecipe)
		found := false
		for _, p := range list {
			found = found || p.Code == c.code && p.Severity == c.severity && !p.Fix.None() && p.Place.Known()
		}
		if !found {
			t.Errorf("%s: no %s in %v", name, c.code, list)
		}
	}
}

// A reading that the painter leaves out, with a reason, does not count.
func TestLeftOut(t *testing.T) {
	sheet := strings.Replace(aSheet(), "measured (mm)\n", "measured (mm),left out\n", 1)
	slip := strings.Replace(sheet, ",3.500,900,,"+aWidth(3.5), ",3.500,900,,2.91,smudged", 1)
	_, list := recipe.Read(measuredStudio(t, slip), wrongRecipe)
	for _, p := range list {
		if p.Code == problem.OutlyingReading {
			t.Error(p)
		}
	}
}

// Thirty people's files of one sheet are pooled; another day stays apart unless the
// brush says otherwise.
func TestPooled(t *testing.T) {
	files := measuredStudio(t, aSheet())
	var links strings.Builder
	for i := range 30 {
		name := fmt.Sprintf("swatches/by-%d.csv", i)
		files[name] = &fstest.MapFile{Data: []byte(strings.NewReplacer("measured (mm)\n", "measured (mm),by\n").Replace(aSheet()))}
		fmt.Fprintf(&links, "[readings](by-%d.csv)\n", i)
	}
	files["swatches/fine-sable.md"].Data = []byte(strings.Replace(swatchRecipe, "[readings](fine-sable-readings.csv)\n", links.String(), 1))
	job, list := recipe.Read(files, wrongRecipe)
	if list.HasErrors() {
		t.Fatal(list)
	}
	if n := job.Brushes[0].Measured.Scatter.Readings; n != 30*21 {
		t.Errorf("%d readings", n)
	}
	if job.Brushes[0].Measured.People.Known() {
		t.Error("people who are not named are compared")
	}
	other := measuredStudio(t, aSheet())
	other["swatches/other.md"] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(swatchRecipe, "indigo", "ochre"))}
	other["brushes/fine-sable.md"].Data = []byte(measuredBrush + "\n[And](../swatches/other.md).\n")
	if _, list := recipe.Read(other, wrongRecipe); !list.HasErrors() || list[0].Code != problem.SheetsDiffer {
		t.Error(list)
	}
	other["brushes/fine-sable.md"].Data = []byte(strings.Replace(measuredBrush, "| caliper |", "| pool | all |\n| caliper |", 1) + "\n[And](../swatches/other.md).\n")
	job, list = recipe.Read(other, wrongRecipe)
	if list.HasErrors() || len(job.Brushes[0].Measured.Touches) != 2 {
		t.Error(list)
	}
}

// A swatch's own table may state how its marks were painted and read: presses come
// twice, marks reached from above give the play, feeds the spreading, dots the growth.
func TestTableOfReadings(t *testing.T) {
	var rows strings.Builder
	row := func(press float64, width, feed, from, dwell, by, out string) {
		fmt.Fprintf(&rows, "| %g mm | %s mm | %s | %s | %s | %s | %s |\n", press, width, feed, from, dwell, by, out)
	}
	straight := func(press float64) string { return fmt.Sprintf("%.3f", 0.25+0.5*press) }
	for p := 0.5; p <= 4; p += 0.5 {
		row(p, straight(p), "", "", "", "fern", "")
		row(p, straight(p), "", "below", "", "moss", "")
		row(p, straight(p+0.1), "", "above", "", "moss", "")
	}
	row(2.5, "9", "", "", "", "moss", "smudged")
	for feed := 300.0; feed <= 2400; feed *= 2 {
		row(2.2, fmt.Sprintf("%.4f", 1.35+2*math.Sqrt(0.005*1.35*60/feed)), fmt.Sprintf("%g mm/min", feed), "", "", "", "")
	}
	for _, held := range []float64{0, 0.5, 1, 2} {
		row(1, fmt.Sprintf("%.4f", math.Sqrt(0.64+4*0.02*held)), "", "", fmt.Sprintf("%g s", held), "", "")
	}
	files := measuredStudio(t, aSheet())
	files["brushes/fine-sable.md"].Data = []byte("# Fine sable\n## Brush: fine sable\n| brush | |\n|---|---|\n| safe press | 4 mm |\n| caliper | 0.01 mm |\n\n## Swatch: fine sable\n| press | width | feed | from | dwell | by | left out |\n|---|---|---|---|---|---|---|\n" + rows.String())
	job, list := recipe.Read(files, wrongRecipe)
	if list.HasErrors() || job.Brushes[0].Measured == nil {
		t.Fatal(list)
	}
	m := job.Brushes[0].Measured
	for _, c := range []struct {
		what              string
		got, want, within float64
	}{
		{"play", m.Play.Value, 0.1, 0.01}, {"spreading", m.Spread.Rate.Value, 0.005, 0.0005}, {"growth", m.Dot.Rate.Value, 0.02, 0.001},
		{"widest mark", job.Brushes[0].WidestMark, 2.25, 0.01}, {"touch mark", job.Brushes[0].TouchMark, 0.25, 0.02},
	} {
		if !(math.Abs(c.got-c.want) <= c.within) {
			t.Errorf("%s = %.5f, want %g ± %g", c.what, c.got, c.want, c.within)
		}
	}
}

// Three people read one sheet: how they differ is found, with each one's own, and
// widens the band.
func TestPeople(t *testing.T) {
	files := measuredStudio(t, aSheet())
	sheet := func(by string, more float64) string {
		var out []string
		for i, line := range strings.Split(strings.TrimSpace(aSheet()), "\n") {
			at := strings.LastIndexByte(line, ',') + 1
			var width float64
			switch _, err := fmt.Sscan(line[at:], &width); {
			case i == 0:
				line += ",by"
			case err == nil && strings.Contains(line, ",ladder,") && width > 0:
				line = fmt.Sprintf("%s%.3f,%s", line[:at], width+more+0.02*float64(i%3-1), by)
			default:
				line += "," + by
			}
			out = append(out, line)
		}
		return strings.Join(out, "\n") + "\n"
	}
	links := ""
	for name, more := range map[string]float64{"fern": 0.05, "moss": -0.02, "reed": -0.03} {
		files["swatches/"+name+".csv"] = &fstest.MapFile{Data: []byte(sheet(name, more))}
	}
	for _, name := range []string{"fern", "moss", "reed"} {
		links += "[" + name + "](" + name + ".csv)\n"
	}
	files["swatches/fine-sable.md"].Data = []byte(strings.Replace(swatchRecipe, "[readings](fine-sable-readings.csv)\n", links, 1))
	job, list := recipe.Read(files, wrongRecipe)
	if list.HasErrors() {
		t.Fatal(list)
	}
	m := job.Brushes[0].Measured
	if strings.Join(m.Names, " ") != "fern moss reed" || !m.People.Known() {
		t.Fatalf("%v: %+v", m.Names, m.People)
	}
	for i, want := range []float64{0.05, -0.02, -0.03} {
		if off := m.People.Off[i]; math.Abs(off.Value-want) > 1e-6 {
			t.Errorf("%s is off by %g, want %g", m.Names[i], off.Value, want)
		}
	}
	spread := math.Sqrt((0.05*0.05 + 0.02*0.02 + 0.03*0.03) / 2)
	if math.Abs(m.People.Between.Value-spread) > 1e-4 || m.People.Within.Value > 1e-6 {
		t.Errorf("between %+v, within %+v", m.People.Between, m.People.Within)
	}
	if low, high, err := job.Brushes[0].Curve.Band(2); err != nil || high-low < 2*1.9*spread/math.Sqrt(3) {
		t.Errorf("the band is %g to %g: %v", low, high, err)
	}
	shown := ""
	for _, w := range job.Workings {
		if w.Name == "fine_sable.between_people" {
			shown = w.Filled + " = " + w.Result
		}
	}
	if !strings.HasSuffix(shown, "= 0.043589 mm") {
		t.Errorf("shown: %s", shown)
	}
}
