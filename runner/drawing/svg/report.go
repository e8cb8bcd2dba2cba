package svg

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/sink"
)

// reporter reports problems of elements.
type reporter struct {
	doc *document
	out sink.Sink
}

func (r reporter) say(n *node, m sink.Message) {
	if m.At == 0 && m.End == 0 {
		m.At, m.End = int(n.start), int(n.end)
	}
	m.Asked, m.Paint = n.asked, n.paint
	r.out.Say(m)
}

// fail reports an error of an element.
func (r reporter) fail(n *node, code problem.Code, fix problem.Fix, format string, args ...any) {
	r.say(n, sink.Message{Code: code, Fix: fix, Format: format, Args: args, Element: true})
}

// stop is like fail, and the rest of the file is not read.
func (r reporter) stop(n *node, code problem.Code, fix problem.Fix, format string, args ...any) {
	r.say(n, sink.Message{Code: code, Fix: fix, Format: format, Args: args, Stop: true})
}

// warnOnce warns of the first of many similar problems.
func (r reporter) warnOnce(n *node, code problem.Code, about string, fix problem.Fix, format string, args ...any) {
	r.say(n, sink.Message{Severity: problem.Warning, Code: code, Once: true, About: about, Fix: fix, Format: format, Args: args})
}

// hintOnce gives a hint about the first of many similar problems.
func (r reporter) hintOnce(n *node, code problem.Code, fix problem.Fix, format string, args ...any) {
	r.say(n, sink.Message{Severity: problem.Hint, Code: code, Once: true, Fix: fix, Format: format, Args: args})
}

func (r reporter) count(e *sink.Entity, why string) { r.out.Count(e, why) }

// failAttr reports an attribute's value.
func (r reporter) failAttr(n *node, name string, fix problem.Fix, format string, args ...any) {
	r.failAttrPart(n, name, 0, 0, fix, format, args...)
}

// failAttrPart reports a part of an attribute's value, or all of it if from and to are
// 0.
func (r reporter) failAttrPart(n *node, name string, from, to int, fix problem.Fix, format string, args ...any) {
	at, end := r.doc.attrPlace(n, name, from, to)
	r.say(n, sink.Message{Code: problem.BadValue, At: at, End: end, Fix: fix, Format: format, Args: args, Element: true})
}

// failAfter reports the place in an attribute's value up to which the element is
// drawn.
func (r reporter) failAfter(n *node, name string, from, to int, fix problem.Fix, format string, args ...any) {
	at, end := r.doc.attrPlace(n, name, from, to)
	r.say(n, sink.Message{Code: problem.BadValue, At: at, End: end, Fix: fix, Format: format, Args: args, Element: true, Partly: true})
}

// stopAttr is like failAttr, and the rest of the file is not read.
func (r reporter) stopAttr(n *node, name string, fix problem.Fix, format string, args ...any) {
	at, end := r.doc.attrPlace(n, name, 0, 0)
	r.say(n, sink.Message{Code: problem.BadValue, At: at, End: end, Fix: fix, Format: format, Args: args, Stop: true})
}
