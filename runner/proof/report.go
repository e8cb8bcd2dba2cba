package proof

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
)

// Reading is everything that a report says about a program.
type Reading struct {
	Path     *Path
	Measures Measures
	Timing   Timing // used for the measures
	Checks   []Outcome
	Cover    *Cover // nil if nothing was compared
}

// reportStrokes is the greatest number of strokes listed; sums include all.
const reportStrokes = 1000

// Report writes what a program does, as plain text for a terminal: size, time,
// lengths, feeds, words that set or switch something, each stroke with its
// lines, the rules and whether they are kept, and the faults.
func Report(w io.Writer, r Reading) error {
	out := bufio.NewWriter(w)
	p, m := r.Path, &r.Measures
	fmt.Fprintf(out, "%s: %s, %s, %s\n", p.Name, countText(p.Lines, "line"), countText(len(p.Moves), "move"), r.strokes())
	for _, c := range p.Comments {
		if c.Message {
			fmt.Fprintf(out, "  line %d shows: %s\n", c.Line, strings.TrimSpace(strings.TrimSpace(c.Text)[4:]))
		}
	}
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "\nwhere\tX %s to %s, Y %s to %s, Z %s to %s mm\n",
		mm(m.Box.Min.X), mm(m.Box.Max.X), mm(m.Box.Min.Y), mm(m.Box.Max.Y), mm(m.Box.Min.Z), mm(m.Box.Max.Z))
	if p.written != nil {
		fmt.Fprintf(t, "bed\tnot flat: Z and the strokes are counted from the paper, by the touched heights that the program states\n")
	}
	known := m.Widest > 0 // the brush
	switch {
	case known:
		fmt.Fprintf(t, "marks\t%s mm, %s to %s mm wide\n", rectText(m.Marks), mm(m.Narrowest), mm(m.Widest))
	case len(m.Strokes) > 0:
		fmt.Fprintf(t, "contact\t%s along the path of the axis, %s mm\n", lengthText(m.Painted), rectText(m.Marks))
	}
	fmt.Fprintf(t, "time\t%s, of it %s in contact and %s waiting", Clock(m.Seconds), Clock(m.Contact), Clock(m.Waiting))
	if left := r.untimed(); len(left) > 0 {
		fmt.Fprintf(t, "; not counted: %s", strings.Join(left, ", "))
	}
	if fmt.Fprintln(t); known {
		fmt.Fprintf(t, "painted\t%s, the length of the marks\n", lengthText(m.Painted))
	}
	fmt.Fprintf(t, "travel\t%s\n", lengthText(m.Travel))
	for i, g := range groupFeeds(m.Feeds) {
		label := ""
		if i == 0 {
			label = "feeds"
		}
		fmt.Fprintf(t, "%s\t%v\n", label, g)
	}
	if words := wordList(p.Words); words != "" {
		fmt.Fprintf(t, "words\t%s\n", words)
	}
	if c := r.Cover; c != nil {
		fmt.Fprintf(t, "covers\t%.2f %% of the drawing, %.2f %% outside the drawing\n", 100*c.Coverage, 100*c.Excess)
	}
	t.Flush()
	if !known && len(m.Strokes) > 0 {
		fmt.Fprint(out, axisOnly)
	}
	if len(m.Strokes) > 0 {
		fmt.Fprintln(out)
		strokeTable(out, m)
		fmt.Fprint(out, fromLine)
		if slices.ContainsFunc(m.Strokes, func(s Stroke) bool { return s.StartLine == 0 }) {
			fmt.Fprint(out, noFromLine)
		}
	}
	writeChecks(out, r.Checks)
	writeFaults(out, p.Faults)
	return out.Flush()
}

// writeChecks writes the rules that are kept, then those that are broken.
func writeChecks(out io.Writer, checks []Outcome) {
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(out)
	for _, c := range checks {
		if c.OK {
			fmt.Fprintf(t, "kept\t%s\t%s\n", c.Name, c.Found)
		}
	}
	t.Flush()
	for _, c := range checks {
		if !c.OK {
			fmt.Fprintf(out, "BROKEN  %s\n    found    %s\n    allowed  %s\n    because  %s\n", c.Name, c.Found, c.Allowed, c.Why)
		}
	}
}

