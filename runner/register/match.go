package register

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
)

const (
	// A square is a mark where its side is this close (mm) to the stated one.
	sizeWithin = 0.05
	// Steps in which marks are paired with squares at most: enough for seven
	// marks of one size.
	mostSteps = 20000
	// Pairings whose fits differ by less than this (mm) fit alike; of those
	// the one that turns the drawing least is taken.
	alike = 0.05
)

// find pairs every mark of the recipe with a square of the drawing.
func (r *registration) find() ([]square, bool) {
	if len(r.marks) == 0 {
		return nil, true
	}
	r.squares = squares(r.d.Contours)
	candidates := make([][]int, len(r.marks))
	for i := range r.marks {
		candidates[i] = r.candidates(i)
	}
	if !r.checkCandidates(candidates) {
		return nil, false
	}
	pairing, ok := r.pair(candidates)
	if !ok {
		return nil, false
	}
	found := make([]square, len(pairing))
	for i, k := range pairing {
		found[i] = r.squares[k]
	}
	return found, true
}

// onLayer tells whether a square stands on the drawing layer where mark i is
// to be found.
func (r *registration) onLayer(s square, i int) bool {
	want := r.marks[i].DrawingLayer
	return want == "" || slices.ContainsFunc(s.contours, func(c int) bool {
		return strings.EqualFold(r.d.Contours[c].Layer, want)
	})
}

func (r *registration) candidates(i int) []int {
	var out []int
	for k, s := range r.squares {
		if r.onLayer(s, i) && math.Abs(s.size-r.marks[i].Size) <= sizeWithin {
			out = append(out, k)
		}
	}
	return out
}

// checkCandidates reports marks without a square, and squares that are one too
// many. Marks that could be the same square are looked at together.
func (r *registration) checkCandidates(candidates [][]int) bool {
	ok := true
	seen := make([]bool, len(candidates))
	for i := range candidates {
		if seen[i] {
			continue
		}
		// All marks reached from mark i over shared squares.
		group, shared, isShared := []int{i}, slices.Clone(candidates[i]), make(map[int]bool)
		seen[i] = true
		for _, k := range shared {
			isShared[k] = true
		}
		for grown := true; grown; {
			grown = false
			for j := range candidates {
				if seen[j] || !slices.ContainsFunc(candidates[j], func(k int) bool { return isShared[k] }) {
					continue
				}
				seen[j], grown = true, true
				group = append(group, j)
				for _, k := range candidates[j] {
					if !isShared[k] {
						isShared[k] = true
						shared = append(shared, k)
					}
				}
			}
		}
		slices.Sort(shared)
		switch {
		case len(shared) < len(group):
			r.missing(group, shared)
			ok = false
		case len(shared) > len(group):
			r.ambiguous(group, shared)
			ok = false
		}
	}
	return ok
}

func (r *registration) markNames(group []int) string {
	var names []string
	for _, i := range group {
		names = append(names, quote(r.marks[i].Name))
	}
	return strings.Join(names, ", ")
}

// ambiguous: there are more squares than marks.
func (r *registration) ambiguous(group, shared []int) {
	m := r.marks[group[0]]
	p := problem.Problem{
		Code: problem.AmbiguousMark, Place: r.contourPlace(shared[0]),
		Fix:     problem.Advise("give the mark a size that nothing else on the drawing has, or put it on a drawing layer of its own and name that in Registration"),
		Related: []problem.Related{{Place: m.Place, Note: "the mark as stated"}},
	}
	for _, k := range shared[1:min(len(shared), 1+mostRelated)] {
		p.Related = append(p.Related, problem.Related{Place: r.contourPlace(k), Note: fmt.Sprintf("another square of %s mm, at %s", mm(r.squares[k].size), xy(r.squares[k].at))})
	}
	p.Message = fmt.Sprintf("%s has %d squares of %s mm for %s %s; this one stands at %s",
		r.name(), len(shared), mm(m.Size), plural(len(group), "the mark", "the marks"), r.markNames(group), xy(r.squares[shared[0]].at))
	r.problems.Add(p)
}

// Places that are listed besides the first.
const mostRelated = 5

// missing: there are fewer squares than marks.
func (r *registration) missing(group, shared []int) {
	m := r.marks[group[0]]
	if len(shared) == 0 && r.unitMistake(group[0]) {
		return
	}
	p := problem.Problem{
		Code: problem.NoMark, Place: r.layer.DrawingPlace,
		Fix:     problem.Advise(fmt.Sprintf("draw a closed square of %s mm where the mark belongs, or correct its size in Registration", mm(m.Size))),
		Related: []problem.Related{{Place: m.Place, Note: "the mark as stated"}},
	}
	where := r.name()
	if m.DrawingLayer != "" {
		where += ", drawing layer " + quote(m.DrawingLayer) + ","
	}
	if len(shared) == 0 {
		p.Message = fmt.Sprintf("%s has no closed square of %s mm for the mark %s", where, mm(m.Size), quote(m.Name))
	} else {
		p.Message = fmt.Sprintf("%s has %d closed %s of %s mm, but the marks %s need %d",
			where, len(shared), plural(len(shared), "square", "squares"), mm(m.Size), r.markNames(group), len(group))
		for _, k := range shared[:min(len(shared), mostRelated)] {
			p.Related = append(p.Related, problem.Related{Place: r.contourPlace(k), Note: "a mark, at " + xy(r.squares[k].at)})
		}
	}
	if m.DrawingLayer != "" && !slices.ContainsFunc(r.d.Layers, func(l string) bool { return strings.EqualFold(l, m.DrawingLayer) }) {
		p.Message += fmt.Sprintf("; there is no such drawing layer, only %s", strings.Join(r.d.Layers, ", "))
		p.Fix = problem.Advise("name the drawing layer on which the mark stands in Registration, or none")
		if near, ok := problem.Nearest(m.DrawingLayer, r.d.Layers); ok {
			p.Fix = problem.Advise(fmt.Sprintf("write %s for the drawing layer in Registration", near))
		}
	}
	if unseen := r.unseen(group[0]); len(unseen) > 0 {
		p.Related = append(p.Related, unseen...)
		p.Fix = p.Fix.Or("; a square with neither fill nor stroke is not seen")
	}
	p.Related = append(p.Related, r.nearMisses(group[0])...)
	if guess := r.sizeGuess(); guess != "" {
		p.Message += "; " + guess
	}
	r.problems.Add(p)
}

