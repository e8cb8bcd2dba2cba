package scan_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/scan"
	"mahlstick/runner/scan/along"
	"mahlstick/runner/vector"
)

// fate is what became of the paint at a place.
type fate int8

const (
	clean fate = iota
	smeared
	missing
)

// near is how far from a smear paint is not touched by it, in mm.
const near = 1.5

// fate is that of a stroke, or of a place of it.
func (p *painter) fate(s *sample, k *scan.Stroke, at ...vector.XY) fate {
	for _, m := range p.mishaps[k.Program] {
		if m.Missing && m.Stroke == k.Number {
			return missing
		}
	}
	for _, other := range s.job.Strokes {
		if other.Sheet != k.Sheet {
			continue
		}
		for _, m := range p.mishaps[other.Program] {
			if m.Smear > 0 && m.Stroke == other.Number && reaches(&other, m.Smear, at) {
				return smeared
			}
		}
	}
	return clean
}

// reaches reports whether the smear of a stroke comes near one of several places.
func reaches(k *scan.Stroke, smear float64, at []vector.XY) bool {
	low, high, wide := k.Points[0].XY, k.Points[0].XY, 0.0
	for _, p := range k.Points {
		low = vector.XY{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
		high = vector.XY{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
		wide = max(wide, p.Width)
	}
	by := wide/2 + near
	return slices.ContainsFunc(at, func(p vector.XY) bool {
		return p.X > low.X-by && p.X < high.X+smear+by && p.Y > low.Y-by && p.Y < high.Y+by
	})
}

// around are the places on which the reading of a mark relies.
func around(s *sample, m *scan.Measured, k *scan.Stroke) []vector.XY {
	out := []vector.XY{{X: m.X, Y: m.Y}}
	for _, p := range k.Points {
		out = append(out, p.XY)
	}
	if m.Kind == model.Rings {
		r := vector.Distance(k.Points[0].XY, out[0])
		out = append(out, out[0].Plus(vector.XY{X: r}), out[0].Minus(vector.XY{X: r}))
	}
	return out
}

// compare holds what is read of the marks to be measured against what was painted.
func (o *seen) compare(s *sample, p *painter, lain *scan.Sheet) {
	for _, m := range lain.Measure(nil) {
		i := slices.IndexFunc(s.job.Strokes, func(k scan.Stroke) bool {
			return k.Reading > 0 && k.Reading <= m.Number && m.Number < k.Reading+k.Readings
		})
		k := &s.job.Strokes[i]
		how := p.fate(s, k, around(s, &m, k)...)
		if m.Kind == model.Tips {
			how = max(how, min(crossFate(s, p, &m), smeared))
		}
		if m.Press+p.deep[k.Program] <= 0 && m.Kind != model.Tips {
			how = missing // the brush does not reach the paper
		}
		off := m.MM - p.want(s, &m, k)
		text := fmt.Sprintf("mark %d, %s, press %.2f across %g: %.3f ± %.3f mm, off by %.3f; %s", m.Number, m.Trial, m.Press, m.Across, m.MM, m.U, off, m.Why)
		there := m.OK && (m.MM != 0 || m.Kind == model.Tips || m.Kind == model.Corners)
		switch {
		case how == missing:
			if o.missing++; there {
				o.mistaken = append(o.mistaken, "not painted: "+text)
			}
		case how == smeared:
			if o.smeared++; there {
				o.read++
				if math.Abs(off) < away {
					o.readWell++
				} else {
					o.smears = append(o.smears, text)
				}
			}
		case !there:
			o.unread = append(o.unread, text)
		default:
			o.marks, o.beyond = append(o.marks, off), append(o.beyond, math.Abs(off)/m.U)
			if math.Abs(off) > away {
				o.mistaken = append(o.mistaken, text)
			}
		}
	}
}

// crossFate is the fate of the cross beside which a tip makes its dot: its arms are the
// strokes that are not measured themselves.
func crossFate(s *sample, p *painter, m *scan.Measured) (how fate) {
	for i := range s.job.Strokes {
		k := &s.job.Strokes[i]
		if k.Reading > 0 || len(k.Points) < 2 {
			continue
		}
		middle := k.Points[0].XY.Toward(k.Points[len(k.Points)-1].XY, 0.5)
		if vector.Distance(middle, vector.XY{X: m.X, Y: m.Y}) < 12 {
			how = max(how, p.fate(s, k, k.Points[0].XY, middle, k.Points[len(k.Points)-1].XY))
		}
	}
	return how
}

// gone reports whether nothing is painted of a stroke of a picture, because it was left
// out or the brush does not reach the paper; sure is false if it reaches it in parts.
func (p *painter) gone(s *sample, k *scan.Stroke) (gone, sure bool) {
	if p.fate(s, k) == missing {
		return true, true
	}
	bare := 0
	for _, at := range k.Points {
		if press, err := s.curve.PressFor(at.Width); err == nil && press+p.deep[k.Program] <= 0 {
			bare++
		}
	}
	return bare == len(k.Points), 10*bare < len(k.Points) || bare == len(k.Points)
}

// follow holds the widths along the strokes of a picture against what was painted, and
// which strokes are said to be missing.
func (o *seen) follow(s *sample, p *painter, measured *along.Result) {
	stroke := func(layer, number int) *scan.Stroke {
		i := slices.IndexFunc(s.job.Strokes, func(k scan.Stroke) bool { return k.Program == layer && k.Number == number })
		return &s.job.Strokes[i]
	}
	for _, v := range measured.Strokes {
		if v.Measured == 0 && !v.Missing {
			continue // all of it is hidden by other paint
		}
		gone, sure := p.gone(s, stroke(v.Layer, v.Stroke))
		if sure && gone != v.Missing {
			o.mistaken = append(o.mistaken, fmt.Sprintf("stroke %d of layer %d: missing %t, said to be missing %t", v.Stroke, v.Layer+1, gone, v.Missing))
		}
	}
	for _, at := range measured.Places {
		if at.State != along.Measured || p.fate(s, stroke(at.Layer, at.Stroke), at.At) != clean {
			continue
		}
		press, err := s.curve.PressFor(at.Asked)
		if err != nil || press+p.deep[at.Layer] <= 0 {
			continue
		}
		o.strokes = append(o.strokes, at.Width-p.width(press+p.deep[at.Layer]))
	}
}

func rms(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v * v
	}
	return math.Sqrt(sum / float64(max(1, len(values))))
}

// report joins scans of one resolution and says what falls short.
func report(t *testing.T, all []*seen, dpi, most float64) {
	var sum seen
	var places []float64
	mistaken, worse, ambiguous := 0, 0, 0
	for _, s := range all {
		if why := new(scan.Refusal); errors.As(s.refused, &why) && why.Why == scan.Ambiguous {
			ambiguous++ // marks of two sheets that are alike, or of one that is its own mirror image
			continue
		}
		if s.refused != nil && s.painted < 3 {
			t.Logf("%s: %d strokes were painted; refused: %v", s.what, s.painted, s.refused)
			continue
		}
		if s.refused != nil {
			t.Errorf("%s: refused: %v", s.what, s.refused)
			continue
		}
		for _, text := range s.mistaken {
			t.Errorf("%s: %s", s.what, text)
		}
		for _, text := range slices.Concat(s.unread, s.smears) {
			t.Logf("%s: %s", s.what, text)
		}
		if len(s.mistaken) > 0 {
			mistaken++
		}
		if s.place > 0.03 {
			t.Logf("%s: a place is off by %.4f mm", s.what, s.place)
		}
		if rms(s.marks) > most || rms(s.strokes) > most {
			worse++
			t.Logf("%s: marks are off by %.4f mm RMS, widths of strokes by %.4f", s.what, rms(s.marks), rms(s.strokes))
		}
		sum.marks, sum.strokes, sum.beyond = append(sum.marks, s.marks...), append(sum.strokes, s.strokes...), append(sum.beyond, s.beyond...)
		sum.unread = append(sum.unread, s.unread...)
		sum.missing, sum.smeared, sum.read, sum.readWell = sum.missing+s.missing, sum.smeared+s.smeared, sum.read+s.read, sum.readWell+s.readWell
		places = append(places, s.place)
	}
	if len(places) == 0 {
		return
	}
	slices.Sort(places)
	slices.Sort(sum.beyond)
	t.Logf("%g dpi, %d scans: mistaken in %d, refused in %d because they fit in two ways; %d marks off by %.4f mm RMS, %d places of strokes by %.4f; worse than %.2f in %d of the scans", dpi, len(all), mistaken, ambiguous,
		len(sum.marks), rms(sum.marks), len(sum.strokes), rms(sum.strokes), most, worse)
	t.Logf("the worst place of a sheet is off by %.4f mm in the median, %.4f at most; clean marks not read: %d; not painted: %d; in smears: %d, of them %d read, %d well",
		places[len(places)/2], places[len(places)-1], len(sum.unread), sum.missing, sum.smeared, sum.read, sum.readWell)
	if n := len(sum.beyond); n > 0 {
		t.Logf("errors in stated standard uncertainties: %.1f at 68 of 100, %.1f at 95, %.1f at most", sum.beyond[n*68/100], sum.beyond[n*95/100], sum.beyond[n-1])
	}
	if rms(sum.marks) > most || rms(sum.strokes) > most {
		t.Errorf("%g dpi: widths are off by more than %.2f mm RMS", dpi, most)
	}
	// On a sheet of few marks, one that is smeared turns the others.
	if most := places[len(places)*99/100]; most > 0.03 {
		t.Errorf("%g dpi: places are off by %.4f mm at 99 of 100 scans", dpi, most)
	}
}
