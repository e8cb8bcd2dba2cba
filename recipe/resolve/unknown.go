package resolve

import (
	"slices"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// explain reports the problems of formulas. For an unknown name it adds why the
// name is unknown, if the notebook shows that; it drops the problem if the cause
// was reported already.
func (r *resolver) explain(list problem.List) {
	for _, p := range list {
		if p.Code != problem.UnknownName {
			r.problems.Add(p)
			continue
		}
		if explained, ok := r.explainUnknown(p); ok {
			r.problems.Add(explained)
		}
	}
}

// explainUnknown adds the cause to the problem of an unknown name; ok is false if
// the cause is reported elsewhere.
func (r *resolver) explainUnknown(p problem.Problem) (explained problem.Problem, ok bool) {
	scope := r.out.scope
	name := scope.Canonical(formula.Fold(p.Place.Text()))
	head, rest, dotted := strings.Cut(name, ".")
	switch {
	case scope.unresolved[name], r.nb.Doc.Incomplete, r.nb == r.recipe.Notebook && r.recipe.MissingBrushes[head]:
		return p, false
	case r.nb.AnyBroken() && dotted && !scope.owners[head]:
		return p, false // it may be in the notebook that could not be read
	}
	if block := unmarkedBlock(r.nb.Doc, name); block != nil {
		if _, before := r.needed[block]; !before {
			r.needed[block] = p.Place
		}
		return p, false
	}
	for _, d := range r.nb.Definitions {
		if d.Schema.Word != schema.Brush || d.Name != head || dotted {
			continue
		}
		if curveFailed(r.values, d) {
			p.Severity, p.Message, p.Fix = problem.Warning, "the curve of "+d.Title+" is not known, because of its rows or marks", problem.Advise("fix the brush first")
		} else {
			p.Code, p.Message, p.Fix = problem.FormulaLoop, "the curve of "+d.Title+" needs this formula, and the formula needs the curve", problem.Advise("state the marks of the brush as plain numbers")
		}
		return p, true
	}
	for _, word := range kinds {
		names := namesOf(r.nb, word)
		if head != strings.ToLower(word) || len(names) < 2 {
			continue
		}
		full := slices.Clone(names)
		for i := range full {
			if dotted {
				full[i] += "." + rest
			}
		}
		p.Code, p.Fix = problem.WhichOne, problem.DidYouMean(full...)
		p.Message = quote(head) + " may be " + strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1] + " here"
	}
	return p, true
}

// unmarkedBlock is the first block that would define a name if it were marked as
// working, or nil.
func unmarkedBlock(doc *section.Document, name string) *section.Unmarked {
	for i := range doc.Unmarked {
		block := &doc.Unmarked[i]
		if slices.ContainsFunc(block.Names, func(n string) bool { return formula.Fold(n) == name }) {
			return block
		}
	}
	return nil
}

// reportUnmarked reports blocks that may have been meant as working blocks. It is
// an error if a formula needs one of their names.
func (r *resolver) reportUnmarked() {
	for i := range r.nb.Doc.Unmarked {
		block := &r.nb.Doc.Unmarked[i]
		at, needed := r.needed[block]
		if block.Word == "" && !needed {
			continue
		}
		p := problem.Problem{Severity: problem.Warning, Code: problem.UnknownFence, Place: block.Place, Fix: problem.Write(section.WorkingWord),
			Message: "a block marked " + quote(block.Word) + " is only shown; formulas need a block marked " + quote(section.WorkingWord)}
		if block.Word == "" {
			p.Message = quote(neededName(at)) + " is in a block that is only shown; formulas need a block marked " + quote(section.WorkingWord)
			p.Fix = problem.Write(block.Place.Text() + section.WorkingWord)
		}
		if needed {
			p.Severity, p.Related = problem.Error, []problem.Related{{Place: at, Note: "needed here"}}
		}
		r.problems.Add(p)
	}
}

func neededName(at source.Place) string { return formula.Fold(at.Text()) }
