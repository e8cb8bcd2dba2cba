package binding

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// checkHeading checks what follows the section's word.
func checkHeading(list *problem.List, def *schema.Section, s *section.Section) {
	switch {
	case def.Named && !s.Rest.Empty():
		at := source.Place{File: s.Heading.Place.File, Start: s.Heading.Place.Start, End: s.Rest.Place.End}
		list.Errorf(problem.HeadingName, at, problem.Write(s.Word+": "+s.Rest.String),
			"%q needs a colon before the name", s.Heading.String)
	case !def.Named && !s.Name.Empty() && s.Word != schema.Results:
		list.Warnf(problem.HeadingName, s.Name.Place, problem.Advise("leave it out"), "%s takes no name", s.Word)
	case def.Named && !s.Name.Empty():
		checkName(list, s.Name, "the "+strings.ToLower(s.Word))
	}
}

// maxNameLength bounds the characters of a name.
const maxNameLength = 60

// checkName refuses names that cannot be part of a file name.
func checkName(list *problem.List, name section.Text, what string) bool {
	bad := func(c rune) bool { return strings.ContainsRune("/\\:*?\"<>|`", c) || unicode.IsControl(c) }
	letters := strings.ContainsFunc(name.String, func(c rune) bool { return unicode.IsLetter(c) || unicode.IsDigit(c) })
	switch {
	case !letters:
		list.Errorf(problem.WrongName, name.Place, problem.Advise("write a name with letters"), "%q cannot be the name of %s", name.String, what)
	case strings.ContainsFunc(name.String, bad):
		tidy := strings.Join(strings.Fields(strings.Map(func(c rune) rune {
			if bad(c) {
				return ' '
			}
			return c
		}, name.String)), " ")
		list.Errorf(problem.WrongName, name.Place, problem.Write(tidy), "the name of %s is used in file names, which cannot hold %q", what, name.String)
	case len([]rune(name.String)) > maxNameLength:
		list.Errorf(problem.WrongName, name.Place, problem.Advise("write a shorter name"), "the name of %s has more than %d characters", what, maxNameLength)
	default:
		return true
	}
	return false
}

// headings checks that a recipe has the sections that it needs, and reports
// headings that were probably meant as sections.
type headings struct {
	recipe   *Recipe
	problems problem.List
	misspelt map[*section.Section]bool // reported as misspelt
}

func checkHeadings(recipe *Recipe) problem.List {
	h := &headings{recipe: recipe, misspelt: map[*section.Section]bool{}}
	if recipe.Sheet == nil {
		h.missing(schema.Sheet)
	}
	if recipe.Machine == nil {
		h.missing(schema.Machine)
	} else if !recipe.Has(schema.Machine) {
		h.reportSynonym(schema.Machine) // the studio's machine would be taken instead
	}
	if !recipe.Has(schema.Registration) && !recipe.Has(schema.Trials) {
		// Without marks, the drawing has the sheet's own coordinates.
		h.reportMisspelt(schema.Registration)
	}
	if !recipe.Has(schema.Layers) && !recipe.Has(schema.Trials) {
		h.missing(schema.Layers)
	}
	if len(recipe.RegisterMarks) == 0 {
		h.empty(schema.Registration)
	}
	if len(recipe.Layers) == 0 {
		h.empty(schema.Layers)
	}
	if len(recipe.Trials) == 0 {
		h.empty(schema.Trials)
	}
	h.oneKindOfJob()
	for _, nb := range recipe.Notebooks {
		h.hiddenTables(nb)
		h.stray(nb)
	}
	return h.problems
}

// oneKindOfJob refuses a recipe with both layers and trials: their marks would
// lie on each other.
func (h *headings) oneKindOfJob() {
	if len(h.recipe.Layers) == 0 || len(h.recipe.Trials) == 0 {
		return
	}
	h.problems.Add(problem.Problem{Code: problem.TwoSources, Place: h.recipe.Trials[0].Row.Place,
		Fix:     problem.Advise("put the trials into a recipe of their own"),
		Message: "a recipe has Layers or Trials, not both",
		Related: []problem.Related{{Place: h.recipe.Layers[0].Row.Place, Note: "the first layer"}}})
}

