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
	"mahlstick/recipe/problem"
	"mahlstick/runner/trial"
)

func swatchCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "swatch BRUSH",
		Short: "Write a recipe that measures a brush: its trials, its machine, a place for the readings",
		Long: `Swatch writes a recipe into the studio's folder swatches, with the name of the
brush's notebook: its trials are painted and measured, and show how wide the
brush paints at each press, how far its mark trails, and how long a load lasts.
Change it, run it, and sign it as any recipe.

If the brush states its safe press, no trial presses deeper. If not, the column
press stays empty, and you fill it in after trying the brush by hand.

Nothing is ever overwritten: if there is such a recipe already, the new one gets
a number.

` + exitCodes,
		Example: `  mahlstick swatch brushes/sable.md     write swatches/sable.md`,
		Args:    takes(1, 1, "the notebook of one brush"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return exitWith(swatch(cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0]))
		},
	}
}

const (
	swatchFolder = "swatches"
	mostSwatches = 1000 // of one brush
)

func swatch(out, errs io.Writer, file string) int {
	studio, name, err := recipe.Open(file)
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk
	}
	defer studio.Close()
	brushes, problems := recipe.ReadBrushes(studio.FS, name)
	if err := problem.Print(errs, problems); err != nil {
		return exitDisk
	}
	if problems.HasErrors() {
		fmt.Fprintf(errs, "%s: %s. Nothing was written.\n", file, format.Count(countErrors(problems), "error"))
		return exitProblems
	}
	root, err := os.OpenRoot(studio.Dir)
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk
	}
	defer root.Close()
	stem := strings.TrimSuffix(path.Base(name), path.Ext(name))
	for n := 1; n <= mostSwatches; n++ {
		at := path.Join(swatchFolder, stem+".md")
		if n > 1 {
			at = path.Join(swatchFolder, fmt.Sprintf("%s-%d.md", stem, n))
		}
		shown := typed(filepath.Join(studio.Dir, filepath.FromSlash(at)))
		switch err := writeNew(root, at, swatchRecipe(studio.FS, name, at, brushes)); {
		case errors.Is(err, fs.ErrExist):
			continue
		case err != nil:
			fmt.Fprintf(errs, "mahlstick: %s could not be written: %v\n", shown, err)
			return exitDisk
		}
		describeSwatch(out, shown, brushes)
		return exitDone
	}
	fmt.Fprintf(errs, "mahlstick: there are %d swatch recipes of this brush already. Move some away, then try again.\n", mostSwatches)
	return exitDisk
}

// swatchRecipe is the text of a swatch recipe at a path below the studio, for the
// brushes of a notebook.
func swatchRecipe(root fs.FS, notebook, at string, brushes []recipe.Outline) []byte {
	o := trial.Outline{Title: strings.TrimSuffix(path.Base(notebook), path.Ext(notebook)), File: at,
		Machine: recipe.DefaultMachine(root), Paper: recipe.DefaultPaper(root)}
	for _, b := range brushes {
		o.Brushes = append(o.Brushes, trial.OutlinedBrush{Title: b.Title, Link: trial.Link(at, notebook, b.Anchor), SafePress: b.SafePress})
	}
	if len(brushes) == 1 {
		o.Title = brushes[0].Title
	}
	return trial.Recipe(o, recipe.Millimetres)
}

// describeSwatch prints what was written and what to do next.
func describeSwatch(out io.Writer, shown string, brushes []recipe.Outline) {
	fmt.Fprintf(out, "Wrote %s.\n", shown)
	for _, b := range brushes {
		if b.SafePress == 0 {
			fmt.Fprintf(out, "The safe press of %s is not known: try the brush by hand, and fill in the column press.\n", b.Title)
		}
	}
	fmt.Fprintf(out, "Write the ink and the sheet that you use, then: mahlstick run %s\n", shown)
}
