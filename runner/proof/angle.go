package proof

import "math"

const pi = math.Pi

// angleBetween is the angle from the direction (x0, y0) to (x1, y1), radians
// in (-π, π], positive counter-clockwise. Neither may be (0, 0).
func angleBetween(x0, y0, x1, y1 float64) float64 {
	along := float64(x0*x1) + float64(y0*y1)
	across := float64(x0*y1) - float64(y0*x1)
	return angleOf(along, across)
}

// angleOf is the angle of the direction (x, y). It halves the angle three
// times, by tan(a/2) = y / (r + x), and sums the series of the arc tangent,
// whose terms beyond the eleventh are below the last bit there.
func angleOf(x, y float64) float64 {
	if x < 0 {
		if y < 0 {
			return angleOf(-x, -y) - math.Pi
		}
		return math.Pi - angleOf(-x, y)
	}
	r := root(x, y)
	if r == 0 {
		return 0
	}
	t := y / (r + x)
	for range 2 {
		t = t / (1 + root(1, t))
	}
	t2 := float64(t * t)
	sum := 0.0
	for k := 23; k >= 1; k -= 2 {
		sum = 1/float64(k) - float64(t2*sum)
	}
	return 8 * float64(t*sum)
}

// sineCosine sums the two series for an angle of at most one radian, whose
// terms beyond the tenth are below the last bit there.
func sineCosine(a float64) (sine, cosine float64) {
	a2 := float64(a * a)
	sine, cosine = 1, 1
	for k := 18; k >= 2; k -= 2 {
		sine = 1 - float64(a2*sine)/float64(k*(k+1))
		cosine = 1 - float64(a2*cosine)/float64((k-1)*k)
	}
	return float64(a * sine), cosine
}

// root is the length of the vector (x, y).
func root(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// length3 is the length of the vector (x, y, z).
func length3(x, y, z float64) float64 {
	return math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
}
