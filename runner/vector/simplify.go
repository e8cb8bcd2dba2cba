package vector

// A Simplifier chooses the points of a path that suffice to tell its course.
// It keeps its memory from one path to the next; the zero Simplifier is ready,
// and must not be used by two goroutines at once.
//
// Source: U. Ramer, Computer Graphics and Image Processing 1 (1972) 244-256;
// D. H. Douglas, T. K. Peucker, The Canadian Cartographer 10 (1973) 112-122.
type Simplifier struct {
	stays []bool
	spans [][2]int32
}

// Stays says of each of n points whether it stays. The first and the last do;
// of those between two that stay, split names one that must, or -1 where the
// two suffice. The answer is overwritten by the next call.
func (s *Simplifier) Stays(n int, split func(from, to int) int) []bool {
	if cap(s.stays) < n {
		s.stays = make([]bool, n, n+n/8)
	}
	s.stays = s.stays[:n]
	clear(s.stays)
	if n == 0 {
		return s.stays
	}
	s.stays[0], s.stays[n-1] = true, true
	s.spans = append(s.spans[:0], [2]int32{0, int32(n - 1)})
	for len(s.spans) > 0 {
		span := s.spans[len(s.spans)-1]
		s.spans = s.spans[:len(s.spans)-1]
		if at := int32(split(int(span[0]), int(span[1]))); at > span[0] && at < span[1] {
			s.stays[at] = true
			s.spans = append(s.spans, [2]int32{span[0], at}, [2]int32{at, span[1]})
		}
	}
	return s.stays
}

// Simplify leaves out the points of a path that deviate by no more than most
// from the stretch between two that stay. The path that is handed in stays as
// it is.
func Simplify[P any](points []P, most float64, deviation func(i, from, to int) float64) []P {
	var s Simplifier
	stays := s.Stays(len(points), func(from, to int) int {
		worst, at := most, -1
		for i := from + 1; i < to; i++ {
			if d := deviation(i, from, to); d > worst {
				worst, at = d, i
			}
		}
		return at
	})
	n := 0
	for _, is := range stays {
		if is {
			n++
		}
	}
	out := make([]P, 0, n)
	for i, p := range points {
		if stays[i] {
			out = append(out, p)
		}
	}
	return out
}
