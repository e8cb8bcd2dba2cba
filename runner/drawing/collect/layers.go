package collect

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/sink"
)

// maxLayers bounds the layers of a drawing.
const maxLayers = 10_000

// layerTable holds the layers of a drawing, and which of them are asked for.
type layerTable struct {
	notes  *notes
	wanted string // only this layer, folded; "" for all
	all    bool   // the others are read, too
	kept   []string
	list   []layer
	byName map[string]int32 // by folded name
}

type layer struct {
	name string
	why  string // why its entities are skipped, or ""
}

func newLayerTable(opt drawing.Options, n *notes) *layerTable {
	t := &layerTable{notes: n, all: opt.AllLayers, byName: map[string]int32{}}
	if opt.Layer != "" {
		t.wanted = drawing.FoldName(opt.Layer)
	}
	for _, k := range opt.KeepLayers {
		t.kept = append(t.kept, drawing.FoldName(k))
	}
	return t
}

// number finds a layer by name, or adds it.
func (t *layerTable) number(name string) int32 {
	key := drawing.FoldName(name)
	if n, ok := t.byName[key]; ok {
		return n
	}
	if len(t.list) >= maxLayers {
		t.notes.stopf(problem.TooLarge, 0, 0, problem.Advise("draw on fewer layers"), "the drawing has more than %d layers", maxLayers)
		return 0
	}
	n := int32(len(t.list))
	t.byName[key] = n
	t.list = append(t.list, layer{})
	t.declare(n, sink.LayerState{Name: name})
	return n
}

// declare decides whether a layer's entities are read.
func (t *layerTable) declare(n int32, s sink.LayerState) {
	l := layer{name: s.Name}
	switch {
	case t.wanted != "" && !t.all && !t.isAsked(s.Name):
		l.why = drawing.NotAsked
	case s.Frozen:
		l.why = "its layer is frozen"
	case s.Off:
		l.why = "its layer is off"
	case s.NoPlots:
		l.why = "its layer is not plotted"
	}
	t.list[n] = l
}

func (t *layerTable) isKept(name string) bool {
	return len(t.kept) > 0 && slices.Contains(t.kept, drawing.FoldName(name))
}

// isAsked reports whether a layer of this name is asked for.
func (t *layerTable) isAsked(name string) bool {
	if t.wanted == "" && len(t.kept) == 0 {
		return false
	}
	key := drawing.FoldName(name)
	return t.wanted != "" && key == t.wanted || slices.Contains(t.kept, key)
}

// names lists the names of all layers that have one, sorted.
func (t *layerTable) names() []string {
	var names []string
	for _, l := range t.list {
		if l.name != "" {
			names = append(names, l.name)
		}
	}
	sort.Strings(names)
	return names
}

// fork is an independent copy.
func (t *layerTable) fork(n *notes) *layerTable {
	c := *t
	c.notes = n
	c.list = slices.Clone(t.list)
	c.byName = make(map[string]int32, len(t.byName))
	for name, n := range t.byName {
		c.byName[name] = n
	}
	return &c
}

// checkAsked reports a layer that was asked for and does not exist, or is hidden.
func (t *layerTable) checkAsked(opt drawing.Options) {
	if opt.Layer == "" {
		return
	}
	at := opt.LayerPlace
	if !at.Known() {
		at = t.notes.place(0, 0)
	}
	n, ok := t.byName[t.wanted]
	if !ok {
		names := t.names()
		fix := problem.Correction(opt.Layer, names)
		switch {
		case len(names) == 0:
			fix = problem.Advise("the drawing has no layers")
		case fix.None():
			fix = problem.Advise("its layers are " + listNames(names, 12))
		}
		t.notes.report(problem.Problem{Code: problem.NoSuchLayer, Place: at, Fix: fix, Message: fmt.Sprintf("the drawing %s has no layer %q", t.notes.file.Name, opt.Layer)})
		return
	}
	if l := t.list[n]; l.why != "" {
		t.notes.report(problem.Problem{Code: problem.LayerHidden, Place: at, Fix: problem.Advise("switch the layer on in the drawing, or choose another"),
			Message: fmt.Sprintf("nothing of layer %q can be painted: %s in %s", l.name, l.why, t.notes.file.Name)})
	}
}

// listNames joins names for a message, at most n of them.
func listNames(list []string, n int) string {
	if len(list) > n {
		return strings.Join(list[:n], ", ") + " ..."
	}
	return strings.Join(list, ", ")
}
