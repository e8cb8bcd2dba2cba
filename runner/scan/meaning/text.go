package meaning

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/format"
)

func (k Kind) String() string {
	return [...]string{"the touch-off", "the widths by press", "the bend of the widths", "wear", "the lag", "the play",
		"its place along X", "its place along Y", "its turn", "its growth along X", "its growth along Y"}[k]
}

// Write writes what the sheet means, and the rows to paste.
func (r *Result) Write(w io.Writer) error {
	var b strings.Builder
	if r.Places == 0 {
		b.WriteString("No width of this sheet could be compared with what was asked.\n")
	}
	var open []string
	alike := map[string]bool{}
	for _, e := range r.Effects {
		switch {
		case !e.Told:
			open = append(open, fmt.Sprintf("%v of %s", e.Kind, r.name(e)))
		case len(e.Alike) > 0:
			if line := fmt.Sprintf("  %s: %s cannot be told apart\n", r.name(e), kinds(append([]Kind{e.Kind}, e.Alike...))); !alike[line] {
				alike[line] = true
				b.WriteString(line)
			}
		case e.Kind == Touch && !r.shows(e):
			fmt.Fprintf(&b, "  %s: touched off right, to %.2f mm\n", r.name(e), max(2*e.U, 0.02))
		case r.shows(e) && e.Kind != Bend:
			fmt.Fprintf(&b, "  %s: %s\n", r.name(e), r.sentence(e))
		}
	}
	for _, c := range r.Corrections {
		if c.Apart {
			fmt.Fprintf(&b, "  %s: its layers do not lie alike, so its tip is not the reason; \"offset x\" and \"offset y\" of a layer move that layer alone\n", r.Brushes[c.Brush].Name)
		}
	}
	for _, f := range r.Fades {
		fmt.Fprintf(&b, "  %s: the ink runs out in stroke %d, after %.0f mm²\n", r.Layers[f.Layer].Name, f.Stroke, f.Area)
	}
	if len(open) > 0 {
		fmt.Fprintf(&b, "  This sheet does not tell: %s.\n", strings.Join(open, ", "))
	}
	if r.Places > 0 {
		fmt.Fprintf(&b, "  Widths are off by %.3f mm (root mean square of %d places)", r.Before, r.Places)
		changes := false
		for _, c := range r.Corrections {
			changes = changes || c.Rows != nil || c.Play != nil || c.Lag != nil
		}
		if changes {
			fmt.Fprintf(&b, "; with the rows below it would have been %.3f mm", r.After)
		}
		b.WriteString(".\n")
	}
	for _, c := range r.Corrections {
		if !c.Empty() {
			b.WriteString("\n" + r.Rows(c))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// shows reports whether an effect counts and is more than what its figures show.
func (r *Result) shows(e Effect) bool {
	return e.Counts() && (e.Kind != Touch || math.Abs(e.Value) >= 0.015)
}

func (r *Result) name(e Effect) string {
	if e.Kind.ofLayer() {
		return r.Layers[e.Of].Name
	}
	return r.Brushes[e.Of].Name
}

func kinds(all []Kind) string {
	slices.Sort(all)
	var words []string
	for _, k := range slices.Compact(all) {
		words = append(words, k.String())
	}
	return format.List(words)
}

// sentence says what an effect that counts is.
func (r *Result) sentence(e Effect) string {
	size := math.Abs(e.Value)
	mm := func(more, less string) string {
		word := more
		if e.Value < 0 {
			word = less
		}
		return fmt.Sprintf("%.2f mm ± %.2f mm %s", size, max(e.U, 0.005), word)
	}
	switch e.Kind {
	case Touch:
		return "touched off " + mm("too deep", "too high")
	case Slope:
		now, was := r.halfAngle(e.Of, e.Value), r.halfAngle(e.Of, 0)
		return fmt.Sprintf("half-angle %.1f° ± %.1f°, %.1f° by its rows", now, max(r.halfAngle(e.Of, e.Value+e.U)-now, 0.05), was)
	case Wear:
		word := "wider"
		if e.Value < 0 {
			word = "narrower"
		}
		return fmt.Sprintf("marks get %.1f %% ± %.1f %% %s for each metre painted", 100*size, max(100*e.U, 0.05), word)
	case Lag:
		return fmt.Sprintf("the mark trails %s than its rows say, at a press of %.1f mm", mm("more", "less"), r.deepest[e.Of])
	case Play:
		return "play is " + mm("more than its rows say", "less than its rows say")
	case ShiftX:
		return "lies " + mm("too far to the right", "too far to the left")
	case ShiftY:
		return "lies " + mm("too high on the sheet", "too low on the sheet")
	case Turn:
		word := "counter-clockwise"
		if e.Value < 0 {
			word = "clockwise"
		}
		return fmt.Sprintf("lies turned %.2f° ± %.2f° %s", size*180/math.Pi, max(e.U*180/math.Pi, 0.005), word)
	case GrowthX, GrowthY:
		word, axis := "larger", "X"
		if e.Value < 0 {
			word = "smaller"
		}
		if e.Kind == GrowthY {
			axis = "Y"
		}
		return fmt.Sprintf("is %.2f %% ± %.2f %% %s along %s", 100*size, max(100*e.U, 0.005), word, axis)
	}
	return ""
}

// halfAngle is that of the cone whose marks widen as the brush's do over the presses
// that were seen, and by so much more, in degrees.
func (r *Result) halfAngle(b int, more float64) float64 {
	c, low, high := r.Brushes[b].Curve, r.lightest[b], r.deepest[b]
	from, err := c.WidthAt(low)
	to, err2 := c.WidthAt(high)
	if err != nil || err2 != nil || high <= low {
		return 0
	}
	return math.Atan(((to-from)/(high-low)+more)/2) * 180 / math.Pi
}

// Rows are the rows of a brush's notebook that change, as they are pasted: rows of
// Brush, one by one, and the whole table of Swatch.
func (r *Result) Rows(c Correction) string {
	var b strings.Builder
	brush := r.Brushes[c.Brush]
	row := func(name string, v *float64, unit string, digits int) {
		if v != nil {
			text := fmt.Sprintf("%.*f", digits, *v)
			if strings.Trim(text, "-0.") == "" {
				text = strings.TrimPrefix(text, "-")
			}
			fmt.Fprintf(&b, "| %s | %s %s |\n", name, text, unit)
		}
	}
	row("widest mark", c.WidestMark, "mm", 2)
	row("touch mark", c.TouchMark, "mm", 2)
	row("lag", c.Lag, "mm", 2)
	row("play", c.Play, "mm", 2)
	row("tip offset x", c.TipX, "mm", 2)
	row("tip offset y", c.TipY, "mm", 2)
	row("holds", c.Holds, "mm²", 0)
	head := ""
	if b.Len() > 0 {
		var was []string // so that a new row of 0 is understood
		if c.TipX != nil {
			was = append(was, fmt.Sprintf("tip offset x was %.2f mm", brush.TipX))
		}
		if c.TipY != nil {
			was = append(was, fmt.Sprintf("tip offset y was %.2f mm", brush.TipY))
		}
		before := ""
		if len(was) > 0 {
			before = " (" + strings.Join(was, ", ") + ")"
		}
		head = fmt.Sprintf("Rows of \"Brush: %s\", in place of those of the same name%s:\n\n", brush.Name, before)
	}
	out := head + b.String()
	if c.Rows == nil {
		return out
	}
	if out != "" {
		out += "\n"
	}
	out += fmt.Sprintf("In place of all below \"Swatch: %s\":\n\n", brush.Name)
	if c.Lags == nil {
		out += "| press  | width          |\n|--------|----------------|\n"
	} else {
		out += "| press | width | lag |\n|-------|-------|-----|\n"
	}
	for i, k := range c.Rows {
		out += fmt.Sprintf("| %s mm | %.2f", trimmed(k.Press), k.Width)
		if k.U > 0 {
			out += fmt.Sprintf(" ± %.2f", max(k.U, 0.01))
		}
		out += " mm |"
		if c.Lags != nil {
			out += fmt.Sprintf(" %.2f mm |", c.Lags[i])
		}
		out += "\n"
	}
	return out
}

// trimmed is a number without needless zeros.
func trimmed(v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.4f", v), "0"), ".")
}
