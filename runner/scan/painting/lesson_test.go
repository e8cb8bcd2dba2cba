package painting_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/runner"
	"mahlstick/runner/scan/painting"
	"mahlstick/runner/scan/scene"
)

const lessonName = "guide/18-three-sheets.md"

// sleeve is what the lesson's brush was before its first sheet.
const sleeve = `| brush       |         |
|-------------|---------|
| widest mark | 2.40 mm |
| safe press  | 5.0 mm  |
| touch       | 0.03 mm |
| touch mark  | 0.25 mm |

`

// lessonBrush is what nobody in the lesson knows.
func lessonBrush() scene.Brush {
	return scene.Brush{Width: scene.Cone(0.25, 15.5, 0.012), Lag: scene.Proportional(0.5, 5)}
}

// The lesson of three sheets says what its scans say: they are painted again by the
// simulator, each with the rows of the one before, and the last rows are those of the
// recipe.
func TestLesson(t *testing.T) {
	t.Parallel()
	data, err := notebooks.Files.ReadFile(lessonName)
	if err != nil {
		t.Fatal(err)
	}
	lesson := string(data)
	studio := t.TempDir()
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(lesson, "## Brush: market round\n\n")
	_, tail, _ := strings.Cut(rest, "## Layers\n")
	brush := sleeve
	swatch := ""
	for i, deep := range []float64{0.03, -0.02, 0.01} {
		file := filepath.Join(studio, lessonName)
		text := head + "## Brush: market round\n\n" + brush + swatch + "## Layers\n" + tail
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		job, problems, err := runner.Run(file, runner.Options{})
		if err != nil || len(problems) > 0 {
			t.Fatalf("sheet %d: %v %v", i+1, problems, err)
		}
		l := job.Layers[0]
		sheet, err := scene.Paint(148, 105, scene.Layer{Program: string(l.Program), Ink: scene.Indigo, Deep: deep, Brush: lessonBrush()})
		if err != nil {
			t.Fatal(err)
		}
		look := scene.Scanner{DPI: 600, Turn: 0.4, Blur: 0.8, Noise: 0.008, Falloff: 0.1, Border: 2, Lid: 0.2, Seed: uint64(i)}.Look(sheet)
		r := painting.Read(look, 25.4/600, job.Job, job.Layers)
		var said strings.Builder
		if err := r.Write(&said); err != nil {
			t.Fatal(err)
		}
		t.Logf("sheet %d\n%s", i+1, said.String())
		says(t, lesson, fmt.Sprintf("| %d     | %.3f mm ", i+1, r.Meaning.Before))
		for line := range strings.Lines(said.String()) {
			if i == 0 && strings.HasPrefix(line, "  ") {
				says(t, lesson, "    "+line)
			}
		}
		_, rows, _ := strings.Cut(r.Results(), "measured |\n|-------|-------|-------|----------|\n")
		for row := range strings.Lines(rows) {
			says(t, lesson, row)
		}
		brush, swatch = pasted(t, brush, swatch, strings.TrimSuffix(said.String(), r.Results()), i == 2)
	}
	for line := range strings.Lines(brush + swatch) {
		says(t, lesson, line)
	}
}

var decimal = regexp.MustCompile(`\d+\.\d+`)

// says wants a line in a text, its decimal numbers within 0.02 or a hundredth, those with
// three decimals within 0.004: the simulator rounds differently on other processors.
func says(t *testing.T, text, line string) {
	t.Helper()
	var numbers, within []float64
	for _, n := range decimal.FindAllString(line, -1) {
		v, _ := strconv.ParseFloat(n, 64)
		numbers, within = append(numbers, v), append(within, max(0.02, v/100))
		if _, decimals, _ := strings.Cut(n, "."); len(decimals) == 3 {
			within[len(within)-1] = 0.004
		}
	}
	pattern := strings.ReplaceAll(regexp.QuoteMeta(decimal.ReplaceAllString(line, "\x00")), "\x00", `(\d+\.\d+)`)
	for _, found := range regexp.MustCompile(pattern).FindAllStringSubmatch(text, -1) {
		alike := true
		for i, want := range numbers {
			v, _ := strconv.ParseFloat(found[i+1], 64)
			alike = alike && math.Abs(v-want) <= within[i]
		}
		if alike {
			return
		}
	}
	t.Errorf("the lesson does not say %q", line)
}

// pasted is the brush with the rows that a text gives; those after the last sheet are
// not pasted any more.
func pasted(t *testing.T, brush, swatch, said string, last bool) (string, string) {
	t.Helper()
	if last {
		return brush, swatch
	}
	head, table, found := strings.Cut(said, "In place of all below \"Swatch: market round\":\n\n")
	if found {
		swatch = "## Swatch: market round\n\n" + table + "\n"
	}
	for line := range strings.Lines(head) {
		if !strings.HasPrefix(line, "|") {
			continue
		}
		word := strings.TrimSpace(strings.Split(line, "|")[1])
		old := regexp.MustCompile(`(?m)^\| ` + word + ` .*\n`)
		if old.MatchString(brush) {
			brush = old.ReplaceAllLiteralString(brush, line)
		} else {
			brush = strings.TrimSuffix(brush, "\n") + line + "\n"
		}
	}
	return brush, swatch
}
