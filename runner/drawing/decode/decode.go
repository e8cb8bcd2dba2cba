// Package decode reads drawing files, whatever their format.
package decode

import (
	"bytes"
	"runtime"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/collect"
	"mahlstick/runner/drawing/dxf"
	"mahlstick/runner/drawing/replay"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/drawing/svg"
)

// Drawing reads a drawing: DXF as text or in its binary form, SVG as it is or
// compressed, recognised by what is in the file, not by its name.
//
// Problems point into the drawing or, where a unit or a layer is at fault,
// into the recipe through the places in opt. The drawing is never nil; where
// there are errors it is not complete.
//
// Guarantees:
//  1. Every point of a curve lies within opt.Tolerance of a chord of its
//     contour, and every point of a chord within it of the curve.
//  2. The same bytes and options give the same drawing, to the last bit, on
//     every processor.
//  3. What is not in Contours is in Skipped or among the problems.
func Drawing(f *source.File, opt drawing.Options) (*drawing.Drawing, problem.List) {
	f, read := format(f, opt.Workers)
	c := collect.New(f, opt)
	read(c)
	return c.Drawing()
}

// Recording is a file that was decoded once. Drawings are made of it in any unit
// and of any layers, without decoding it again; each is what Drawing would have
// read.
type Recording struct {
	file  *source.File
	steps *replay.Recording
}

// Record decodes a file. Workers is how many processors may be used; 0 means
// all. Reading a file once is quicker with Drawing, and takes less memory.
func Record(f *source.File, workers int) *Recording {
	f, read := format(f, workers)
	r := &Recording{f, replay.New()}
	read(r.steps)
	return r
}

// Drawing makes a drawing.
func (r *Recording) Drawing(opt drawing.Options) (*drawing.Drawing, problem.List) {
	c := collect.New(r.file, opt)
	r.steps.Play(c)
	return c.Drawing()
}

// format finds the decoder for a file, and gives the file as it is to be
// decoded.
func format(f *source.File, workers int) (*source.File, func(out sink.Sink)) {
	fail := func(m sink.Message) func(sink.Sink) {
		m.Stop = true
		return func(out sink.Sink) { out.Say(m) }
	}
	switch {
	case len(f.Data) > drawing.MaxBytes:
		return f, fail(sink.Message{Code: problem.TooLarge, Fix: problem.Advise("split the drawing, or simplify its curves"),
			Format: "the file has %d MB; at most %d MB are read", Args: []any{len(f.Data) >> 20, drawing.MaxBytes >> 20}})
	case dxf.IsDXF(f.Data):
		if workers == 0 {
			workers = runtime.GOMAXPROCS(0)
		}
		if dxf.IsBinary(f.Data) {
			// Places in a binary file are byte offsets. The caller's file may be
			// in use elsewhere, so it is left as it is.
			f = source.New(f.Name, f.Data)
			f.Binary = true
		}
		return f, func(out sink.Sink) { dxf.Read(f, out, dxf.Options{Workers: workers}) }
	case svg.IsSVG(f.Data):
		plain, fault := svg.Unpack(f)
		if fault != nil {
			return f, fail(*fault)
		}
		return plain, func(out sink.Sink) { svg.Read(plain, out) }
	}
	what, fix := noDrawing(f.Data)
	return f, fail(sink.Message{Code: problem.NotADrawing, End: min(len(f.Data), 1), Fix: problem.Advise(fix), Format: "%s", Args: []any{what}})
}

// noDrawing says what a file is that cannot be read at all, and how to fix it.
func noDrawing(data []byte) (what, fix string) {
	what, fix = "this is no drawing that can be read", "save the drawing as DXF or SVG"
	switch {
	case len(data) == 0:
		what = "the file is empty"
	case bytes.HasPrefix(data, []byte("AC10")):
		what = "this is a drawing in a closed format, not DXF"
	case bytes.HasPrefix(data, []byte("%PDF")):
		what = "this is a PDF, not a drawing"
	case bytes.HasPrefix(data, []byte("\x89PNG")), bytes.HasPrefix(data, []byte("\xff\xd8\xff")), bytes.HasPrefix(data, []byte("GIF8")):
		what, fix = "this is a picture made of dots, not a drawing", "draw its outlines and save them as DXF or SVG"
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		what, fix = "this text is UTF-16", "save it as text in UTF-8 or ASCII"
	}
	return what, fix
}
