package collect

import (
	"fmt"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/sink"
)

// maxProblems bounds the problems that are reported for one file.
const maxProblems = 100

// notes collects the problems of one file.
type notes struct {
	file     *source.File
	list     problem.List
	once     map[string]bool          // kinds of messages that are shown only once and were shown
	stopped  bool                     // the rest of the file is not read
	cut      bool                     // clips are applied
	covering bool                     // what is covered is left
	wants    func(contour.Paint) bool // what warnings and hints may be about; nil for all
	refuse   bool                     // the fault of an element is an error
	faults   int                      // elements that could not be read
}

func (n *notes) place(at, end int) source.Place { return n.file.Place(at, end) }

// wanted reports whether warnings and hints may be about a paint.
func (n *notes) wanted(p contour.Paint) bool {
	return n.wants == nil || p.Kind == contour.NoColour || n.wants(p)
}

// concerns reports whether a warning or a hint is about what the recipe asks for: of a
// wanted paint, or how much of it another hides.
func (n *notes) concerns(m *sink.Message) bool {
	return n.wanted(m.Paint) || m.Extent && n.covering && m.Paint.Covers()
}

func (n *notes) say(m sink.Message) {
	if m.Uncut && n.cut || m.Covering && !n.covering || m.Severity != problem.Error && !n.concerns(&m) {
		return
	}
	if m.Element && m.Severity == problem.Error && !n.refuse {
		if !n.wanted(m.Paint) {
			return
		}
		if n.faults++; n.faults > maxProblems {
			return // counted
		}
		n.list.Add(faultOf(m, n.place(m.At, m.End)))
		return
	}
	if m.Once {
		key := string(m.Code) + " " + m.About
		if n.once[key] || len(n.once) >= maxProblems {
			return
		}
		n.once[key] = true
	}
	p := problem.Problem{Severity: m.Severity, Code: m.Code, Place: n.place(m.At, m.End), Fix: m.Fix}
	if m.Severity != problem.Error {
		p.Message = fmt.Sprintf(m.Format, m.Args...)
		n.list.Add(p)
		return
	}
	if !n.stopped {
		p.Message = fmt.Sprintf(m.Format, m.Args...)
		n.report(p)
	}
	n.stopped = n.stopped || m.Stop
}

// faultOf warns of an element that cannot be read, or only in part.
func faultOf(m sink.Message, at source.Place) problem.Problem {
	loss := "it is not painted"
	if m.Partly {
		loss = "it is painted up to there"
	}
	return problem.Problem{Severity: problem.Warning, Code: m.Code, Place: at,
		Message: fmt.Sprintf(m.Format, m.Args...) + "; " + loss,
		Fix:     m.Fix.Or("; or write refuse in the column faults, so that no program is written")}
}

// moreFaults warns of the elements that are not listed one by one.
func (n *notes) moreFaults() {
	if n.faults > maxProblems {
		n.warnOnce(problem.TooManyProblems, len(n.file.Data), len(n.file.Data), problem.Advise("save the drawing again, or draw these elements again"),
			"%d further elements cannot be read and are not painted, or only in part", n.faults-maxProblems)
	}
}

// elementf reports the fault of an element.
func (n *notes) elementf(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	n.say(sink.Message{Code: code, At: at, End: end, Fix: fix, Format: format, Args: args, Element: true})
}

// report records an error; after maxProblems it stops the reading.
func (n *notes) report(p problem.Problem) {
	if n.stopped {
		return
	}
	p.Severity = problem.Error
	n.list.Add(p)
	if len(n.list) >= maxProblems {
		n.list.Errorf(problem.TooManyProblems, p.Place, problem.Advise("fix the first ones and read the drawing again"),
			"more than %d problems in this drawing: the rest of it was not read", maxProblems)
		n.stopped = true
	}
}

func (n *notes) errorf(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	n.say(sink.Message{Severity: problem.Error, Code: code, At: at, End: end, Fix: fix, Format: format, Args: args})
}

// stopf reports an error after which nothing more can be read.
func (n *notes) stopf(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	n.say(sink.Message{Severity: problem.Error, Code: code, At: at, End: end, Fix: fix, Format: format, Args: args, Stop: true})
}

// warnOnce warns of the first of many problems with the same code.
func (n *notes) warnOnce(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	n.say(sink.Message{Severity: problem.Warning, Code: code, Once: true, At: at, End: end, Fix: fix, Format: format, Args: args})
}
