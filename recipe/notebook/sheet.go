package notebook

import (
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Sheet is a swatch recipe that a Swatch section links: what was painted, and what
// was measured of it.
type Sheet struct {
	File *source.File
	Doc  *section.Document
	// Own reports that it is the recipe that is read itself: its readings are for
	// other recipes, because Results never change a recipe's own programs.
	Own bool
	// Readings are the files of readings that its Results link, and Linked the
	// notebooks that its Sheet and its Trials link, by the start of the link.
	Readings map[int]*source.File
	Linked   map[int]string
}

// SheetBy is the swatch recipe to which a link leads, or nil.
func (nb *Notebook) SheetBy(link section.Link) *Sheet { return nb.sheets[link.Place.Start] }

// sheet follows a link of a Swatch section that leads to a swatch recipe; false if
// it leads to another notebook.
func (l *loader) sheet(nb *Notebook, link dataLink, name string) bool {
	if s, known := l.sheets[name]; known {
		if s != nil {
			nb.sheets[link.Place.Start] = s
		}
		return s != nil
	}
	if name == l.recipe {
		l.sheets[name] = &Sheet{Own: true}
		nb.sheets[link.Place.Start] = l.sheets[name]
		return true
	}
	l.sheets[name] = nil
	if !strings.EqualFold(path.Ext(name), ".md") || len(CheckFile(l.root, name, link.TargetPlace)) > 0 {
		return false // reported with the notebook
	}
	file := l.read(name, link.TargetPlace)
	if file == nil {
		return false
	}
	doc, list := section.Read(file, schema.Words())
	if !hasSection(doc, schema.Trials) && !hasSection(doc, schema.Results) {
		return false
	}
	l.problems = append(l.problems, list...)
	s := &Sheet{File: file, Doc: doc, Readings: map[int]*source.File{}, Linked: map[int]string{}}
	l.sheets[name] = s
	nb.sheets[link.Place.Start] = s
	l.set.Sheets = append(l.set.Sheets, file)
	for _, part := range doc.Sections {
		switch part.Word {
		case schema.Results:
			l.readings(s, part)
		case schema.Sheet, schema.Trials:
			s.noteLinks(l, part)
		}
	}
	return true
}

func hasSection(doc *section.Document, word string) bool {
	return slices.ContainsFunc(doc.Sections, func(s *section.Section) bool { return s.Word == word })
}

// readings reads the files of readings that Results link.
func (l *loader) readings(s *Sheet, results *section.Section) {
	for _, link := range results.Links {
		if isAddress(link.Target) || !strings.EqualFold(path.Ext(link.Target), ".csv") {
			continue
		}
		name, list := Target(l.root, s.File, link)
		if len(list) > 0 {
			l.problems = append(l.problems, list...)
			continue
		}
		file, known := l.csv[name]
		if !known {
			if len(l.csv) >= maxReadings || l.bytes > maxTotalBytes {
				l.problems.Errorf(problem.TooMany, link.TargetPlace, problem.Advise("put several people's readings into one file"), "one job reads at most %d files of readings and %d MB", maxReadings, maxTotalBytes>>20)
				return
			}
			file = l.read(name, link.TargetPlace)
			l.csv[name] = file
			if file != nil {
				l.set.Sheets = append(l.set.Sheets, file)
			}
		}
		if file != nil {
			s.Readings[link.Place.Start] = file
		}
	}
}

// noteLinks notes to which notebooks the cells of a section lead.
func (s *Sheet) noteLinks(l *loader, part *section.Section) {
	for _, table := range part.Tables {
		for _, row := range table.Rows {
			for _, cell := range row.Cells {
				for _, link := range cell.Links {
					if name, list := Target(l.root, s.File, link); len(list) == 0 {
						s.Linked[link.Place.Start] = name
					}
				}
			}
		}
	}
}
