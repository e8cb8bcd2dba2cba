package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/recipe"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/template"
)

// templateFlags are which templates to write, and where.
type templateFlags struct {
	svg, together bool
	to            string
}

func templateCommand() *cobra.Command {
	var flags templateFlags
	cmd := &cobra.Command{
		Use:   "template RECIPE",
		Short: "Write empty drawings: the sheet, its margin, the marks, a layer for each ink",
		Long: `Template writes the drawings that the recipe links and that do not exist yet, in
the unit of the recipe, or else in mm. Each has a layer for each ink, with the
register marks at their places, so that what you draw on it is registered. The
sheet's edge and the margin are on locked layers that are not plotted. Their
names end in "(not painted)"; anything on a layer whose name ends so is not
painted, in any drawing.

A drawing that exists already is not changed; it is listed, with exit code 3.

` + exitCodes,
		Example: `  mahlstick template pond/pond.md               the drawings that the recipe links
  mahlstick template pond/pond.md --together    one drawing, pond.dxf, with all inks
  mahlstick template pond/pond.md --svg --to drafts`,
		Args: takes(1, 1, "one recipe"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("to") && flags.to == "" {
				return errors.New("--to takes a folder")
			}
			return exitWith(templates(cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0], flags))
		},
	}
	cmd.Flags().BoolVar(&flags.svg, "svg", false, "write SVG, even if the recipe links DXF")
	cmd.Flags().BoolVar(&flags.together, "together", false, "write one drawing with all inks, with the name of the recipe")
	cmd.Flags().StringVar(&flags.to, "to", "", "write into this folder, not where the recipe links its drawings")
	return cmd
}

func templates(out, errs io.Writer, file string, flags templateFlags) int {
	studio, name, err := recipe.Open(file)
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk
	}
	defer studio.Close()
	job, problems := recipe.ReadUndrawn(studio.FS, name)
	var list []*template.Template
	var texts [][]byte
	if !problems.HasErrors() {
		list = template.Each(job)
		if flags.together {
			list = []*template.Template{template.Together(job)}
		}
		for _, t := range list {
			text := []byte(nil)
			if t.IsSVG(flags.svg) {
				text = t.SVG()
			} else {
				var found problem.List
				text, found = t.DXF()
				problems = append(problems, found...)
			}
			texts = append(texts, text)
		}
	}
	problems = problems.Sorted()
	if err := problem.Print(errs, problems); err != nil {
		return exitDisk
	}
	if problems.HasErrors() {
		fmt.Fprintf(errs, "%s: %s. Nothing was written.\n", file, format.Count(countErrors(problems), "error"))
		return exitProblems
	}
	to := templateFolder{dir: studio.Dir, studio: studio.Dir, recipe: path.Dir(name), aside: flags.to != ""}
	if to.aside {
		to.dir = flags.to
	}
	return to.write(out, errs, job, list, texts, flags.svg)
}

// templateFolder is where templates are written.
type templateFolder struct {
	dir    string // on the disk
	studio string // on the disk
	recipe string // the recipe's folder below the studio
	aside  bool   // not where the recipe looks for its drawings
}

func (f *templateFolder) write(out, errs io.Writer, job *model.Job, list []*template.Template, texts [][]byte, svg bool) int {
	if err := os.MkdirAll(f.dir, 0o755); err != nil {
		fmt.Fprintf(errs, "mahlstick: the folder %s cannot be made: %v\n", typed(f.dir), cause(err))
		return exitDisk
	}
	root, err := os.OpenRoot(f.dir)
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk
	}
	defer root.Close()
	code := exitDone
	var advice []*template.Template
	for i, t := range list {
		name := f.name(t, svg)
		shown := typed(filepath.Join(f.dir, filepath.FromSlash(name)))
		switch err := writeNew(root, name, texts[i]); {
		case errors.Is(err, fs.ErrExist):
			fmt.Fprintf(errs, "%s is there already and was not changed. Move it away, or write to another folder: --to DIR\n", shown)
			code = max(code, exitDisk)
		case err != nil:
			fmt.Fprintf(errs, "mahlstick: %s could not be written: %v\n", shown, err)
			return exitDisk
		default:
			fmt.Fprintf(out, "Wrote %s: %s\n", shown, contents(job, t))
			advice = append(advice, t)
		}
	}
	f.advise(out, job, advice, svg)
	if len(advice) > 0 {
		adviseMarks(out, job)
	}
	return code
}