// missing reports a required section that is missing, or the heading that was
// probably meant as it.
func (h *headings) missing(word string) {
	r := h.recipe
	if r.Doc.Incomplete || h.reportMisspelt(word) {
		return
	}
	if !r.Has(schema.Sheet) && !r.Has(schema.Layers) && len(r.Doc.Sections) > 0 {
		if word == schema.Sheet { // once: Layers and Machine are missing for the same reason
			s := r.Doc.Sections[0]
			h.problems.Errorf(problem.MissingSection, s.Heading.Place, problem.Advise("run a recipe that links it, or add the sections Sheet and Layers"),
				"this is the notebook of a %s, not a recipe: it has no Sheet and no Layers", strings.ToLower(s.Word))
		}
		return
	}
	h.problems.Errorf(problem.MissingSection, lastLine(r.File), addSection(schema.Find(word)), "the recipe has no section %s", word)
}

// lastLine is the last line of a file that is not empty.
func lastLine(file *source.File) source.Place {
	end := len(file.Data)
	for end > 0 && (file.Data[end-1] == '\n' || file.Data[end-1] == '\r') {
		end--
	}
	start := end
	for start > 0 && file.Data[start-1] != '\n' && file.Data[start-1] != '\r' {
		start--
	}
	return file.Place(start, end)
}

// reportMisspelt reports a heading that is nearly a section's word, or that was
// meant as the section in other words.
func (h *headings) reportMisspelt(word string) bool {
	for _, s := range h.recipe.Doc.Prose {
		if near, ok := nearHeading(firstWord(s.Heading.String), []string{word}); ok {
			h.notASection(s, firstWordPlace(s), near, word)
			return true
		}
	}
	return h.reportSynonym(word)
}

// reportSynonym reports a heading that means the same as a section's word and
// has its data below it, or whose table is one of the section.
func (h *headings) reportSynonym(word string) bool {
	def := schema.Find(word)
	for _, s := range h.recipe.Doc.Prose {
		title, name, named := strings.Cut(s.Heading.String, ":")
		same := def.Rows != nil && schema.SectionFor(title) == word && (usesWords(def, s) || linksNotebook(s))
		if !same && !isTableOf(def, s) {
			continue
		}
		write := word
		if named && def.Named {
			write += ":" + name
		}
		h.notASection(s, s.Heading.Place, write, word)
		return true
	}
	return false
}

func (h *headings) notASection(s *section.Section, at source.Place, write, word string) {
	h.problems.Errorf(problem.UnknownSection, at, problem.Write(write), "%q is not a section of a recipe, and there is no %s", s.Heading.String, word)
	h.misspelt[s] = true
}

// isTableOf reports whether a table below a heading has every word that a
// section requires.
func isTableOf(def *schema.Section, s *section.Section) bool {
	for _, table := range s.Tables {
		words := wordsOf(def, table)
		all := true
		for _, field := range def.Fields() {
			all = all && (!field.Required || slices.ContainsFunc(words, func(c section.Cell) bool {
				found := def.Find(c.String)
				return found != nil && found.Word == field.Word
			}))
		}
		if all {
			return true
		}
	}
	return false
}

func linksNotebook(s *section.Section) bool {
	return slices.ContainsFunc(s.Links, func(l section.Link) bool { return strings.HasSuffix(l.Target, ".md") })
}

// nearHeading finds the section's word that a heading misspells. Most headings
// are prose, so only 2 letters may differ, and 1 in a short word.
func nearHeading(word string, words []string) (string, bool) {
	slips := 2
	if utf8.RuneCountInString(word) <= 5 {
		slips = 1
	}
	near, ok := problem.Nearest(word, words)
	return near, ok && problem.Distance(word, near) <= slips
}

func firstWord(s string) string {
	if i := strings.IndexAny(s, " :\t"); i >= 0 {
		return s[:i]
	}
	return s
}

func firstWordPlace(s *section.Section) source.Place {
	return s.Heading.Place.Sub(0, len(firstWord(s.Heading.String)))
}

