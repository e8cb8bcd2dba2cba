package proof

// segment is a part of a move during which the brush is in contact.
type segment struct {
	stroke   int // from 0
	move     int
	from, to Point
	length   float64 // seen from above, mm
	begins   bool    // the stroke
	share    float64 // of the length of the move
	towed    bool    // the path of a mark that lags behind the axis
	// feed (mm/min) is that of the mark, and fastest that of the fastest mark of the
	// stroke, which counts where a mark rests. They are 0 where marks do not spread.
	feed, fastest float64
}

// contact yields the parts of the path at or below the paper, in order. They
// are straight, except for arcs in the XY plane if flat is false. Each time
// the brush comes down a new stroke begins.
func (p *Path) contact(flat bool, yield func(segment)) {
	stroke, down := -1, false
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Visit {
			down = false
			continue
		}
		emit := func(from, to Point, share, length float64) {
			enter, leave, touches := below(from.Z, to.Z)
			if !touches {
				down = false
				return
			}
			begins := !down || enter > 0
			if begins {
				stroke++
			}
			down = leave == 1
			part := leave - enter
			yield(segment{stroke: stroke, move: i, from: between(from, to, enter), to: between(from, to, leave),
				length: float64(length * part), begins: begins, share: float64(share * part)})
		}
		switch {
		case m.Helix == nil:
			emit(m.From, m.To, 1, root(m.To.X-m.From.X, m.To.Y-m.From.Y))
		case m.Helix.Plane == 17 && !flat:
			emit(m.From, m.To, 1, m.Helix.planeLength())
		case m.Extent().Min.Z > 0:
			down = false
		default:
			last, was := m.From, 0.0
			m.chords(chordError, func(share float64, to Point) bool {
				emit(last, to, share-was, root(to.X-last.X, to.Y-last.Y))
				last, was = to, share
				return true
			})
		}
	}
}

// below returns between which shares of a straight move from height z0 to z1 it
// is at or below the paper.
func below(z0, z1 float64) (enter, leave float64, touches bool) {
	switch {
	case z0 > 0 && z1 > 0:
		return 0, 0, false
	case z0 > 0:
		return z0 / (z0 - z1), 1, true
	case z1 > 0:
		return 0, z0 / (z0 - z1), true
	}
	return 0, 1, true
}

// between is the point at a share of the straight line from a to b.
func between(a, b Point, share float64) Point {
	switch share {
	case 0:
		return a
	case 1:
		return b
	}
	return Point{
		a.X + float64((b.X-a.X)*share),
		a.Y + float64((b.Y-a.Y)*share),
		a.Z + float64((b.Z-a.Z)*share),
	}
}
