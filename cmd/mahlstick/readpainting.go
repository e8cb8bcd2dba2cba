package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/runner"
	"mahlstick/runner/scan"
	"mahlstick/runner/scan/overlay"
	"mahlstick/runner/scan/painting"
)

// readPainting measures the strokes of a painting on its scan, and says what they mean.
func readPainting(cmd *cobra.Command, names []string, picture string) error {
	errs := cmd.ErrOrStderr()
	if len(names) != 2 || !isScan(names[0]) || !strings.EqualFold(filepath.Ext(names[1]), ".md") {
		return fmt.Errorf("--meaning and --picture take one scan and then the recipe of the painting, such as: mahlstick read --meaning scan.png heron/heron.md")
	}
	if err := checkPicture(picture, 1, "scan"); err != nil {
		return err
	}
	result, err := runForScan(errs, names[1])
	if err != nil {
		return err
	}
	if len(result.Job.Trials) > 0 {
		return fmt.Errorf("--meaning and --picture are for paintings, and %s is a swatch sheet: read its marks without them, and link the table under Results", names[1])
	}
	sheet, code := layScan(errs, names[0], runner.Painted(result))
	if sheet == nil {
		return exitWith(code)
	}
	show := progressOn(errs)
	show.line(names[0] + ": strokes")
	g := sheet.Geometry()
	perMM := (g.DPIX + g.DPIY) / 2 / 25.4
	read := painting.Read(sheet, 1/perMM, result.Job, result.Layers)
	show.clear()
	if err := read.Write(cmd.OutOrStdout()); err != nil {
		return exitWith(exitDisk)
	}
	if picture == "" {
		return nil
	}
	err = writePicture(picture, func(w io.Writer) error {
		return overlay.Write(w, result.Job.Title, edgesOver(sheet, perMM), read.Measured, read.Names())
	})
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: the picture could not be written: %v\n", err)
		return exitWith(exitDisk)
	}
	return nil
}

// edgesOver is a scan as the picture of edges takes it.
func edgesOver(sheet *scan.Sheet, perMM float64) overlay.Scan {
	m := sheet.Image()
	return overlay.Scan{Width: m.Width, Height: m.Height, Pix: m.Pix, PerMM: perMM, Pixel: sheet.Map.Pixel}
}
