package runner

import "mahlstick/runner/presenting"

// NextReading is the program that carries the tip over the register marks before
// the next layer whose marks were not read yet, and the rows of Seating that its
// readings go into; ok is false if there is none.
func (r *Result) NextReading() (layer, file, rows string, ok bool) {
	next := 0 // after the last layer with readings of its own
	for i, l := range r.Layers {
		if s := l.Model.Seating; s != nil && s.Layer == l.Model.Name {
			next = i + 1
		}
	}
	for _, l := range r.Layers[next:] {
		for _, m := range r.marks {
			if m.Layer.Name == l.Model.Name {
				return l.Model.Name, m.File, presenting.SeatingRows(m), true
			}
		}
	}
	return "", "", "", false
}
