package measure

import (
	"math"
	"slices"
)

// People is how the readings of several people differ: a one-way analysis of
// variance between them, within blocks of readings that should be equal.
type People struct {
	// Between is the standard deviation of people, Within that of one person's
	// readings.
	Between, Within Estimate
	// BetweenSquare and WithinSquare are the mean squares of which they come, with
	// their degrees of freedom. Each is how many readings a person has: where not
	// all have as many, the number that counts.
	BetweenSquare, WithinSquare   float64
	BetweenFreedom, WithinFreedom float64
	Each                          float64
	// Off is by how much each person reads more than all together; not known for
	// one who shares no block with others.
	Off []Estimate
}

// Known reports whether people could be compared.
func (p *People) Known() bool { return p.Between.Known() }

// ByPerson is a reading by a person, counted from 0, of something that others read
// too: what has the same block should be equal.
type ByPerson struct {
	Block, Person int
	Value         float64
}

// PeopleOf compares people. It is false where fewer than two share a block, where
// nobody shares one with some of the others, or where nothing is left to show the
// scatter of one person.
//
// The sums of squares are those of an analysis of variance with the blocks taken
// out first; the spread between people follows from their expected values (C. R.
// Henderson, Biometrics 9 (1953) 226-252, method 3). With one block it is the
// usual one-way analysis.
func PeopleOf(readings []ByPerson) (p People, ok bool) {
	c := newComparison(readings)
	people := float64(len(c.people))
	p.BetweenFreedom, p.WithinFreedom = people-1, c.total-c.blocks-(people-1)
	if people < 2 || p.WithinFreedom <= 0 {
		return p, false
	}
	inverse := invert(c.matrix)
	if inverse == nil {
		return p, false
	}
	between, trace := 0.0, 0.0
	off := make([]float64, len(c.people))
	for j := range off {
		for k, q := range c.excess {
			off[j] += float64(inverse[j][k] * q)
		}
		between += float64(off[j] * c.excess[j])
		trace += c.matrix[j][j] - square(c.count[j])/c.total
	}
	p.BetweenSquare = between / p.BetweenFreedom
	p.WithinSquare = max(c.squares-between, 0) / p.WithinFreedom
	p.Each = trace / p.BetweenFreedom
	p.Within = Estimate{Value: math.Sqrt(p.WithinSquare), Freedom: p.WithinFreedom, Readings: int(c.total)}
	p.Within.U = p.Within.Value / math.Sqrt(2*p.WithinFreedom)
	variance := max(p.BetweenSquare-p.WithinSquare, 0) / p.Each
	u := math.Sqrt(2*(square(p.BetweenSquare)/p.BetweenFreedom+square(p.WithinSquare)/p.WithinFreedom)) / p.Each
	sd := math.Sqrt(variance)
	// The root of a variance known to ± u is known to u/2sd or, near 0, to √u.
	p.Between = Estimate{Value: sd, U: min(u/(2*max(sd, 1e-9)), math.Sqrt(u)), Freedom: p.BetweenFreedom, Readings: int(c.total)}.rounded()
	for j, person := range c.people {
		for len(p.Off) <= person {
			p.Off = append(p.Off, Estimate{})
		}
		e := Estimate{Value: off[j], Freedom: p.WithinFreedom, Readings: int(c.count[j])}
		e.U = float64(p.Within.Value * math.Sqrt(max(inverse[j][j]-1/c.total, 0)))
		p.Off[person] = e.rounded()
	}
	p.Within = p.Within.rounded()
	return p, true
}

