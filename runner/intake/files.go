package intake

import (
	"errors"
	"io/fs"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
)

// Most bytes that are read for one job.
const (
	maxDrawing     = drawing.MaxBytes // one drawing
	maxDrawings    = 256 << 20        // all drawings
	maxAttachments = 256 << 20        // all attachments
)

// drawingFiles reads the drawing files of a job, each once.
type drawingFiles struct {
	studio fs.FS
	byName map[string]*source.File
	list   []*source.File // in the order of the layers that use them
	bytes  int64          // of all in the list
}

// open returns the drawing file of a layer, nil if it cannot be read. The
// problems point at the cell of the recipe that names the file.
func (f *drawingFiles) open(l *model.Layer) (*source.File, problem.List) {
	if file, ok := f.byName[l.Drawing]; ok {
		return file, nil
	}
	var problems problem.List
	room := maxDrawings - f.bytes
	data, err := notebook.ReadFile(f.studio, l.Drawing, min(maxDrawing, room))
	var large *notebook.TooLargeError
	switch {
	case errors.As(err, &large) && large.Size <= maxDrawing:
		problems.Errorf(problem.UnreadableDrawing, l.DrawingPlace, problem.Advise("simplify the drawings, or split the job"),
			"%s is not read: the drawings of a job have at most %d MB together", l.Drawing, maxDrawings>>20)
		return nil, problems
	case errors.Is(err, fs.ErrNotExist):
		problems.Errorf(problem.NoDrawing, l.DrawingPlace, problem.Advise("put the drawing there, or name another"),
			"there is no file %s", l.Drawing)
		return nil, problems
	case err != nil:
		problems.Errorf(problem.UnreadableDrawing, l.DrawingPlace, problem.Advise("name a drawing file that can be read"),
			"%s cannot be read: %v", l.Drawing, withoutPath(err))
		return nil, problems
	}
	file := source.New(l.Drawing, data)
	f.byName[l.Drawing] = file
	f.list = append(f.list, file)
	f.bytes += int64(len(data))
	return file, nil
}

// withoutPath returns the cause of an error about a file without the
// operation and the path, as the message names the file itself.
func withoutPath(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// Attachments reads the files that belong to a job and change no program: the
// studio's own notebook, which makes its folder the root, and the pictures in
// the prose. A drawing that the prose also shows is left out.
func Attachments(studio fs.FS, job *model.Job, drawings []*source.File) ([]*source.File, problem.List) {
	var problems problem.List
	var out []*source.File
	have := map[string]bool{}
	for _, f := range job.Files {
		have[f.Name] = true
	}
	for _, f := range drawings {
		have[f.Name] = true
	}
	at := job.Files[0].Place(0, 0)
	room := int64(maxAttachments)
	for _, name := range append([]string{recipe.StudioFile}, job.Pictures...) {
		if have[name] {
			continue
		}
		have[name] = true
		data, err := notebook.ReadFile(studio, name, room)
		if name == recipe.StudioFile && errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			problems.Errorf(problem.Unreadable, at, problem.Advise("make the file readable"), "%s cannot be read: %v", name, withoutPath(err))
			continue
		}
		room -= int64(len(data))
		out = append(out, source.New(name, data))
	}
	return out, problems
}
