// Package squares fits linear models by least squares, from sums that take one
// equation at a time: nothing but the sums is kept.
package squares

import "math"

// Sums are those of the normal equations.
type Sums struct {
	n      int
	matrix []float64 // n x (n+1), the upper triangle and the right side
}

// New is the sums for so many unknowns.
func New(n int) *Sums { return &Sums{n, make([]float64, n*(n+1))} }

// Add adds the equation Σ row·unknown = value with a weight, which is 1/variance where
// doubts are asked for. Terms of the row that are 0 cost little.
func (s *Sums) Add(row []float64, value, weight float64) {
	for i, a := range row {
		if a == 0 {
			continue
		}
		a *= weight
		rest := row[i:s.n]
		at := s.matrix[i*(s.n+1)+i:][:len(rest)+1]
		for j, r := range rest {
			at[j] += float64(a * r)
		}
		at[len(rest)] += float64(a * value)
	}
}

// Hold pulls one unknown towards a value.
func (s *Sums) Hold(unknown int, value, weight float64) {
	at := s.matrix[unknown*(s.n+1):]
	at[unknown] += float64(weight)
	at[s.n] += float64(weight * value)
}

// Solve finds the unknowns, and the variance of each if the weights were 1/variance.
// It is false where the equations leave an unknown free. The matrix is decomposed by
// Cholesky (Golub and Van Loan, Matrix Computations, 4.2; from memory).
func (s *Sums) Solve() (values, variances []float64, ok bool) {
	n := s.n
	l := make([]float64, n*n)
	for j := range n {
		for i := j; i < n; i++ {
			sum := s.matrix[j*(n+1)+i]
			for k := range j {
				sum -= float64(l[i*n+k] * l[j*n+k])
			}
			if i > j {
				l[i*n+j] = sum / l[j*n+j]
				continue
			}
			if !(sum > 1e-12*s.matrix[j*(n+1)+j]) || math.IsInf(sum, 0) {
				return nil, nil, false
			}
			l[j*n+j] = math.Sqrt(sum)
		}
	}
	right := make([]float64, n)
	for i := range n {
		right[i] = s.matrix[i*(n+1)+n]
	}
	values = solveFactors(l, right, n)
	variances = make([]float64, n)
	unit := make([]float64, n)
	for i := range n {
		clear(unit)
		unit[i] = 1
		variances[i] = solveFactors(l, unit, n)[i]
	}
	return values, variances, true
}

func solveFactors(l, right []float64, n int) []float64 {
	out := append([]float64(nil), right...)
	for i := range n {
		for k := range i {
			out[i] -= float64(l[i*n+k] * out[k])
		}
		out[i] /= l[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			out[i] -= float64(l[k*n+i] * out[k])
		}
		out[i] /= l[i*n+i]
	}
	return out
}
