package seating

import "math"

// slopes are how a place that is x, y from the centre moves with each number that
// is fitted: the shift of the centre, the turn, the growths.
func (f *Fit) slopes(x, y float64) [][2]float64 {
	x1, y1 := float64(f.cos*x), float64(f.sin*x)  // along the sheet's first axis
	x2, y2 := -float64(f.sin*y), float64(f.cos*y) // and its second
	out := [][2]float64{{1, 0}, {0, 1}, {-float64(f.GrowthX*y1) - float64(f.GrowthY*y2), float64(f.GrowthX*x1) + float64(f.GrowthY*x2)}}
	switch f.Growth {
	case Even:
		out = append(out, [2]float64{x1 + x2, y1 + y2})
	case Grain:
		out = append(out, [2]float64{x1, y1}, [2]float64{x2, y2})
	}
	return out
}

// doubt finds the covariance. A single mark gives the shift; the doubt of its turn
// is assumed.
func (f *Fit) doubt(readings []Reading, single bool) {
	if single {
		sum := 0.0
		for _, r := range readings {
			sum += weight(r)
		}
		f.covariance = [][]float64{{1 / sum, 0, 0}, {0, 1 / sum, 0}, {0, 0, AssumedTurn * AssumedTurn}}
		return
	}
	n := len(f.slopes(0, 0))
	normal := make([][]float64, n)
	for i := range normal {
		normal[i] = make([]float64, n)
	}
	for _, r := range readings {
		s, w := f.slopes(r.X-f.CentreX, r.Y-f.CentreY), weight(r)
		for i := range n {
			for k := range n {
				normal[i][k] += float64(w * (float64(s[i][0]*s[k][0]) + float64(s[i][1]*s[k][1])))
			}
		}
	}
	f.covariance = inverse(normal)
}

// inverse is that of a symmetric positive definite matrix, by elimination
// without exchanges, which it does not need.
func inverse(m [][]float64) [][]float64 {
	n := len(m)
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
		out[i][i] = 1
	}
	for i := range n {
		p := m[i][i]
		for k := range n {
			m[i][k], out[i][k] = m[i][k]/p, out[i][k]/p
		}
		for j := range n {
			if q := m[j][i]; j != i && q != 0 {
				for k := range n {
					m[j][k] -= float64(q * m[i][k])
					out[j][k] -= float64(q * out[i][k])
				}
			}
		}
	}
	return out
}

// Covariance is that of the place of a point, given at the stops: xx, xy, yy.
func (f *Fit) Covariance(x, y float64) (xx, xy, yy float64) {
	s := f.slopes(x-f.CentreX, y-f.CentreY)
	if f.TurnAssumed {
		s = s[:3]
	}
	for i := range s {
		for k := range s {
			c := f.covariance[i][k]
			xx += float64(c * float64(s[i][0]*s[k][0]))
			xy += float64(c * float64(s[i][0]*s[k][1]))
			yy += float64(c * float64(s[i][1]*s[k][1]))
		}
	}
	by := float64(f.Scatter * f.Scatter)
	return xx * by, xy * by, yy * by
}

// Doubt is the standard uncertainty of the place of a point, given at the stops,
// in the direction in which it is largest.
func (f *Fit) Doubt(x, y float64) float64 {
	xx, xy, yy := f.Covariance(x, y)
	half := (xx - yy) / 2
	return math.Sqrt((xx+yy)/2 + math.Sqrt(float64(half*half)+float64(xy*xy)))
}

// TurnDoubt is the standard uncertainty of the turn.
func (f *Fit) TurnDoubt() float64 { return f.Scatter * math.Sqrt(f.covariance[2][2]) }

// GrowthDoubts are those of the growths; 0 for what is not fitted.
func (f *Fit) GrowthDoubts() (x, y float64) {
	if f.TurnAssumed {
		return 0, 0
	}
	switch f.Growth {
	case Even:
		x = f.Scatter * math.Sqrt(f.covariance[3][3])
		return x, x
	case Grain:
		return f.Scatter * math.Sqrt(f.covariance[3][3]), f.Scatter * math.Sqrt(f.covariance[4][4])
	}
	return 0, 0
}
