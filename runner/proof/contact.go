package proof

// piece is a part of a move during which the brush is in contact.
type piece struct {
	stroke   int // from 0
	move     int
	from, to Point
	plan     float64 // length seen from above, mm
	begins   bool    // of its stroke
	share    float64 // of the move's way
	towed    bool    // the way of a mark that trails behind the axis
}

// contact yields the parts of the path at or below the paper in order. Pieces
// are straight, but for arcs in the XY plane where flat is false. Each time
// the brush has been lifted a new stroke begins.
func (p *Path) contact(flat bool, yield func(piece)) {
	stroke, down := -1, false
	for i := range p.Moves {
		m := &p.Moves[i]
		emit := func(from, to Point, share, plan float64) {
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
			yield(piece{stroke: stroke, move: i, from: between(from, to, enter), to: between(from, to, leave),
				plan: float64(plan * part), begins: begins, share: float64(share * part)})
		}
		switch {
		case m.Turn == nil:
			emit(m.From, m.To, 1, root(m.To.X-m.From.X, m.To.Y-m.From.Y))
		case m.Turn.Plane == 17 && !flat:
			emit(m.From, m.To, 1, m.Turn.round())
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

// below gives the shares of a straight way from height z0 to z1 between which
// it is at or below the paper.
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

// between is the point at a share of the straight way.
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
