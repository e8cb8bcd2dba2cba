package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/runner/proof"
)

// largestProgram bounds a program that is read, in bytes.
const largestProgram = 256 << 20

func readCommand() *cobra.Command {
	var picture string
	cmd := &cobra.Command{
		Use:   "read PROGRAM...",
		Short: "Read any machine program back: limits, time, strokes, words of note",
		Long: `Read follows a machine program (RS-274, ISO 6983-1) line by line, whoever wrote
it, and tells where it goes, how long it takes, what its strokes are, and which
rules of painting with a brush it keeps or breaks. It shares no code with what
writes programs.

The moves of a program tell neither the machine's travel feed and acceleration nor
the brush. So the time leaves out rapids and the gaining and losing of speed, which
the page of a job counts; and places and lengths are those of the machine's axis,
not of the mark, which lies elsewhere where the brush has a lag or a tip offset.

` + exitCodes,
		Example: `  mahlstick read logbook/heron/1-straw.nc
  mahlstick read --picture straw.svg logbook/heron/1-straw.nc`,
		Args: takes(1, math.MaxInt, "one program or more"),
		RunE: func(cmd *cobra.Command, names []string) error {
			if err := checkPicture(picture, len(names), "program"); err != nil {
				return err
			}
			worst := exitDone
			for i, name := range names {
				if i > 0 {
					fmt.Fprintln(cmd.OutOrStdout())
				}
				worst = max(worst, readOne(cmd, name, picture))
			}
			if worst != exitDone {
				return coded(worst)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&picture, "picture", "", "the `FILE.svg` to draw the path into")
	return cmd
}

func readOne(cmd *cobra.Command, name, picture string) int {
	errs := cmd.ErrOrStderr()
	info, err := os.Stat(name)
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%s is not a file: name the programs in it", name)
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".md", ".dxf", ".svg", ".html", ".json":
		if err == nil { // read as a program, each of its lines would be told
			fmt.Fprintf(errs, "mahlstick: %s is no machine program; programs stand in logbook/ after a run\n", name)
			return exitUse
		}
	}
	if err == nil && info.Size() > largestProgram {
		err = fmt.Errorf("%s has %d MB; more than %d MB is not read", name, info.Size()>>20, largestProgram>>20)
	}
	var text []byte
	if err == nil {
		text, err = os.ReadFile(name)
	}
	if err != nil {
		var at *fs.PathError
		if errors.As(err, &at) {
			err = fmt.Errorf("%s cannot be read: %w", name, at.Err)
		}
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk
	}
	path, _ := proof.Read(name, text)
	checks := proof.Check(path, proof.Limits{Loose: true, Strokes: -1})
	reading := proof.Reading{Path: path, Measures: proof.Measure(path, proof.Timing{}, nil), Checks: checks}
	if err := proof.Report(cmd.OutOrStdout(), reading); err != nil {
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk
	}
	if picture != "" {
		draw := func(w io.Writer) error {
			return proof.Picture(w, path, proof.PictureOptions{Travel: true, Numbers: true})
		}
		if err := writePicture(picture, draw); err != nil {
			fmt.Fprintf(errs, "mahlstick: the picture could not be written: %v\n", err)
			return exitDisk
		}
	}
	if !proof.Passed(checks) {
		return exitProof
	}
	return exitDone
}
