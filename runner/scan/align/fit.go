package align

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/scan/squares"
	"mahlstick/runner/vector"
)

// Offset is how far something painted lies, along one direction, from where the job
// asks for it. Lengths are in mm on the sheet.
type Offset struct {
	At      vector.XY // where the job asks for it
	Along   vector.XY // a direction of length 1
	By      float64   // how far it lies that way, by the map that is to be improved
	U       float64   // standard uncertainty of that
	Program int
}

// Fit is a map as fitted.
type Fit struct {
	Map    Map
	Shifts map[int]Shift
	// Scatter is the scatter of the offsets that are left, by a median, in mm; Used is the
	// share of the offsets that agree with the others.
	Scatter, Used float64
	// Slant is how far, at most, the corners of what is painted lie beside an affine map
	// if the scan is a photograph at a slant, in mm; SlantU is its standard uncertainty.
	Slant, SlantU float64
	// ScaleU is the relative standard uncertainty of the scale along x and y.
	ScaleU [2]float64
}

// Shift is how far the marks of a program lie from where they would be if they were
// moved like those of the first program.
type Shift struct {
	X, Y, U float64 // mm
}

// What is known beforehand of scanners and sheets; common practice, no source.
const (
	scaleApart = 0.01  // standard deviation of how much the scales of the axes differ
	shear      = 0.003 // and of the shear, radians
	tipOff     = 0.5   // mm, of the shift between programs
)

// rounds of weighing anew.
const rounds = 10

// The unknowns: the correction of a place is a + b·x + c·y along x and d + e·x + f·y
// along y; then come the two terms of a slant, then the shifts of the programs.
const (
	affine  = 6
	shifted = 8
)

// Improve corrects a map so that what was found lies where the job asks for it. The
// places are counted from the middle of all.
func Improve(m Map, offsets []Offset) (Fit, bool) {
	programs := programsOf(offsets)
	middle, size := spreadOf(offsets)
	weights := make([]float64, len(offsets))
	for i := range weights {
		weights[i] = 1
	}
	n := shifted + 2*(len(programs)-1)
	var k, variances []float64
	row := make([]float64, n)
	left := make([]float64, len(offsets))
	var slant, slantU, scatter float64
	for round := range rounds {
		last := round >= rounds-2 // without a slant
		sums := squares.New(n)
		for i, o := range offsets {
			rowOf(row, o, middle, programs)
			u := math.Hypot(o.U, scatter)
			sums.Add(row, o.By, weights[i]/(u*u))
		}
		hold(sums, m, n, !last)
		var ok bool
		if k, variances, ok = sums.Solve(); !ok {
			return Fit{}, false
		}
		for i, o := range offsets {
			rowOf(row, o, middle, programs)
			left[i] = o.By
			for j, r := range row {
				left[i] -= float64(r * k[j])
			}
		}
		if !last {
			slant, slantU = slantOf(k, variances, size)
			slantU *= excess(left, weights, offsets, scatter)
		}
		scatter = reweigh(weights, left, offsets)
	}
	f := Fit{Shifts: map[int]Shift{}, Scatter: scatter, Slant: slant, SlantU: slantU}
	for _, w := range weights {
		if w > 0 {
			f.Used++
		}
	}
	f.Used /= float64(max(1, len(offsets)))
	f.Map = corrected(m, k, middle)
	f.ScaleU = [2]float64{math.Sqrt(variances[1]), math.Sqrt(variances[5])}
	f.Shifts[programs[0]] = Shift{}
	for i, p := range programs[1:] {
		at := shifted + 2*i
		f.Shifts[p] = Shift{k[at], k[at+1], math.Sqrt(max(variances[at], variances[at+1]))}
	}
	return f, true
}

// excess is how large the offsets that are left are, as a part of what was expected of them.
func excess(left, weights []float64, offsets []Offset, scatter float64) float64 {
	sum, all := 0.0, 0.0
	for i, l := range left {
		u := math.Hypot(offsets[i].U, scatter)
		sum += float64(weights[i] * (l / u) * (l / u))
		all += weights[i]
	}
	return math.Sqrt(sum / max(all, 1))
}

