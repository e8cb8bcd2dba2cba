// Package painting reads a finished painting back from its scan: it takes the strokes
// of a job as its programs say they were painted, has them measured along their way,
// and says what the differences mean.
package painting

import (
	"fmt"
	"io"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/scan/along"
	"mahlstick/runner/scan/meaning"
	"mahlstick/runner/stage"
	"mahlstick/runner/vector"
)

// Reading is a painting as read from a scan.
type Reading struct {
	Layers   []stage.Proven
	Measured *along.Result
	Meaning  *meaning.Result
}

// Read measures the layers of a painting in a scan whose pixels have a size in mm on
// the sheet.
func Read(light along.Light, pixel float64, job *model.Job, layers []stage.Proven) *Reading {
	r := &Reading{Layers: layers, Measured: along.Measure(light, pixel, strokes(layers))}
	planned, brushes := stated(layers)
	for i := range planned {
		planned[i].Turned = job.Sheet.Turned
	}
	r.Meaning = meaning.Of(r.Measured, planned, brushes)
	return r
}

// strokes are what the programs leave on the paper.
func strokes(layers []stage.Proven) []along.Stroke {
	var out []along.Stroke
	for i, l := range layers {
		for n, marks := range l.Marks {
			s := along.Stroke{Layer: i, Number: n + 1, Sure: l.Model.Brush.Thinnest}
			for _, m := range marks {
				s.Marks = append(s.Marks, along.Mark{X: m.X, Y: m.Y, Width: m.Width})
			}
			out = append(out, s)
		}
	}
	return out
}

// stated are the layers and brushes as the recipe states them.
func stated(layers []stage.Proven) ([]meaning.Layer, []meaning.Brush) {
	var out []meaning.Layer
	var brushes []meaning.Brush
	byName := map[string]int{}
	frame := 0 // the layer whose painted marks say where the scan lies, else the first
	for i := len(layers) - 1; i >= 0; i-- {
		if len(layers[i].Crosses) > 0 {
			frame = i
		}
	}
	for i, l := range layers {
		b := l.Model.Brush
		n, known := byName[b.Name]
		if !known {
			n = len(brushes)
			byName[b.Name] = n
			brushes = append(brushes, brush(b))
		}
		layer := meaning.Layer{Name: l.Model.Name, Brush: n, Frame: i == frame, Seated: l.Model.Seating != nil, Curve: b.Curve}
		if l.Ink != nil {
			layer.Loads = l.Ink.Reloads()
		}
		out = append(out, layer)
	}
	return out, brushes
}

// brush is a brush as its notebook states it, at the feed of its table.
func brush(b *model.Brush) meaning.Brush {
	curve := b.Curve
	if b.Spreading != nil && b.Spreading.Curve != nil {
		curve = b.Spreading.Curve
	}
	marks := curve.Marks()
	out := meaning.Brush{Name: b.Title, Touch: b.Touch, TouchMark: b.TouchMark, SafePress: b.SafePress, WidestMark: b.WidestMark,
		Lag: b.Lag, Play: b.Play, TipX: b.TipX, TipY: b.TipY, Curve: curve}
	for _, m := range marks[1 : len(marks)-1] {
		out.Rows = append(out.Rows, meaning.Row{Press: m.Press, Width: m.Width, U: m.UWidth})
	}
	return out
}

// Names are those of the layers.
func (r *Reading) Names() []string {
	var out []string
	for _, l := range r.Layers {
		out = append(out, l.Model.Name)
	}
	return out
}

// Write writes what was found.
func (r *Reading) Write(w io.Writer) error {
	var b strings.Builder
	for i := range r.Layers {
		r.writeLayer(&b, i)
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return err
	}
	if err := r.Meaning.Write(w); err != nil {
		return err
	}
	_, err := io.WriteString(w, r.Seating()+r.Results())
	return err
}

// writeLayer says what was measured of a layer, what was not and why, and which strokes
// are not as they were asked for.
func (r *Reading) writeLayer(b *strings.Builder, layer int) {
	var strokes, places, measured int
	var wrong []string
	var none []int // strokes of which no place was measured
	for _, v := range r.Measured.Strokes {
		if v.Layer != layer {
			continue
		}
		strokes, places, measured = strokes+1, places+v.Places, measured+v.Measured
		switch {
		case v.Missing:
			wrong = append(wrong, fmt.Sprintf("stroke %d is missing", v.Stroke))
		case v.Doubled:
			wrong = append(wrong, fmt.Sprintf("stroke %d was painted twice", v.Stroke))
		case v.Measured == 0:
			none = append(none, v.Stroke)
		}
		for _, g := range v.Gaps {
			wrong = append(wrong, fmt.Sprintf("stroke %d is broken from %.0f to %.0f mm", v.Stroke, g.From, g.To))
		}
	}
	fmt.Fprintf(b, "  %d %s  %s, measured at %d of %s\n", layer+1, r.Layers[layer].Model.Name, format.Count(strokes, "stroke"), measured, format.Count(places, "place"))
	if why := r.unmeasured(layer); why != "" {
		fmt.Fprintf(b, "    Not measured: %s.\n", why)
	}
	if len(none) > 0 {
		fmt.Fprintf(b, "    Nowhere measured: %s %s.\n", format.Plural(len(none), "stroke"), format.Ranges(none))
	}
	for _, text := range wrong {
		fmt.Fprintf(b, "    %s\n", text)
	}
}

// unmeasured counts the places of a layer that were not measured, by the reason.
func (r *Reading) unmeasured(layer int) string {
	n := map[along.State]int{}
	for _, p := range r.Measured.Places {
		if p.Layer == layer {
			n[p.State]++
		}
	}
	var out []string
	for _, s := range []along.State{along.Hidden, along.Turning, along.Unclear, along.Bare, along.OffScan} {
		if n[s] > 0 {
			out = append(out, fmt.Sprintf("%d %s", n[s], s))
		}
	}
	return strings.Join(out, ", ")
}

// Seating are the rows of Seating that would have laid the layers of this sheet where
// they were asked for: for a layer that is still to be painted on it. "" for none.
func (r *Reading) Seating() string {
	var b strings.Builder
	for i, l := range r.Layers {
		s := l.Model.Seating
		if s == nil || s.Layer != l.Model.Name {
			continue
		}
		var rows strings.Builder
		most := 0.0
		for k, read := range s.Readings {
			moved, counts := r.Meaning.Moved(i, vector.XY{X: read.SheetX, Y: read.SheetY})
			if !counts {
				break
			}
			most = max(most, moved.Length())
			moved = r.Meaning.Layers[i].OnBed(moved)
			name, zero := l.Model.Name, ""
			if k > 0 {
				name = ""
			} else if s.Lost {
				zero = "lost"
			}
			fmt.Fprintf(&rows, "| %s | %s | %.2f mm | %.2f mm | %s |\n", name, read.Mark, read.AxisX-moved.X, read.AxisY-moved.Y, zero)
		}
		if rows.Len() > 0 {
			fmt.Fprintf(&b, "\nRows of Seating that would have moved %s by up to %.2f mm at its marks:\n\n%s", l.Model.Name, most, rows.String())
		}
	}
	return b.String()
}
