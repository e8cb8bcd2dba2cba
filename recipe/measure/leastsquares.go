package measure

import (
	"errors"
	"math"
)

// ErrNoFit is returned where the readings do not determine what is asked.
var ErrNoFit = errors.New("the readings do not determine it")

// Fit is the result of LeastSquares.
type Fit struct {
	Coefficients []float64
	// Covariance is that of the coefficients.
	Covariance [][]float64
	// Residual is the standard deviation of a reading of weight 1 about the fit,
	// with Freedom degrees of freedom.
	Residual float64
	Freedom  float64
}

// U is the standard uncertainty of a coefficient.
func (f *Fit) U(i int) float64 { return math.Sqrt(max(f.Covariance[i][i], 0)) }

// At is the value of the fit for a row of the design, and its standard
// uncertainty.
func (f *Fit) At(row []float64) (value, u float64) {
	variance := 0.0
	for i, x := range row {
		value += float64(x * f.Coefficients[i])
		for j, z := range row {
			variance += float64(float64(x*z) * f.Covariance[i][j])
		}
	}
	return value, math.Sqrt(max(variance, 0))
}

// LeastSquares finds the coefficients c for which the weighted squares of
// y - design·c are least; design has a row for each reading. Without weights (nil)
// all count alike. The scatter about the fit is the uncertainty of a reading of
// weight 1; known is used for it where that is greater than 0.
//
// It takes the design apart by Householder's reflections (A. S. Householder,
// J. ACM 5 (1958) 339-342), which lose half as many digits as the normal
// equations, with columns of like length, and improves the result once.
func LeastSquares(design [][]float64, y, weights []float64, known float64) (*Fit, error) {
	n := len(design)
	if n == 0 || len(design[0]) == 0 || n < len(design[0]) {
		return nil, ErrNoFit
	}
	k := len(design[0])
	rows, right := make([][]float64, n), make([]float64, n)
	for i := range design {
		w := 1.0
		if weights != nil {
			w = math.Sqrt(weights[i])
		}
		rows[i] = make([]float64, k)
		for j, x := range design[i] {
			rows[i][j] = float64(w * x)
		}
		right[i] = float64(w * y[i])
	}
	q := newQR(rows)
	if q == nil {
		return nil, ErrNoFit
	}
	c := q.solve(right)
	rest := residuals(rows, right, c)
	for j, d := range q.solve(rest) {
		c[j] += d
	}
	squares := 0.0
	for _, r := range residuals(rows, right, c) {
		squares += square(r)
	}
	f := &Fit{Coefficients: c, Freedom: float64(n - k)}
	if n > k {
		f.Residual = math.Sqrt(squares / float64(n-k))
	}
	spread := f.Residual
	if known > 0 {
		spread = known
	}
	f.Covariance = q.covariance(square(spread))
	return f, nil
}

func residuals(rows [][]float64, right, c []float64) []float64 {
	out := make([]float64, len(rows))
	for i, row := range rows {
		out[i] = right[i]
		for j, x := range row {
			out[i] -= float64(x * c[j])
		}
	}
	return out
}

// qr is a matrix as reflections and a triangle, its columns scaled to length 1.
type qr struct {
	a     [][]float64 // by columns: the reflections' vectors below and on the diagonal, the triangle above it
	diag  []float64   // of the triangle
	scale []float64   // lengths of the columns
}

// newQR takes a matrix apart; nil if its columns depend on each other.
func newQR(rows [][]float64) *qr {
	n, k := len(rows), len(rows[0])
	q := &qr{a: make([][]float64, k), diag: make([]float64, k), scale: make([]float64, k)}
	for j := range k {
		length := 0.0
		for i := range n {
			length += square(rows[i][j])
		}
		if q.scale[j] = math.Sqrt(length); !(q.scale[j] > 0) {
			return nil
		}
	}
	for j := range k {
		q.a[j] = make([]float64, n)
		for i := range rows {
			q.a[j][i] = rows[i][j] / q.scale[j]
		}
	}
	for j := range k {
		length := 0.0
		for i := j; i < n; i++ {
			length += square(q.a[j][i])
		}
		length = math.Sqrt(length)
		if !(length > 1e-12) {
			return nil
		}
		if q.a[j][j] < 0 {
			length = -length
		}
		for i := j; i < n; i++ {
			q.a[j][i] /= length
		}
		q.a[j][j]++
		q.diag[j] = -length
		for m := j + 1; m < k; m++ {
			q.reflect(j, q.a[m])
		}
	}
	return q
}

// reflect applies reflection j to a column.
func (q *qr) reflect(j int, column []float64) {
	by := q.a[j][j:]
	column = column[j:][:len(by)]
	sum := 0.0
	for i, v := range by {
		sum += float64(v * column[i])
	}
	sum /= -by[0]
	for i, v := range by {
		column[i] += float64(sum * v)
	}
}

// solve finds the coefficients with the least squares for a right side.
func (q *qr) solve(right []float64) []float64 {
	b := append([]float64(nil), right...)
	for j := range q.diag {
		q.reflect(j, b)
	}
	c := make([]float64, len(q.diag))
	for j := len(c) - 1; j >= 0; j-- {
		sum := b[j]
		for m := j + 1; m < len(c); m++ {
			sum -= float64(q.a[m][j] * c[m])
		}
		c[j] = sum / q.diag[j]
	}
	for j := range c {
		c[j] /= q.scale[j]
	}
	return c
}

// covariance is the inverse of the triangle's square, times the variance of a
// reading.
func (q *qr) covariance(variance float64) [][]float64 {
	k := len(q.diag)
	inverse := make([][]float64, k) // of the triangle
	for i := range inverse {
		inverse[i] = make([]float64, k)
	}
	for j := range k {
		inverse[j][j] = 1 / q.diag[j]
		for i := j - 1; i >= 0; i-- {
			sum := 0.0
			for m := i + 1; m <= j; m++ {
				sum -= float64(q.a[m][i] * inverse[m][j])
			}
			inverse[i][j] = sum / q.diag[i]
		}
	}
	out := make([][]float64, k)
	for i := range out {
		out[i] = make([]float64, k)
		for j := range out[i] {
			for m := max(i, j); m < k; m++ {
				out[i][j] += float64(inverse[i][m] * inverse[j][m])
			}
			out[i][j] *= variance / float64(q.scale[i]*q.scale[j])
		}
	}
	return out
}