// hold adds what is known beforehand. Without a slant its terms stay 0.
func hold(sums *squares.Sums, m Map, n int, slant bool) {
	x, y := vector.XY{X: m.XX, Y: m.YX}, vector.XY{X: m.XY, Y: m.YY}
	row := make([]float64, n)
	row[1], row[5] = 1, -1 // scale of x less that of y
	sums.Add(row, math.Log(y.Length()/x.Length()), 1/(scaleApart*scaleApart))
	row[1], row[5], row[2], row[4] = 0, 0, 1, 1
	sums.Add(row, -x.Dot(y)/(x.Length()*y.Length()), 1/(shear*shear))
	for i := range affine {
		sums.Hold(i, 0, 1e-6)
	}
	for i := affine; i < shifted; i++ {
		if slant {
			sums.Hold(i, 0, 1e-6)
		} else {
			sums.Hold(i, 0, 1e18)
		}
	}
	for i := shifted; i < n; i++ {
		sums.Hold(i, 0, 1/(tipOff*tipOff))
	}
}

// rowOf is the equation of an offset.
func rowOf(row []float64, o Offset, middle vector.XY, programs []int) {
	clear(row)
	p, a := o.At.Minus(middle), o.Along
	row[0], row[1], row[2] = a.X, a.X*p.X, a.X*p.Y
	row[3], row[4], row[5] = a.Y, a.Y*p.X, a.Y*p.Y
	out := p.Dot(a)
	row[6], row[7] = p.X*out, p.Y*out
	if i := slices.Index(programs, o.Program); i > 0 {
		row[shifted+2*(i-1)], row[shifted+2*(i-1)+1] = a.X, a.Y
	}
}

// reweigh gives less weight to what lies apart (Tukey's biweight at 4.685 standard
// deviations, from memory), and returns the scatter beyond the stated uncertainties.
func reweigh(weights, left []float64, offsets []Offset) float64 {
	sizes := make([]float64, len(left))
	for i, l := range left {
		sizes[i] = math.Abs(l)
	}
	slices.Sort(sizes)
	scatter := 1.4826 * sizes[len(sizes)/2]
	for i, l := range left {
		limit := 4.685 * max(math.Hypot(scatter, offsets[i].U), 0.005)
		r := l / limit
		weights[i] = 0
		if math.Abs(r) < 1 {
			weights[i] = (1 - float64(r*r)) * (1 - float64(r*r))
		}
	}
	return scatter
}

func corrected(m Map, k []float64, middle vector.XY) Map {
	// c(p) = k0 + k1(x-mx) + k2(y-my); the sheet's p is found at p + c(p).
	x0 := k[0] - float64(k[1]*middle.X) - float64(k[2]*middle.Y)
	y0 := k[3] - float64(k[4]*middle.X) - float64(k[5]*middle.Y)
	return Map{
		XX: float64(m.XX*(1+k[1])) + float64(m.XY*k[4]), XY: float64(m.XX*k[2]) + float64(m.XY*(1+k[5])), X0: float64(m.XX*x0) + float64(m.XY*y0) + m.X0,
		YX: float64(m.YX*(1+k[1])) + float64(m.YY*k[4]), YY: float64(m.YX*k[2]) + float64(m.YY*(1+k[5])), Y0: float64(m.YX*x0) + float64(m.YY*y0) + m.Y0,
	}
}

// slantOf is how far the two terms of a slant move a corner.
func slantOf(k, variances []float64, size vector.XY) (by, u float64) {
	far := size.Dot(size)
	half := math.Sqrt(far)
	by = half * (float64(math.Abs(k[6])*size.X) + float64(math.Abs(k[7])*size.Y))
	u = half * math.Hypot(math.Sqrt(variances[6])*size.X, math.Sqrt(variances[7])*size.Y)
	return by, u
}

func programsOf(offsets []Offset) (out []int) {
	for _, o := range offsets {
		if !slices.Contains(out, o.Program) {
			out = append(out, o.Program)
		}
	}
	slices.SortFunc(out, cmp.Compare[int])
	return out
}

// spreadOf is the middle of all places, and how far they reach from it along x and y.
func spreadOf(offsets []Offset) (middle, size vector.XY) {
	box := vector.Empty()
	for _, o := range offsets {
		box.Add(o.At)
	}
	return box.Min.Toward(box.Max, 0.5), box.Max.Minus(box.Min).Times(0.5)
}
