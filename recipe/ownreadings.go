package recipe

import (
	"math"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/reading"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// ownReadings are the lines of a file of readings that the recipe's own Results
// link.
type ownReadings struct {
	link section.Link
	file string
	rows []reading.Row
}

// readOwn reads the files of readings that the recipe's own Results link. They change
// no program of it: what is wrong with one is a warning.
func readOwn(a *assembler) []ownReadings {
	var out []ownReadings
	for _, s := range a.recipe.Doc.Sections {
		if s.Word != schema.Results {
			continue
		}
		for _, link := range s.Links {
			if !strings.EqualFold(path.Ext(link.Target), ".csv") || strings.Contains(link.Target, "://") {
				continue
			}
			own, list := readLinked(a, link)
			if own.file != "" {
				out = append(out, own)
			}
			for _, p := range list {
				if p.Severity == problem.Error {
					p.Severity = problem.Warning
				}
				a.problems.Add(p)
			}
		}
	}
	return out
}

// readLinked reads a file of readings; its name is empty where there is none.
func readLinked(a *assembler, link section.Link) (ownReadings, problem.List) {
	name, list := notebook.Target(a.root, a.recipe.File, link)
	if len(list) == 0 {
		list = notebook.CheckFile(a.root, name, link.TargetPlace)
	}
	if len(list) > 0 {
		return ownReadings{}, list
	}
	data, err := notebook.ReadFile(a.root, name, section.MaxBytes)
	if err != nil {
		list.Errorf(problem.Unreadable, link.TargetPlace, problem.Advise("make the file readable"), "%s cannot be read: %v", name, err)
		return ownReadings{}, list
	}
	rows, list := reading.CSV(source.New(name, data))
	return ownReadings{link: link, file: name, rows: rows}, list
}

// filesOf are the names of the files, each once.
func filesOf(own []ownReadings) []string {
	var out []string
	for _, o := range own {
		if !slices.Contains(out, o.file) {
			out = append(out, o.file)
		}
	}
	return out
}

// stripsIn are the marks of check strips that files of readings hold, linked between
// two places of the recipe: to-measure.csv names them by layer and letter.
func stripsIn(own []ownReadings, from, to int, layers []string) []model.StripReading {
	var out []model.StripReading
	for _, o := range own {
		if o.link.Place.Start < from || o.link.Place.Start >= to {
			continue
		}
		for _, r := range o.rows {
			at := strings.LastIndexByte(r.Trial, ' ')
			if at < 0 || !slices.Contains(layers, r.Trial[:at]) || len(r.Values) == 0 || r.LeftOut != "" || !(r.Expected > 0) {
				continue
			}
			s := model.StripReading{Layer: r.Trial[:at], Mark: r.Trial[at+1:], Asked: r.Expected, Place: r.Place}
			values, stated := make([]float64, len(r.Values)), 0.0
			for i, v := range r.Values {
				values[i] = v.MM
				stated = math.Max(stated, v.U)
			}
			mean := measure.Mean(values)
			s.Measured, s.U = mean.Value, math.Max(mean.U, stated)
			out = append(out, s)
		}
	}
	return out
}