// addSection is the fix for a section that is missing. It writes nothing that
// only a measurement can say.
func addSection(def *schema.Section) problem.Fix {
	required := requiredWords(def)
	switch {
	case def.Word == schema.Machine:
		return problem.Advise("add the heading ## Machine and below it a link to the machine's notebook, or a table with the rows " + format.List(required))
	case def.Rows != nil:
		return problem.Advise("add the heading ## " + def.Word + " and below it a table with the row " + format.List(required) + ": " + def.Find(required[0]).Measure)
	}
	return problem.AddBelow("\n## " + def.Word + "\n" + exampleTable(def))
}

// addTable is the fix for a section without its table.
func addTable(def *schema.Section) problem.Fix {
	if slices.ContainsFunc(def.Columns, func(field schema.Field) bool { return field.Required && field.Measure != "" }) {
		return problem.Advise("add a table with the columns " + format.List(requiredWords(def)))
	}
	return problem.AddBelow("\n" + exampleTable(def))
}

func requiredWords(def *schema.Section) []string {
	var out []string
	for _, field := range def.Fields() {
		if field.Required {
			out = append(out, field.Word)
		}
	}
	return out
}

// exampleTable writes a table with the required columns and one record.
func exampleTable(def *schema.Section) string {
	head, rule, row := "|", "|", "|"
	for _, field := range def.Columns {
		if field.Required {
			head += " " + field.Word + " |"
			rule += "---|"
			row += " " + field.Sample() + " |"
		}
	}
	return head + "\n" + rule + "\n" + row
}

// empty reports a section of records that has none.
func (h *headings) empty(word string) {
	for _, s := range h.recipe.Doc.Sections {
		if s.Word != word {
			continue
		}
		hidden := len(s.Tables) == 0 && len(s.Hidden) > 0 // reported by hiddenTables
		broken := len(s.Tables) > 0 && slices.ContainsFunc(s.Tables[0].Rows, hasText) || h.recipe.Doc.Incomplete || s.LostTable
		if hidden || broken {
			return
		}
		at, fix := s.Heading.Place, addTable(schema.Find(word))
		if len(s.Tables) > 0 {
			at, fix = s.Tables[0].Head, problem.Advise("write a line below for each of them")
		}
		h.problems.Errorf(problem.MissingTable, at, fix, "%s has no rows", word)
		return
	}
}

// hiddenTables reports tables that are only shown as text. They are errors if a
// section of the recipe needs a table and has no other.
func (h *headings) hiddenTables(nb *Notebook) {
	for _, s := range nb.Doc.Sections {
		severity := problem.Warning
		if nb.IsRecipe && len(s.Tables) == 0 && (s.Word == schema.Layers || s.Word == schema.Trials || s.Word == schema.Registration) {
			severity = problem.Error
		}
		for _, hidden := range s.Hidden {
			h.problems.Add(problem.Problem{Severity: severity, Code: problem.HiddenTable, Place: hidden.Place, Fix: hidden.Fix, Message: hidden.Why})
		}
	}
}

// stray reports prose that was probably meant as data: a heading that is nearly
// a section's word, with a table below it.
func (h *headings) stray(nb *Notebook) {
	for _, s := range nb.Doc.Prose {
		near, ok := nearHeading(firstWord(s.Heading.String), schema.Words())
		if !ok || h.misspelt[s] {
			continue
		}
		def := schema.Find(near)
		switch {
		case usesWords(def, s):
			h.problems.Errorf(problem.UnknownSection, firstWordPlace(s), problem.Write(near), "%q is not a section; its table would only be shown", s.Heading.String)
		case nb.IsRecipe && def.Rows != nil && linksNotebook(s):
			h.problems.Warnf(problem.UnknownSection, firstWordPlace(s), problem.Write(near), "%q is not a section; what it links is only shown", s.Heading.String)
		}
	}
}

// usesWords reports whether the tables below a heading use words of a section.
func usesWords(def *schema.Section, s *section.Section) bool {
	return slices.ContainsFunc(s.Tables, func(table *section.Table) bool {
		return slices.ContainsFunc(wordsOf(def, table), func(c section.Cell) bool { return def.Find(c.String) != nil })
	})
}

// wordsOf returns the cells of a table in which a section has its words: the
// header, or the first cell of each row.
func wordsOf(def *schema.Section, table *section.Table) []section.Cell {
	if def.Columns != nil {
		return table.Header
	}
	var out []section.Cell
	for _, row := range table.Rows {
		out = append(out, row.Cells[0])
	}
	return out
}
