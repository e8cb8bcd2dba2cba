package drawing

import (
	"bytes"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// Read reads a drawing: DXF as text or in its binary form, SVG as it is or
// compressed, told apart by what is in the file, not by its name.
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
//  3. What is not in Contours stands in Passed or among the problems.
func Read(f *source.File, opt Options) (*Drawing, problem.List) {
	r := newReading(f, opt)
	switch {
	case len(f.Data) > MaxBytes:
		r.stop(problem.TooLarge, 0, 0, problem.Advise("split the drawing, or simplify its curves"),
			"the file has %d MB; at most %d MB are read", len(f.Data)>>20, MaxBytes>>20)
	case isBinaryDXF(f.Data):
		// Places in a binary file are byte offsets. The caller's file may be
		// in use elsewhere, so it is left as it is.
		r.file = source.New(f.Name, f.Data)
		r.file.Binary = true
		readDXF(r)
	case looksLikeDXF(f.Data):
		readDXF(r)
	case bytes.HasPrefix(f.Data, gzipMark), looksLikeXML(f.Data):
		readSVG(r)
	default:
		r.notADrawing()
	}
	d := r.finish()
	return d, r.problems.Sorted()
}

// looksLikeDXF says whether data begins with a group code on a line of its
// own.
func looksLikeDXF(data []byte) bool {
	head := bytes.TrimPrefix(data[:min(len(data), 4096)], utf8Mark)
	line, _, found := bytes.Cut(bytes.ReplaceAll(head, []byte("\r"), []byte("\n")), []byte("\n"))
	code := bytes.TrimSpace(line)
	return found && (string(code) == "0" || string(code) == "999")
}

// notADrawing reports a file that cannot be read at all.
func (r *reading) notADrawing() {
	data := r.file.Data
	fix := problem.Advise("save the drawing as DXF or SVG")
	what := "this is no drawing that can be read"
	switch {
	case len(data) == 0:
		what = "the file is empty"
	case bytes.HasPrefix(data, []byte("AC10")):
		what = "this is a drawing in a closed format, not DXF"
	case bytes.HasPrefix(data, []byte("%PDF")):
		what = "this is a PDF, not a drawing"
	case bytes.HasPrefix(data, []byte("\x89PNG")), bytes.HasPrefix(data, []byte("\xff\xd8\xff")), bytes.HasPrefix(data, []byte("GIF8")):
		what = "this is a picture made of dots, not a drawing"
		fix = problem.Advise("draw its outlines and save them as DXF or SVG")
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		what = "this text is UTF-16"
		fix = problem.Advise("save it as text in UTF-8 or ASCII")
	}
	r.stop(problem.NotADrawing, 0, min(len(data), 1), fix, "%s", what)
}
