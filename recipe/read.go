// Package recipe reads a recipe and all notebooks that it links, evaluates its
// formulas, and makes plain values of them: the model.Job on which everything
// else is built.
//
// Four passes do this, each making a value of its own and a list of problems:
// notebook loads the files, binding reads their tables, resolve evaluates the
// formulas, and this package assembles the job. Reading goes on after each
// problem, so that one run shows all of them. The result does not depend on
// clock, locale or map order: the same files give the same job and the same
// list.
package recipe

import (
	"fmt"
	"io/fs"
	"runtime"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/resolve"
)

// Read reads the recipe of that name below the studio's root, with forward
// slashes. The list holds all problems, sorted by place. The job is complete
// only if the list has no errors; otherwise it holds what could be read, and
// must not be painted.
func Read(root fs.FS, name string) (*model.Job, problem.List) {
	return read(root, name, false)
}

// ReadUndrawn is Read for a recipe whose drawings may be missing.
func ReadUndrawn(root fs.FS, name string) (*model.Job, problem.List) {
	return read(root, name, true)
}

func read(root fs.FS, name string, undrawn bool) (*model.Job, problem.List) {
	set, problems := notebook.Load(root, name)
	if set == nil {
		return &model.Job{Name: JobName(name)}, shorten(problems.Sorted())
	}
	bound, list := binding.Bind(set)
	problems = append(problems, list...)
	budget := formula.NewBudget()
	values, list := resolve.Resolve(bound, budget, runtime.GOMAXPROCS(0))
	problems = append(problems, list...)
	a := &assembler{root: root, recipe: bound, values: values, budget: budget, undrawn: undrawn, problems: problems}
	return a.assemble(JobName(name)), shorten(a.problems.Sorted())
}

// maxProblems is the most that are listed: nobody reads more at once.
const maxProblems = 1000

// shorten cuts a list to maxProblems: errors are kept before warnings, those
// before hints, and the rest is counted.
func shorten(list problem.List) problem.List {
	if len(list) <= maxProblems {
		return list
	}
	var kept problem.List
	var rest []problem.Problem
	for _, severity := range []problem.Severity{problem.Error, problem.Warning, problem.Hint} {
		for _, p := range list {
			switch {
			case p.Severity != severity:
			case len(kept) < maxProblems:
				kept = append(kept, p)
			default:
				rest = append(rest, p)
			}
		}
	}
	kept = append(kept, problem.Problem{Severity: rest[0].Severity, Code: problem.TooManyProblems, Place: rest[0].Place, Fix: problem.Advise("fix the others first"),
		Message: fmt.Sprintf("from here on, %d more problems are not listed", len(rest))})
	return kept.Sorted()
}