// unseen are shapes of an SVG without fill and stroke, of which one may be
// mark i.
func (r *registration) unseen(i int) []problem.Related {
	var out []problem.Related
	for _, c := range r.d.Passed {
		want := r.marks[i].DrawingLayer
		if c.Why != drawing.NoPaint || want != "" && !strings.EqualFold(c.Layer, want) || len(out) == mostRelated {
			continue
		}
		note := "this " + c.What + " is " + c.Why
		if c.N > 1 {
			note = fmt.Sprintf("%d x %s %s, this the first", c.N, c.What, c.Why)
		}
		out = append(out, problem.Related{Place: c.First, Note: note})
	}
	return out
}

// nearMisses are contours that somebody may have meant for mark i.
func (r *registration) nearMisses(i int) []problem.Related {
	type miss struct {
		off     float64
		related problem.Related
	}
	var misses []miss
	size := r.marks[i].Size
	isSquare := make(map[int]bool)
	for k, s := range r.squares {
		isSquare[s.contours[0]] = true
		ratio := max(s.size/size, size/s.size)
		if exact := math.Abs(s.size-size) <= sizeWithin; exact && !r.onLayer(s, i) {
			misses = append(misses, miss{0, problem.Related{Place: r.contourPlace(k), Note: fmt.Sprintf("the right size, but on drawing layer %q", r.d.Contours[s.contours[0]].Layer)}})
		} else if !exact && ratio < 1.5 {
			misses = append(misses, miss{ratio - 1, problem.Related{Place: r.contourPlace(k), Note: fmt.Sprintf("a square of %s mm at %s", mm(s.size), xy(s.at))}})
		}
	}
	for k, c := range r.d.Contours {
		if isSquare[k] || len(c.Points) < 4 {
			continue
		}
		middle, area, _ := centroid(c.Points)
		w, h := extent(c.Points)
		tooFar := max(math.Abs(w-size), math.Abs(h-size))
		if tooFar > size/4 || area < 0.7*float64(size*size) || area > 1.4*float64(size*size) {
			continue
		}
		note := fmt.Sprintf("nearly: %s x %s mm at %s, but not square", mm(w), mm(h), xy(middle))
		if _, square := asSquare(c.Points); square && !c.Closed {
			note = fmt.Sprintf("nearly: a square of %s x %s mm at %s, but not closed", mm(w), mm(h), xy(middle))
		}
		misses = append(misses, miss{tooFar / size, problem.Related{Place: c.Place, Note: note}})
	}
	slices.SortStableFunc(misses, func(a, b miss) int { return cmp.Compare(a.off, b.off) })
	var out []problem.Related
	for _, m := range misses[:min(len(misses), mostRelated)] {
		out = append(out, m.related)
	}
	return out
}

// pair tries all ways to give each mark one of its squares and takes the one
// that fits best; where several fit alike, the one that turns least.
func (r *registration) pair(candidates [][]int) ([]int, bool) {
	type fitted struct {
		pairing []int
		t       transform
	}
	var all []fitted
	from, to := make([]drawing.XY, len(candidates)), make([]drawing.XY, len(candidates))
	for i, m := range r.marks {
		to[i] = drawing.XY{X: m.X, Y: m.Y}
	}
	bestMirrored, steps := math.Inf(1), 0
	pairing := make([]int, len(candidates))
	var try func(i int)
	try = func(i int) {
		if steps++; i == len(candidates) {
			all = append(all, fitted{slices.Clone(pairing), rigid(from, to)})
			bestMirrored = min(bestMirrored, mirrored(from, to).rms)
			return
		}
		for _, k := range candidates[i] {
			if steps <= mostSteps && !slices.Contains(pairing[:i], k) {
				pairing[i], from[i] = k, r.squares[k].at
				try(i + 1)
			}
		}
	}
	if try(0); steps > mostSteps || len(all) == 0 {
		r.problems.Errorf(problem.TooManyMarks, r.marks[0].Place, problem.Advise("put each mark on a drawing layer of its own, or give the marks different sizes"),
			"the %d marks are too many of nearly one size to be told apart", len(r.marks))
		return nil, false
	}
	best := slices.MinFunc(all, func(a, b fitted) int { return cmp.Compare(a.t.rms, b.t.rms) })
	if best.t.rms > off && bestMirrored <= slightlyOff {
		r.problems.Errorf(problem.MirroredDrawing, r.layer.DrawingPlace, problem.Advise("draw or export it the right way round, y upwards; a drawing is never mirrored here"),
			"the marks of %s fit their places on the sheet only in a mirror", r.name())
		return nil, false
	}
	worstAlike := best.t.rms + alike
	for _, f := range all {
		if f.t.rms <= worstAlike && f.t.cos > best.t.cos+1e-9 {
			best = f
		}
	}
	return best.pairing, true
}
