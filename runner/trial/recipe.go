package trial

import (
	"math"
	"path"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/model"
)

// Outline is what a new swatch recipe is made from.
type Outline struct {
	Title   string // of the brush's notebook
	File    string // the recipe, below the studio's root
	Machine string // notebook of the machine, below the studio's root; "" if it is not known
	Paper   string // notebook of the paper; "" for none
	Brushes []OutlinedBrush
}

// OutlinedBrush is a brush to be measured.
type OutlinedBrush struct {
	Title, Link string
	SafePress   float64 // mm, 0 if it is not known
}

// newTrials are the trials of a new swatch recipe. Their presses are shares of
// the safe press.
var newTrials = [...]struct {
	kind    model.TrialKind
	feed    string
	share   float64
	repeats string
}{
	{model.Ladder, "900 mm/min", 1, "3"}, {model.Ramp, "900 mm/min", 1, "1"}, {model.Rings, "900 mm/min", 0.8, "1"},
	{model.Corners, "900 mm/min", 0.8, "1"}, {model.Feeds, "300 mm/min", 0.5, "3"}, {model.Dwell, "900 mm/min", 0.2, "1"},
	{model.Touches, "900 mm/min", 0.2, "1"}, {model.SetOff, "900 mm/min", 0.5, "1"}, {model.RunOut, "900 mm/min", 0.5, "1"},
}

// Recipe is the text of a new swatch recipe. Presses are left empty where the
// brush states no safe press: nothing is invented.
func Recipe(o Outline, millimetres func(float64) string) []byte {
	var b strings.Builder
	line := func(parts ...string) { b.WriteString(strings.Join(parts, "") + "\n") }
	stem := strings.TrimSuffix(path.Base(o.File), ".md")
	line("# Swatch of ", o.Title)
	line()
	line("What the brush does on this paper and with this ink. Change the paper, the ink or")
	line("the trials to what you use, and remove the rows that you do not need.")
	line()
	line("## Sheet")
	line()
	sheet := [][]string{{"sheet", ""}, {"size", "A4 portrait"}, {"margin", "10 mm"}}
	if o.Paper != "" {
		sheet = append(sheet, []string{"paper", "[" + strings.TrimSuffix(path.Base(o.Paper), ".md") + "](" + link(o.File, o.Paper) + ")"})
	}
	writeTable(line, sheet)
	line()
	line("## Machine")
	line()
	if o.Machine == "" {
		line("Link the notebook of your machine here.")
	} else {
		line("[", strings.TrimSuffix(path.Base(o.Machine), ".md"), "](", link(o.File, o.Machine), ")")
	}
	line()
	line("## Trials")
	line()
	if o.unknownPress() {
		line("The safe press of the brush is not known. By hand, press the wet brush slowly on")
		line("scrap beside a ruler and lift it again. Choose presses from which the tip still")
		line("springs back to its point, well before the hair lies flat up to the ferrule, and")
		line("write them in the column press.")
		line()
	}
	o.trials(line, millimetres)
	line()
	line("## Results")
	line()
	line("### First sheet")
	line()
	line("After painting, copy `", ToMeasureName, "` from the logbook's folder of this job next to")
	line("this recipe as `", stem, "-readings.csv`. Measure the marks by their numbers on the page,")
	line("write the lengths in its last column, and link it here. Then add a section `## Swatch`")
	line("to the notebook of the brush, with a link to this recipe: jobs that use the brush are")
	line("then painted by these readings.")
	return []byte(b.String())
}

func (o Outline) unknownPress() bool {
	for _, b := range o.Brushes {
		if b.SafePress == 0 {
			return true
		}
	}
	return false
}

// trials writes the table of trials. Where there are several brushes, the tips
// are compared too.
func (o Outline) trials(line func(...string), millimetres func(float64) string) {
	rows := [][]string{{"trial", "kind", "brush", "ink", "feed", "press", "repeats"}}
	add := func(b OutlinedBrush, kind model.TrialKind, feed string, share float64, repeats string) {
		name, press := kind.String(), ""
		if len(o.Brushes) > 1 {
			name += " " + b.Title
		}
		switch {
		case b.SafePress > 0 && share == 1:
			press = millimetres(b.SafePress)
		case b.SafePress > 0:
			press = millimetres(min(max(math.Floor(float64(b.SafePress*share*10)+1e-6)/10, 0.1), b.SafePress))
		}
		rows = append(rows, []string{name, kind.String(), "[" + b.Title + "](" + b.Link + ")", "black", feed, press, repeats})
	}
	for _, b := range o.Brushes {
		for _, t := range newTrials {
			add(b, t.kind, t.feed, t.share, t.repeats)
		}
	}
	if len(o.Brushes) > 1 {
		for _, b := range o.Brushes {
			add(b, model.Tips, "900 mm/min", 0.2, "3")
		}
	}
	writeTable(line, rows)
}

// writeTable writes rows, the header first, with columns of even width.
func writeTable(line func(...string), rows [][]string) {
	wide := make([]int, len(rows[0]))
	for _, r := range rows {
		for k, cell := range r {
			wide[k] = max(wide[k], utf8.RuneCountInString(cell))
		}
	}
	for i, r := range rows {
		text, rule := "|", "|"
		for k, cell := range r {
			text += " " + cell + strings.Repeat(" ", wide[k]-utf8.RuneCountInString(cell)) + " |"
			rule += strings.Repeat("-", wide[k]+2) + "|"
		}
		line(text)
		if i == 0 {
			line(rule)
		}
	}
}

// link is the target of a link from one file of the studio to another.
func link(from, to string) string {
	var up string
	for range strings.Count(from, "/") {
		up += "../"
	}
	if strings.ContainsAny(to, " ()") {
		return "<" + up + to + ">"
	}
	return up + to
}

// Link is the target of a link from one file of the studio to a heading of
// another; anchor may be "".
func Link(from, to, anchor string) string {
	if anchor != "" {
		to += "#" + anchor
	}
	return link(from, to)
}
