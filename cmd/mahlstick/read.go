package main

import (
	"fmt"
	"math"
	"os"

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

` + exitCodes,
		Example: `  mahlstick read logbook/heron/1-straw.nc
  mahlstick read --picture straw.svg logbook/heron/1-straw.nc`,
		Args: takes(1, math.MaxInt, "one program or more"),
		RunE: func(cmd *cobra.Command, names []string) error {
			if picture != "" && len(names) > 1 {
				return fmt.Errorf("--picture goes with one program, not with %d", len(names))
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
	cmd.Flags().StringVar(&picture, "picture", "", "write an SVG picture of the path to this file")
	return cmd
}

func readOne(cmd *cobra.Command, name, picture string) int {
	errs := cmd.ErrOrStderr()
	info, err := os.Stat(name)
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%s is not a file", name)
	}
	if err == nil && info.Size() > largestProgram {
		err = fmt.Errorf("%s has %d MB; more than %d MB is not read", name, info.Size()>>20, largestProgram>>20)
	}
	var text []byte
	if err == nil {
		text, err = os.ReadFile(name)
	}
	if err != nil {
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
		if err := writePicture(picture, path); err != nil {
			fmt.Fprintf(errs, "mahlstick: the picture could not be written: %v\n", err)
			return exitDisk
		}
	}
	if !proof.Passed(checks) {
		return exitProof
	}
	return exitDone
}

func writePicture(name string, path *proof.Path) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	if err := proof.Picture(f, path, proof.Look{Travel: true, Numbers: true}); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