// adviseMarks prints places for register marks that are painted.
func adviseMarks(out io.Writer, job *model.Job) {
	free := template.FreeMarks(job)
	if len(free) < 2 {
		return
	}
	fmt.Fprintf(out, "If the sheet leaves the bed between layers, %s can paint register marks to find its place again.\n", job.Layers[0].Name)
	fmt.Fprintln(out, "Two show position and turn, four also how much the paper has grown. Write under Registration:")
	rows := [][]string{{"mark", "x", "y", "size", "painted"}}
	mm := func(v float64) string { return format.Plain.Number(v, 2) + " mm" }
	for _, m := range free {
		rows = append(rows, []string{m.Name, mm(m.X), mm(m.Y), mm(m.Size), job.Layers[0].Name})
	}
	table(out, rows, len(rows[0]))
}

// name is the path of a template below the folder that it goes into.
func (f *templateFolder) name(t *template.Template, svg bool) string {
	name := t.FileName(svg)
	if !f.aside {
		return name
	}
	// The path from the recipe; for files elsewhere, the name alone.
	if f.recipe == "." {
		return name
	}
	if below, ok := strings.CutPrefix(name, f.recipe+"/"); ok {
		return below
	}
	return path.Base(name)
}

// contents lists what is on a template.
func contents(job *model.Job, t *template.Template) string {
	var names []string
	marks := map[string]bool{}
	for _, l := range t.Layers {
		names = append(names, l.Name)
		for _, m := range l.Marks {
			marks[m.Name] = true
		}
	}
	text := job.Sheet.Size
	if t.Margin > 0 {
		text += fmt.Sprintf(", margin %g mm", t.Margin)
	}
	if len(marks) > 0 {
		text += ", " + format.Count(len(marks), "mark")
	}
	layers := "layers "
	if len(names) == 1 {
		layers = "layer "
	}
	return text + ", " + layers + strings.Join(names, ", ")
}

// advise prints what to write in the recipe for layers that it would not find in
// the new drawings.
func (f *templateFolder) advise(out io.Writer, job *model.Job, list []*template.Template, svg bool) {
	rows := [][]string{{"layer", "drawing", "drawing layer"}}
	columns := 2
	for i := range job.Layers {
		l := &job.Layers[i]
		for _, t := range list {
			name, shared := t.FileName(svg), t.Inks() > 1
			if !t.Holds(l) || name == l.Drawing && (l.DrawingLayer != "" || !shared) {
				continue
			}
			on := l.DrawingLayer
			if shared {
				on = template.LayerName(l)
			}
			if on != "" {
				columns = 3
			}
			label := strings.TrimSuffix(path.Base(name), path.Ext(name))
			rows = append(rows, []string{l.Name, "[" + label + "](" + f.link(name) + ")", on})
		}
	}
	if len(rows) == 1 {
		return
	}
	if f.aside {
		fmt.Fprintln(out, "When you have moved them to the recipe's drawings, write under Layers:")
	} else {
		fmt.Fprintln(out, "To paint from these drawings, write under Layers:")
	}
	table(out, rows, columns)
}

// table writes the first columns of the rows as a Markdown table.
func table(out io.Writer, rows [][]string, columns int) {
	wide := make([]int, columns)
	for _, r := range rows {
		for k := range wide {
			wide[k] = max(wide[k], len([]rune(r[k])))
		}
	}
	for i, r := range rows {
		line, rule := "  |", "  |"
		for k, w := range wide {
			line += " " + r[k] + strings.Repeat(" ", w-len([]rune(r[k]))) + " |"
			rule += strings.Repeat("-", w+2) + "|"
		}
		fmt.Fprintln(out, line)
		if i == 0 {
			fmt.Fprintln(out, rule)
		}
	}
}

// link is the target of a link from the recipe to a file of the studio.
func (f *templateFolder) link(name string) string {
	if rel, err := filepath.Rel(filepath.FromSlash(f.recipe), filepath.FromSlash(name)); err == nil {
		name = filepath.ToSlash(rel)
	}
	if strings.ContainsAny(name, " ()") {
		name = "<" + name + ">"
	}
	return name
}

// writeNew writes a new file and the folders for it. A file that cannot be
// written whole is removed again.
func writeNew(root *os.Root, name string, data []byte) error {
	if err := root.MkdirAll(path.Dir(name), 0o755); err != nil {
		return cause(err)
	}
	file, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return cause(err)
	}
	_, err = file.Write(data)
	if err = errors.Join(err, file.Close()); err != nil {
		err = errors.Join(err, root.Remove(name))
	}
	return err
}

// typed is a path as a person would type it.
func typed(name string) string {
	absolute, err := filepath.Abs(name)
	if err != nil {
		return name
	}
	if here, err := filepath.Abs("."); err == nil {
		if rel, err := filepath.Rel(here, absolute); err == nil && !strings.HasPrefix(rel, ".."+string(filepath.Separator)+"..") {
			return rel
		}
	}
	return absolute
}
