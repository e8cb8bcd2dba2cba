package motion

// stops plans what a brush does between two strokes.
type stops struct {
	of    *planner
	wells *wells
	wet   *drying
	rest  Move // at the safe height
}

// stopping is why a brush may stop before a stroke.
type stopping struct {
	first  bool // of the layer
	pauses bool // for the painter
	loads  bool // in its well
}

// stop is what a brush does between two strokes.
type stop struct {
	visit    *Visit
	retreat  Retreat // to the place to rest
	dry      float64 // s that it waits there until what is wet is dry
	at       Move    // from where it goes to the stroke
	away     float64 // mm of way until then
	straight bool    // it neither waits nor is loaded
}

// before is what the brush does before stroke i, which begins below a place, after one
// that ended below another.
func (k stops) before(i int, at, above Move, why stopping) (s stop) {
	if why.loads {
		s.visit = k.wells.visit(above)
	}
	s.dry = k.wet.before(i, at, k.rest, above, s.visit)
	waits := why.pauses || s.dry > 0
	s.at, s.straight = at, !waits && s.visit == nil
	if waits {
		if !why.first {
			s.retreat = clamped{k.of}.retreat(at)
		}
		s.away, s.at = s.retreat.length(at, k.rest), k.rest
	}
	if v := s.visit; v != nil {
		v.from(s.at)
		k.wet.visited(v)
		clamped{k.of}.visits(v, k.of.layer.Well)
		s.away, s.at = s.away+v.Travel, v.Moves[len(v.Moves)-1]
	}
	return s
}
