// Package problem describes a problem: where it is, what is wrong and how to
// fix it. Every stage reports with it, and none stops at the first.
package problem

import (
	"cmp"
	"fmt"
	"slices"

	"mahlstick/recipe/source"
)

// Severity says whether a problem stops the job.
type Severity int8

// The severities, the worst first.
const (
	Error   Severity = iota // the job does not run
	Warning                 // the job runs; the page shows the warning
	Hint                    // about tidiness
)

func (s Severity) String() string { return [...]string{"error", "warning", "hint"}[s] }

// Problem is something wrong in a file of the studio.
type Problem struct {
	Severity Severity
	// Code names the kind of problem; codes.go lists them all.
	Code Code
	// Place is the text at fault.
	Place source.Place
	// Message says what is wrong, in one line without a full stop.
	Message string
	// Fix is how to solve it.
	Fix Fix
	// Related are other places that explain it.
	Related []Related
}

// Related is a further place that explains a problem.
type Related struct {
	Place source.Place
	Note  string
}

// String is place, message and code in one line.
func (p Problem) String() string {
	return fmt.Sprintf("%s: %s [%s]", p.Place, p.Message, p.Code)
}

// Error lets one problem travel as an error.
func (p Problem) Error() string { return p.String() }

// List collects problems.
type List []Problem

// Add puts a problem on the list.
func (l *List) Add(p Problem) { *l = append(*l, p) }

// Errorf adds an error with a formatted message.
func (l *List) Errorf(code Code, at source.Place, fix Fix, format string, args ...any) {
	l.Add(Problem{Severity: Error, Code: code, Place: at, Fix: fix, Message: fmt.Sprintf(format, args...)})
}

// Warnf adds a warning with a formatted message.
func (l *List) Warnf(code Code, at source.Place, fix Fix, format string, args ...any) {
	l.Add(Problem{Severity: Warning, Code: code, Place: at, Fix: fix, Message: fmt.Sprintf(format, args...)})
}

// HasErrors reports whether any problem on the list stops the job.
func (l List) HasErrors() bool {
	return slices.ContainsFunc(l, func(p Problem) bool { return p.Severity == Error })
}

// Sorted returns the list by place, severity and code, each problem once.
func (l List) Sorted() List {
	out := slices.Clone(l)
	slices.SortStableFunc(out, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.Place.Name(), b.Place.Name()),
			cmp.Compare(a.Place.Start, b.Place.Start),
			cmp.Compare(a.Severity, b.Severity),
			cmp.Compare(a.Code, b.Code),
			cmp.Compare(a.Message, b.Message),
		)
	})
	return slices.CompactFunc(out, func(a, b Problem) bool {
		return a.Place == b.Place && a.Code == b.Code && a.Message == b.Message
	})
}