// writeFaults writes the faults of the text, each with its fix.
func writeFaults(out io.Writer, faults []Fault) {
	if len(faults) > 0 {
		fmt.Fprintln(out)
	}
	for _, f := range faults {
		fmt.Fprintf(out, "%v\n", f)
		if f.Text != "" {
			fmt.Fprintf(out, "    %s\n", f.Text)
		}
		fmt.Fprintf(out, "    %s\n", f.Fix)
	}
	if len(faults) == MaxFaults {
		fmt.Fprintf(out, "only the first %d faults are listed\n", MaxFaults)
	}
}

// axisOnly is printed if no brush is known.
const axisOnly = `
All positions and lengths are those of the machine's axis. If the brush has a lag or a tip offset,
which the moves of a program do not show, the mark is elsewhere.
`

// fromLine explains a column of the table of strokes.
const fromLine = `
from line: to continue with a stroke, set the modes, lift to the safe height and read on from here.
`

// noFromLine explains a stroke without such a line.
const noFromLine = `"-": no line before the stroke sets motion, X and Y, with its feed after it; do not continue here.
`

// untimed lists what the time does not include.
func (r *Reading) untimed() []string {
	var left []string
	if n := r.Measures.Pauses; n > 0 {
		left = append(left, countText(n, "pause"))
	}
	if r.Timing.Travel <= 0 && r.Measures.Rapid > 0 {
		left = append(left, lengthText(r.Measures.Rapid)+" of rapids")
	}
	if r.Timing.Acceleration <= 0 && len(r.Path.Moves) > 0 {
		left = append(left, "speeding up and slowing down")
	}
	return left
}

// strokeTable writes a line for each stroke.
func strokeTable(out io.Writer, m *Measures) {
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	known := m.Widest > 0
	head := "stroke\tlines\tfrom line\tstarts\ttakes s\tlength mm\tdeepest Z\t"
	if known {
		head += "widths mm\t"
	}
	fmt.Fprintln(t, head+"from X Y\tto X Y\t")
	for i := range m.Strokes {
		if i == reportStrokes {
			fmt.Fprintf(t, "%d more\t\n", len(m.Strokes)-i)
			break
		}
		s := &m.Strokes[i]
		from := "-"
		if s.StartLine > 0 {
			from = strconv.Itoa(s.StartLine)
		}
		fmt.Fprintf(t, "%d\t%d-%d\t%s\t%s\t%s\t%s\t%s\t", s.Number, s.FirstLine, s.LastLine, from, Clock(s.Starts), fixed(s.Seconds, 1), fixed(s.Length, 1), mm(s.Deepest))
		if known {
			fmt.Fprintf(t, "%s-%s\t", fixed(s.Narrowest, 2), fixed(s.Widest, 2))
		}
		fmt.Fprintf(t, "%s %s\t%s %s\t\n", fixed(s.From.X, 2), fixed(s.From.Y, 2), fixed(s.To.X, 2), fixed(s.To.Y, 2))
	}
	t.Flush()
}

// wordList lists each word once, with its first line and how often it occurs.
func wordList(words []Word) string {
	type use struct {
		Word
		times int
	}
	var uses []use
	at := map[string]int{}
	for _, w := range words {
		name := w.String()
		i, ok := at[name]
		if !ok {
			i = len(uses)
			at[name] = i
			uses = append(uses, use{Word: w})
		}
		uses[i].times++
	}
	var list []string
	for i, u := range uses {
		if i == 40 {
			list = append(list, fmt.Sprintf("and %d more", len(uses)-i))
			break
		}
		s := fmt.Sprintf("%v line %d", u.Word, u.Line)
		if u.times > 1 {
			s += fmt.Sprintf(" (%d times)", u.times)
		}
		list = append(list, s)
	}
	return strings.Join(list, ", ")
}

// Clock is a time as text: 8.5 s, 12 min 31 s, 2 h 5 min.
func Clock(seconds float64) string {
	whole := int(math.Round(seconds))
	switch {
	case seconds < 59.95:
		return fixed(seconds, 1) + " s"
	case whole < 3600:
		return fmt.Sprintf("%d min %d s", whole/60, whole%60)
	}
	minutes := int(math.Round(seconds / 60))
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

// countText is a number with its noun.
func countText(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
