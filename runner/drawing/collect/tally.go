package collect

import (
	"cmp"
	"slices"

	"mahlstick/runner/drawing"
)

// maxTallies bounds the kinds of things that are counted separately.
const maxTallies = 10_000

// tally counts what was read and what was skipped.
type tally struct {
	notes  *notes
	layers *layerTable
	counts []drawing.Count
	index  map[countKey]int
	// The key of the last thing counted, and its index: the next is often of the
	// same kind.
	lastKey   countKey
	lastIndex int
}

type countKey struct {
	what  string
	layer int32
	why   string
}

// count counts one thing on a layer.
func (t *tally) count(what string, layer int32, why string, at, end int) {
	key := countKey{what, layer, why}
	if key != t.lastKey || len(t.counts) == 0 {
		i, ok := t.index[key]
		if !ok && len(t.counts) >= maxTallies {
			key = countKey{"other things", -1, why}
			i, ok = t.index[key]
		}
		if !ok {
			i = len(t.counts)
			t.index[key] = i
			name := ""
			if key.layer >= 0 {
				name = t.layers.list[layer].name
			}
			t.counts = append(t.counts, drawing.Count{What: key.what, Layer: name, Why: why, First: t.notes.place(at, end)})
		}
		t.lastKey, t.lastIndex = key, i
	}
	t.counts[t.lastIndex].N++
}

// join adds the counts of another tally, whose layers have other numbers.
func (t *tally) join(other *tally, number []int32) {
	keys := make([]countKey, len(other.counts))
	for key, i := range other.index {
		keys[i] = key
	}
	for i, c := range other.counts {
		key := keys[i]
		if key.layer >= 0 {
			key.layer = number[key.layer]
		}
		if at, ok := t.index[key]; ok {
			t.counts[at].N += c.N
			continue
		}
		t.index[key] = len(t.counts)
		t.counts = append(t.counts, c)
	}
	t.lastKey, t.lastIndex = countKey{layer: -2}, 0 // a key that nothing has
}

// sorted lists what was read and what was skipped.
func (t *tally) sorted() (read, skipped []drawing.Count) {
	for _, c := range t.counts {
		if c.Why == "" {
			read = append(read, c)
		} else {
			skipped = append(skipped, c)
		}
	}
	order := func(a, b drawing.Count) int {
		return cmp.Or(cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.What, b.What), cmp.Compare(a.Why, b.Why))
	}
	slices.SortFunc(read, order)
	slices.SortFunc(skipped, order)
	return read, skipped
}
