package quantity_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/quantity"
)

// Any quantity of a few readings in a unit of the given dimension.
func drawn(t *rapid.T, units ...quantity.Unit) quantity.Quantity {
	var parts []quantity.Part
	for i := range rapid.IntRange(0, 4).Draw(t, "readings") {
		parts = append(parts, quantity.Part{
			Reading: quantity.Reading{File: "a.md", Offset: rapid.IntRange(0, 5).Draw(t, "reading")},
			Amount:  rapid.Float64Range(-2, 2).Draw(t, "amount"),
		})
		_ = i
	}
	return quantity.Correlated(rapid.Float64Range(-50, 50).Draw(t, "number"), rapid.SampledFrom(units).Draw(t, "unit"), parts)
}

func alike(t *rapid.T, what string, a, b quantity.Quantity) {
	t.Helper()
	c := quantity.Coherent(a.Dim())
	if a.Dim() != b.Dim() {
		t.Fatalf("%s: %v and %v", what, a.Dim(), b.Dim())
	}
	size := math.Max(math.Abs(a.In(c)), math.Abs(b.In(c)))
	if math.Abs(a.In(c)-b.In(c)) > 1e-13*size+1e-11 || math.Abs(a.U(c)-b.U(c)) > 1e-11*(1+a.U(c)) {
		t.Fatalf("%s: %v ± %v and %v ± %v", what, a.In(c), a.U(c), b.In(c), b.U(c))
	}
}

func ok(t *rapid.T) func(quantity.Quantity, error) quantity.Quantity {
	return func(q quantity.Quantity, err error) quantity.Quantity {
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
}

// The rules of arithmetic hold for values and for uncertainties, for any
// units and however the readings are shared.
func TestArithmetic(t *testing.T) {
	lengths := []quantity.Unit{quantity.MM, quantity.CM, quantity.Inch, quantity.Micrometre}
	times := []quantity.Unit{quantity.Second, quantity.Minute}
	rapid.Check(t, func(t *rapid.T) {
		q := ok(t)
		a, b, c := drawn(t, lengths...), drawn(t, lengths...), drawn(t, lengths...)
		s := drawn(t, times...)
		alike(t, "a+b = b+a", q(quantity.Add(a, b)), q(quantity.Add(b, a)))
		alike(t, "a*b = b*a", q(quantity.Multiply(a, b)), q(quantity.Multiply(b, a)))
		alike(t, "a*s = s*a", q(quantity.Multiply(a, s)), q(quantity.Multiply(s, a)))
		alike(t, "(a+b)+c = a+(b+c)", q(quantity.Add(q(quantity.Add(a, b)), c)), q(quantity.Add(a, q(quantity.Add(b, c)))))
		alike(t, "(a+b)*s = a*s+b*s", q(quantity.Multiply(q(quantity.Add(a, b)), s)), q(quantity.Add(q(quantity.Multiply(a, s)), q(quantity.Multiply(b, s)))))
		alike(t, "a-b = -(b-a)", q(quantity.Subtract(a, b)), quantity.Negate(q(quantity.Subtract(b, a))))
		alike(t, "a in inches", a, a.To(quantity.Inch))
		if math.Abs(s.Number()) > 0.1 {
			alike(t, "a/s*s = a", q(quantity.Multiply(q(quantity.Divide(a, s)), s)), a)
			one := q(quantity.Divide(s, s))
			if one.Number() != 1 || one.U(quantity.One) != 0 || one.Dim() != quantity.Pure {
				t.Fatalf("s/s = %v", one)
			}
		}
		zero := q(quantity.Subtract(a, a))
		if zero.Number() != 0 || zero.Uncertain() {
			t.Fatalf("a-a = %v", zero)
		}
		again := q(quantity.Subtract(q(quantity.Subtract(q(quantity.Multiply(a, quantity.New(3.3, quantity.One))), a)), q(quantity.Multiply(a, quantity.New(2.3, quantity.One)))))
		if again.Uncertain() {
			t.Fatalf("3.3a - a - 2.3a = %v ± %v", again.Number(), again.U(quantity.MM))
		}
	})
}

// One reading reached by two ways counts once: the half of 2.40 ± 0.05 mm
// twice is not 2.40 ± 0.035 mm. Readings of different places are independent.
func TestSharedReadings(t *testing.T) {
	read := func(offset int) quantity.Quantity {
		return quantity.Measured(2.4, quantity.MM, 0.05, quantity.Reading{File: "a.md", Offset: offset})
	}
	for _, c := range []struct {
		a, b quantity.Quantity
		u    float64
	}{
		{read(1), read(1), 0.1},
		{read(1), read(2), 0.05 * math.Sqrt2},
		{read(1), quantity.Negate(read(1)), 0},
		{read(1), read(1).To(quantity.Inch), 0.1},
	} {
		sum, err := quantity.Add(c.a, c.b)
		if err != nil || math.Abs(sum.U(quantity.MM)-c.u) > 1e-15 {
			t.Errorf("u of the sum is %v, want %v %v", sum.U(quantity.MM), c.u, err)
		}
	}
}

// A length times an angle is an arc, radius times radians, once the product is
// done; nothing else makes the radian go away.
func TestArc(t *testing.T) {
	r, a := quantity.New(10, quantity.MM), quantity.New(90, quantity.Degree)
	for _, factors := range [][2]quantity.Quantity{{r, a}, {a, r}} {
		product, _ := quantity.Multiply(factors[0], factors[1])
		arc := quantity.Arc(product)
		if arc.Dim() != quantity.Length || math.Abs(arc.Number()-5*math.Pi) > 1e-14 || arc.Unit() != quantity.MM {
			t.Errorf("10 mm times 90 degrees is %v", arc)
		}
		turn, _ := quantity.Divide(product, quantity.New(2, quantity.CM))
		if turn = quantity.Arc(turn); turn.Dim() != quantity.Angle || math.Abs(turn.In(quantity.Degree)-45) > 1e-13 {
			t.Errorf("10 mm times 90 degrees over 2 cm is %v", turn)
		}
	}
	square, _ := quantity.Multiply(a, a)
	turned, _ := quantity.Divide(a, r)
	if square.Dim() != (quantity.Dim{Angle: 2}) || turned.Dim() != (quantity.Dim{Angle: 1, Length: -1}) {
		t.Errorf("angle squared is %v, angle over length is %v", square, turned)
	}
}

func TestFaults(t *testing.T) {
	mm, s := quantity.New(1, quantity.MM), quantity.New(1, quantity.Second)
	var wrong *quantity.DimensionError
	if _, err := quantity.Add(mm, s); !errors.As(err, &wrong) || wrong.Error() != "cannot add a length and a time" {
		t.Errorf("got %v", err)
	}
	if _, err := quantity.Compare(mm, s); !errors.As(err, &wrong) {
		t.Errorf("got %v", err)
	}
	if _, err := quantity.Divide(mm, quantity.New(0, quantity.MM)); !errors.Is(err, quantity.ErrZero) {
		t.Errorf("got %v", err)
	}
	p := mm
	var err error
	for range 20 {
		if p, err = quantity.Multiply(p, mm); err != nil {
			break
		}
	}
	if !errors.Is(err, quantity.ErrUnit) {
		t.Errorf("mm to the power 21: %v", err)
	}
}