// byPerson are the readings of marks, sorted by press, for which somebody is named. A
// mark that several read is a block; where each read marks of their own, those of one
// press are.
func byPerson(readings []Reading, marks []mark) []ByPerson {
	var out []ByPerson
	block := 0
	for _, r := range rungsOf(marks, 0) {
		own := block
		block++
		for _, m := range marks[r.first:r.end] {
			at := own
			if slices.ContainsFunc(m.readings, func(i int) bool { return readings[i].By != readings[m.readings[0]].By }) {
				at = block
				block++
			}
			for _, i := range m.readings {
				if by := readings[i].By; by >= 0 && readings[i].Width > 0 {
					out = append(out, ByPerson{Block: at, Person: by, Value: readings[i].Width})
				}
			}
		}
	}
	return out
}

// comparison holds the normal equations of people with the blocks taken out.
type comparison struct {
	people        []int     // those who share a block with others, in the order of their readings
	count         []float64 // readings of each
	excess        []float64 // of each: the sum of what they read more than the blocks' means
	matrix        [][]float64
	squares       float64 // of readings about the means of their blocks
	total, blocks float64 // readings, blocks
}

func newComparison(readings []ByPerson) *comparison {
	blocks := blocksOf(readings)
	c := &comparison{}
	index := map[int]int{}
	for _, b := range blocks {
		c.blocks++
		for _, r := range b.readings {
			j, has := index[r.Person]
			if !has {
				j = len(c.people)
				index[r.Person] = j
				c.people, c.count, c.excess = append(c.people, r.Person), append(c.count, 0), append(c.excess, 0)
			}
			c.total++
			c.count[j]++
			c.excess[j] += r.Value - b.mean
			c.squares += square(r.Value - b.mean)
		}
	}
	c.matrix = make([][]float64, len(c.people))
	for j := range c.matrix {
		c.matrix[j] = make([]float64, len(c.people))
		for k := range c.matrix[j] {
			c.matrix[j][k] = float64(c.count[j]*c.count[k]) / c.total // their mean excess is 0
		}
		c.matrix[j][j] += c.count[j]
	}
	for _, b := range blocks {
		c.takeOut(b, index)
	}
	return c
}

// takeOut takes what the mean of a block leaves open out of the matrix.
func (c *comparison) takeOut(b *block, index map[int]int) {
	own := make([]float64, len(c.people))
	var here []int
	for _, r := range b.readings {
		j := index[r.Person]
		if own[j] == 0 {
			here = append(here, j)
		}
		own[j]++
	}
	for _, j := range here {
		for _, k := range here {
			c.matrix[j][k] -= float64(own[j]*own[k]) / float64(len(b.readings))
		}
	}
}

// block is what should be equal, and its mean.
type block struct {
	readings []ByPerson
	mean     float64
	shared   bool // between people
}

// blocksOf are the blocks that several people share, in the order of their first
// readings.
func blocksOf(readings []ByPerson) []*block {
	var all []*block
	at := map[int]*block{}
	for _, r := range readings {
		b := at[r.Block]
		if b == nil {
			b = &block{}
			at[r.Block], all = b, append(all, b)
		}
		b.readings = append(b.readings, r)
		b.shared = b.shared || b.readings[0].Person != r.Person
		b.mean += r.Value
	}
	all = slices.DeleteFunc(all, func(b *block) bool { return !b.shared })
	for _, b := range all {
		b.mean /= float64(len(b.readings))
	}
	return all
}

// invert is the inverse of a positive definite matrix, nil if it is none.
func invert(matrix [][]float64) [][]float64 {
	n := len(matrix)
	a, out := make([][]float64, n), make([][]float64, n)
	for i := range a {
		a[i], out[i] = append([]float64(nil), matrix[i]...), make([]float64, n)
		out[i][i] = 1
	}
	for i := range n {
		pivot := a[i][i]
		if !(pivot > 1e-9*matrix[i][i]) {
			return nil
		}
		for k := range n {
			a[i][k] /= pivot
			out[i][k] /= pivot
		}
		for j := range n {
			if factor := a[j][i]; j != i && factor != 0 {
				for k := range n {
					a[j][k] -= float64(factor * a[i][k])
					out[j][k] -= float64(factor * out[i][k])
				}
			}
		}
	}
	return out
}
