package register

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/vector"
)

const (
	// A square may be a mark if its side differs from the stated one by at most
	// this (mm).
	sizeWithin = 0.05
	// Most steps in pairing marks with squares: enough for seven marks of one
	// size.
	maxSteps = 20000
	// Pairings whose fits differ by less than this (mm) are equally good. Of
	// those, the one that turns the drawing least is used.
	equallyGood = 0.05
	// Most related places that are listed after the first.
	maxRelated = 5
)

// find pairs every mark of the recipe with a square of the drawing. If the list
// holds an error, there are no squares.
func find(t *task) ([]square, problem.List) {
	if len(t.marks) == 0 {
		return nil, nil
	}
	f := finder{task: t, squares: squares(t.drawing.Contours)}
	for i := range t.marks {
		f.candidates = append(f.candidates, f.squaresFor(i))
	}
	if problems := f.checkCandidates(); problems.HasErrors() {
		return nil, problems
	}
	pairing, problems := f.pair()
	if problems.HasErrors() {
		return nil, problems
	}
	var found []square
	for _, k := range pairing {
		found = append(found, f.squares[k])
	}
	return found, problems
}

// finder holds the squares of a drawing and, for each mark, the squares that it
// may be.
type finder struct {
	task       *task
	squares    []square
	candidates [][]int // indices of squares, by mark
}

// squaresFor lists the squares that may be mark i.
func (f *finder) squaresFor(i int) []int {
	var out []int
	for k, s := range f.squares {
		if f.task.onLayer(s, f.task.marks[i]) && math.Abs(s.size-f.task.marks[i].Size) <= sizeWithin {
			out = append(out, k)
		}
	}
	return out
}

// checkCandidates reports groups of marks with too few squares, or too many.
func (f *finder) checkCandidates() problem.List {
	var problems problem.List
	seen := make([]bool, len(f.task.marks))
	for i := range f.task.marks {
		if seen[i] {
			continue
		}
		group, shared := f.group(i)
		for _, j := range group {
			seen[j] = true
		}
		switch {
		case len(shared) < len(group):
			problems.Add(f.missing(group, shared))
		case len(shared) > len(group):
			problems.Add(f.ambiguous(group, shared))
		}
	}
	return problems
}

// group returns the marks that share squares with mark i, directly or through
// other marks, and all their squares.
func (f *finder) group(i int) (marks, shared []int) {
	isShared := map[int]bool{}
	add := func(j int) {
		marks = append(marks, j)
		for _, k := range f.candidates[j] {
			if !isShared[k] {
				isShared[k] = true
				shared = append(shared, k)
			}
		}
	}
	add(i)
	for grown := true; grown; {
		grown = false
		for j, squares := range f.candidates {
			if !slices.Contains(marks, j) && slices.ContainsFunc(squares, func(k int) bool { return isShared[k] }) {
				add(j)
				grown = true
			}
		}
	}
	slices.Sort(shared)
	return marks, shared
}

func (f *finder) names(marks []int) string {
	var names []string
	for _, i := range marks {
		names = append(names, quote(f.task.marks[i].Name))
	}
	return strings.Join(names, ", ")
}

// ambiguous reports more squares than marks.
func (f *finder) ambiguous(marks, shared []int) problem.Problem {
	m, first := f.task.marks[marks[0]], f.squares[shared[0]]
	p := problem.Problem{
		Code: problem.AmbiguousMark, Place: f.task.placeOf(first),
		Fix:     problem.Advise("give the mark a size that nothing else in the drawing has, or put it on a drawing layer of its own and name that in Registration"),
		Related: []problem.Related{{Place: m.Place, Note: "the mark as stated"}},
		Message: fmt.Sprintf("%s has %d squares of %s mm for %s %s; this one is at %s",
			f.task.file(), len(shared), mm(m.Size), plural(len(marks), "the mark", "the marks"), f.names(marks), f.task.xy(first.at)),
	}
	for _, k := range shared[1:min(len(shared), 1+maxRelated)] {
		s := f.squares[k]
		p.Related = append(p.Related, problem.Related{Place: f.task.placeOf(s), Note: fmt.Sprintf("another square of %s mm, at %s", mm(s.size), f.task.xy(s.at))})
	}
	return p
}

// pairing is one way to give each mark a square, and its fit.
type pairing struct {
	squares []int // indices, by mark
	fit     transform
}

// pair tries all ways to give each mark one of its squares, and returns the one
// that fits best. If several are equally good, it returns the one that turns
// the drawing least.
func (f *finder) pair() ([]int, problem.List) {
	var problems problem.List
	all, bestMirrored, ok := f.pairings()
	if !ok {
		problems.Errorf(problem.TooManyMarks, f.task.marks[0].Place, problem.Advise("put each mark on a drawing layer of its own, or give the marks different sizes"),
			"the %d marks have so many squares of nearly the same size that the right ones cannot be found", len(f.task.marks))
		return nil, problems
	}
	best := slices.MinFunc(all, func(a, b pairing) int { return cmp.Compare(a.fit.rms, b.fit.rms) })
	if best.fit.rms > refuseAbove && bestMirrored <= warnAbove {
		problems.Errorf(problem.MirroredDrawing, f.task.layer.DrawingPlace, problem.Advise("draw or export it the right way round, y upwards; a drawing is never mirrored here"),
			"the marks of %s fit their places on the sheet only in a mirror", f.task.file())
		return nil, problems
	}
	worstAccepted := best.fit.rms + equallyGood
	for _, p := range all {
		if p.fit.rms <= worstAccepted && p.fit.cos > best.fit.cos+1e-9 {
			best = p
		}
	}
	return best.squares, problems
}

// pairings lists all pairings, and the residual (mm) of the best one if the
// drawing were mirrored. It gives up after maxSteps.
func (f *finder) pairings() (all []pairing, bestMirrored float64, ok bool) {
	n := len(f.task.marks)
	from, to := make([]vector.XY, n), make([]vector.XY, n)
	for i, m := range f.task.marks {
		to[i] = vector.XY{X: m.X, Y: m.Y}
	}
	bestMirrored = math.Inf(1)
	chosen, steps := make([]int, n), 0
	var try func(i int)
	try = func(i int) {
		if steps++; i == n {
			all = append(all, pairing{slices.Clone(chosen), rigid(from, to)})
			bestMirrored = min(bestMirrored, mirrored(from, to).rms)
			return
		}
		for _, k := range f.candidates[i] {
			if steps <= maxSteps && !slices.Contains(chosen[:i], k) {
				chosen[i], from[i] = k, f.squares[k].at
				try(i + 1)
			}
		}
	}
	try(0)
	return all, bestMirrored, steps <= maxSteps && len(all) > 0
}
