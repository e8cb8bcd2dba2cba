package logbook

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// swatchPage is the page of a swatch with so many readings, trials and sheets.
func swatchPage(readings, trials, sheets int) *Page {
	p := sample()
	p.Layers = p.Layers[:1]
	p.Layers[0].Sheet, p.Layers[0].Before, p.Layers[0].Strip = 1, 0, nil
	p.Swatch = &Swatch{Sheets: sheets, File: "to-measure.csv", Assumed: true}
	for i := range trials {
		p.Swatch.Trials = append(p.Swatch.Trials, Trial{Name: fmt.Sprintf("trial %d", i+1), First: i*readings/trials + 1, Last: (i + 1) * readings / trials, Text: fmt.Sprintf("Measure the width in the middle of each mark of %d.", i)})
	}
	for i := range readings {
		p.Swatch.Readings = append(p.Swatch.Readings, Reading{Number: i + 1, Sheet: 1 + i*sheets/readings, X: float64(10 + i%19*10), Y: float64(10 + i/19*4), Trial: fmt.Sprintf("trial %d", i*trials/readings+1)})
	}
	return p
}

// Each reading has its number at its place in a drawing, and a box; each trial
// what to look for.
func TestMeasuringSheet(t *testing.T) {
	for _, n := range [][3]int{{1, 1, 1}, {77, 1, 1}, {171, 10, 1}, {300, 20, 3}, {480, 9, 6}} {
		html, err := swatchPage(n[0], n[1], n[2]).Render()
		if err != nil {
			t.Fatal(err)
		}
		text := string(html)
		numbers := regexp.MustCompile(`<text x="[-\d.]+" y="[-\d.]+">(\d+)</text>`).FindAllStringSubmatch(text, -1)
		boxes := regexp.MustCompile(`<b>(\d+)</b><span class="box"></span>`).FindAllStringSubmatch(text, -1)
		if len(numbers) < n[0] || len(boxes) != n[0] || strings.Count(text, "<dt>") != n[1] || strings.Count(text, `class="sheet numbered"`) != n[2] {
			t.Errorf("%v: %d numbers, %d boxes", n, len(numbers), len(boxes))
		}
		for i, b := range boxes {
			if b[1] != strconv.Itoa(i+1) {
				t.Errorf("%v: box %d is of %s", n, i+1, b[1])
			}
		}
		if strings.Contains(text, "drawn = painted") {
			t.Error("the page shows what a swatch does not have")
		}
	}
}

// In print the boxes fit below each other, and are no narrower than can be
// written in.
func TestBoxesFit(t *testing.T) {
	for readings := 1; readings <= 480; readings += 7 {
		s := swatchPage(readings, min(readings, 10), 1).Swatch
		m := regexp.MustCompile(`^--rows:(\d+);--row:([\d.]+)mm$`).FindStringSubmatch(string(s.Boxes()))
		if m == nil {
			t.Fatal(s.Boxes())
		}
		rows, _ := strconv.Atoi(m[1])
		row, _ := strconv.ParseFloat(m[2], 64)
		columns := (s.rows() + rows - 1) / rows
		if float64(rows)*row > boxesHigh+0.5 || columns > 6 || row < 2.6 || readings <= 171 && (row < easyRow || columns > 4) {
			t.Errorf("%d readings: %d columns of %d rows of %g mm", readings, columns, rows, row)
		}
	}
}

// The drawings of all sheets fit in their room, and one is as large as it can be.
func TestDrawingsFit(t *testing.T) {
	for sheets := 1; sheets <= 20; sheets++ {
		p := swatchPage(50, 5, sheets)
		m := regexp.MustCompile(`^--wide:([\d.]+)mm;--high:([\d.]+)mm$`).FindStringSubmatch(string(drawings(p)))
		if m == nil {
			t.Fatal(drawings(p))
		}
		wide, _ := strconv.ParseFloat(m[1], 64)
		high, _ := strconv.ParseFloat(m[2], 64)
		fits := false
		for across := 1; across <= sheets; across++ {
			rows := float64((sheets + across - 1) / across)
			fits = fits || wide*float64(across)+3*float64(across-1) <= drawingsWide+0.1 && rows*(high+6) <= drawingsHigh+0.1
		}
		if !fits || sheets == 1 && high < drawingsHigh-7 {
			t.Errorf("%d sheets of %g x %g mm", sheets, wide, high)
		}
	}
}
