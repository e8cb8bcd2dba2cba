package dxf

import (
	"bytes"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// blockClips are the clips of the copies of blocks. They are among the objects, after
// the entities: a copy names its dictionary, which names a dictionary of filters,
// which names the clip.
//
// Source: DXF Reference, "DICTIONARY", "SPATIAL_FILTER".
type blockClips struct {
	dictionaries map[string]map[string]string // handles by names, by handle
	filters      map[string]*blockClip        // by handle
}

// blockClip is the polygon at which a copy of a block is cut off.
type blockClip struct {
	corners    []vector.XYZ // two of them are those of a rectangle
	off        bool
	understood bool
	own        string     // handle of its dictionary
	hides      bool       // what is inside of it, rather than outside
	toBlock    affine.Map // from the coordinates of the corners to those of the block
}

// maxClipCorners bounds the corners of a clip.
const maxClipCorners = 2_000

// clipOf is the clip of a copy with a dictionary, nil if it has none.
func (r *reader) clipOf(dictionary string) *blockClip {
	if dictionary == "" {
		return nil
	}
	if r.clips == nil {
		r.clips = &blockClips{dictionaries: map[string]map[string]string{}, filters: map[string]*blockClip{}}
		if bytes.Contains(r.file.Data, []byte("SPATIAL_FILTER")) {
			r.clips.read(newGroups(r.file.Data))
		}
	}
	filters := r.clips.dictionaries[r.clips.dictionaries[dictionary]["ACAD_FILTER"]]
	c := r.clips.filters[filters["SPATIAL"]]
	if c != nil {
		_, c.hides = r.clips.dictionaries[c.own]["ACAD_XREC_ROUNDTRIP"]
	}
	return c
}

// read reads the dictionaries and the filters of a file.
func (c *blockClips) read(g *groups) {
	objects, more := false, g.next()
	for more {
		switch {
		case g.code == 2 && g.is("OBJECTS"):
			objects = true
		case g.code == 0 && objects && g.is("DICTIONARY"):
			more = c.dictionary(g)
			continue
		case g.code == 0 && objects && g.is("SPATIAL_FILTER"):
			more = c.filter(g)
			continue
		}
		more = g.next()
	}
}

// dictionary reads a dictionary up to the next object; false at the file's end.
func (c *blockClips) dictionary(g *groups) bool {
	handle, name := "", ""
	entries := map[string]string{}
	for g.next() {
		switch g.code {
		case 0:
			c.dictionaries[handle] = entries
			return true
		case 5:
			handle = string(g.val())
		case 3:
			name = string(g.val())
		case 350, 360:
			if name != "" && len(entries) < 100 {
				entries[name] = string(g.val())
			}
			name = ""
		}
	}
	return false
}

// filter reads a clip up to the next object; false at the file's end.
//
// Groups 40 are the distance of a front plane, if there is one, and then two matrices
// of three rows: from the world as it was to the block, and from there to the clip.
func (c *blockClips) filter(g *groups) bool {
	clip := &blockClip{understood: true}
	handle := ""
	var matrices []float64
	sound := true
	number := func() float64 {
		v, ok := g.number()
		sound = sound && ok
		return v
	}
	for g.next() {
		switch g.code {
		case 0:
			clip.understood = sound && clip.understood && clip.place(matrices) && len(clip.corners) >= 2 && len(clip.corners) <= maxClipCorners
			c.filters[handle] = clip
			return true
		case 5:
			handle = string(g.val())
		case 360:
			clip.own = string(g.val())
		case 10:
			clip.corners = append(clip.corners, vector.XYZ{X: number()})
		case 20:
			if n := len(clip.corners); n > 0 {
				clip.corners[n-1].Y = number()
			}
		case 71:
			n, _ := g.integer()
			clip.off = n == 0
		case 210, 220:
			clip.understood = clip.understood && number() == 0
		case 230:
			clip.understood = clip.understood && number() > 0
		case 40:
			if len(matrices) < 25 {
				matrices = append(matrices, number())
			}
		}
	}
	return false
}

// place takes the matrices. Only a clip that lies where it was drawn is understood:
// the second of them does nothing.
func (c *blockClip) place(numbers []float64) bool {
	if len(numbers) < 24 {
		return false
	}
	m := numbers[len(numbers)-24:]
	for i, v := range m[12:] {
		if unit := i == 0 || i == 5 || i == 10; v != 0 && !unit || unit && v != 1 {
			return false
		}
	}
	c.toBlock = affine.Map{
		XX: m[0], XY: m[1], XZ: m[2], TX: m[3],
		YX: m[4], YY: m[5], YZ: m[6], TY: m[7],
		ZX: m[8], ZY: m[9], ZZ: m[10], TZ: m[11],
	}
	return true
}

// enter cuts what the current group holds off at the clip; place is from the block to
// the group.
func (c *blockClip) enter(e *entity, name string, place *affine.Map) {
	cut := "is cut off by a clip, which is not applied"
	if !c.understood {
		e.warnOnce(problem.ClippedShape, "block", problem.Advise("cut the block in the drawing program if what is cut off should not be painted"),
			"this copy of block %q %s: it is read whole", name, cut)
		return
	}
	if c.hides {
		e.warnOnce(problem.ClippedShape, "block inside out", problem.Advise("compare the picture on the page with the drawing; cut the block in the drawing program if they differ"),
			"this copy of block %q is cut off by a clip that hides what is inside of it; only the outline that the file states for it is applied", name)
	}
	m := place.After(&c.toBlock)
	corners := c.corners
	if len(corners) == 2 {
		a, b := corners[0], corners[1]
		corners = []vector.XYZ{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}
		var at [4]vector.XY
		for i, p := range corners {
			at[i] = m.At(p)
		}
		e.r.out.Groups().Clip(at)
		return
	}
	l := &flatten.Polyline{Closed: true}
	for _, p := range corners {
		l.Corners = append(l.Corners, flatten.Corner{At: p})
	}
	e.r.out.Groups().ClipTo([]sink.ClipShape{{Map: m, Curves: []flatten.Curve{l}, Rule: contour.EvenOdd}})
	e.r.out.Say(sink.Message{Severity: problem.Warning, Code: problem.ClippedShape, Once: true, About: "block", Uncut: true,
		At: e.info.At, End: e.info.End, Asked: e.info.Asked,
		Fix:    problem.Advise("write clip in the column cut to if what is cut off should not be painted"),
		Format: "this copy of block %q %s: it is read whole", Args: []any{name, cut}})
}
