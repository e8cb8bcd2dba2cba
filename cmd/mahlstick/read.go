package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/runner/proof"
	"mahlstick/runner/scan/raster"
)

// maxProgram bounds the size of a program, in bytes.
const maxProgram = 256 << 20

func readCommand() *cobra.Command {
	var picture string
	var meaning bool
	cmd := &cobra.Command{
		Use:   "read PROGRAM... | SCAN... RECIPE",
		Short: "Read any machine program, or the marks on a scan of a painted sheet",
		Long: `Read follows a machine program (RS-274, ISO 6983-1) line by line, whoever wrote
it. It lists where the program goes, how long it takes, its strokes, and which
rules for painting with a brush it keeps or breaks. It shares no code with the
part that writes programs.

A brush that waits on the paper breaks a rule, unless the program's head states
the place, the depth and the time, as that of a swatch sheet does for its dots.
If the head states clamps, brush and holder must clear them.

The moves of a program do not tell the machine's travel feed and acceleration.
The programs of a job state them in a comment, and read uses that; the time of
other programs leaves out rapids and changes of speed. Nor do the moves tell the
brush: positions and lengths are those of the machine's axis, and the mark lies
elsewhere if the brush has a lag or a tip offset.

With scans (PNG, JPEG or TIFF) and the recipe of the sheet, read measures the
marks that to-measure.csv lists, and prints that table with the lengths filled
in, each with its standard uncertainty. Redirect it into a file, and link that
under Results. A mark that could not be read stays empty, with the reason in
the column remark. Give all sheets of a swatch job at once, a scan for each.
The sheet is found by what is painted on it, any of four ways up; the distances
between the marks correct the scales, turn and shear of the scanner. An edge is
where the light is half-way between paper and ink, averaged along the mark. The
samples of the scan are taken as sRGB (IEC 61966-2-1); turn off sharpening and
automatic contrast. Scan with 300 dpi or more; 600 dpi is best, and less than
150 dpi is refused. Read changes no file. A scan that does not show the sheet is a
problem (exit code 1).

With --meaning, read measures the strokes of a painting instead, every half
millimetre across, and compares them with what was asked. It lists strokes that
are missing, broken or painted twice, and says what the widths and places mean:
touching off, the widths by press, wear, lag, play, the ink that ran out, tip
offset, turn and growth of the sheet, each with its standard uncertainty, as far
as the sheet can tell them apart. Then it prints the rows that would have met
it, and the widths as rows of Results, which the page draws together with those
of other sheets; both are ready to paste. It pastes nothing by itself.

` + exitCodes,
		Example: `  mahlstick read logbook/heron/1-straw.nc
  mahlstick read --picture straw.svg logbook/heron/1-straw.nc
  mahlstick read scan.png swatches/sable.md > swatches/readings.csv
  mahlstick read --meaning --picture edges.svg scan.png heron/heron.md`,
		Args: takes(1, math.MaxInt, "one program or more"),
		RunE: func(cmd *cobra.Command, names []string) error {
			if i := slices.IndexFunc(names, isOtherPicture); i >= 0 {
				return fmt.Errorf("%s cannot be read: scans are %s, so scan again as one of these", names[i], raster.Formats)
			}
			if slices.ContainsFunc(names, isScan) {
				if meaning || picture != "" {
					return readPainting(cmd, names, picture)
				}
				return readScans(cmd, names)
			}
			if meaning {
				return fmt.Errorf("--meaning is for a scan and its recipe, not for programs")
			}
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
			return exitWith(worst)
		},
	}
	cmd.Flags().StringVar(&picture, "picture", "", "draw the path, or the edges of strokes over the scan, into `FILE.svg`")
	cmd.Flags().BoolVar(&meaning, "meaning", false, "measure the strokes of a painting on its scan, and say what they mean")
	return cmd
}

func readOne(cmd *cobra.Command, name, picture string) int {
	errs := cmd.ErrOrStderr()
	info, err := os.Stat(name)
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%s is not a file: write the names of the programs in it", name)
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".md", ".dxf", ".svg", ".html", ".json":
		if err == nil { // as a program, each of its lines would be a problem
			fmt.Fprintf(errs, "mahlstick: %s is not a machine program; programs are in logbook/JOB/ after a run\n", name)
			return exitUse
		}
	}
	if err == nil && info.Size() > maxProgram {
		err = fmt.Errorf("%s has %d MB; the most that is read is %d MB", name, info.Size()>>20, maxProgram>>20)
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
	stations := proof.StatedStations(path)
	// Wells and clamps are at the machine's Z, so the rules take the path as written.
	limits := proof.Limits{Loose: true, Strokes: -1, Waits: path.StatedWaits(), Stations: stations, Clamps: proof.StatedClamps(path)}
	limits.Bed, limits.TipX, limits.TipY = proof.StatedBed(path)
	checks := proof.Check(path, limits)
	path = proof.OnStatedBed(proof.Visiting(path, stations))
	timing := path.StatedTiming()
	reading := proof.Reading{Path: path, Measures: proof.Measure(path, timing, nil), Timing: timing, Checks: checks}
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
