// Command draw draws the heron and writes its four drawings, always the same
// bytes:
//
//	go run ./notebooks/heron/draw
//
// Each stroke is a centre line with a swelling width; what is written is its
// outline, for that is what a drawing of brush strokes usually holds.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"mahlstick/runner/drawing"
)

func main() {
	to := flag.String("to", "notebooks/heron", "the `folder` to write the drawings into")
	flag.Parse()
	if err := write(*to); err != nil {
		fmt.Fprintln(os.Stderr, "draw:", err)
		os.Exit(1)
	}
}

func write(folder string) error {
	p := paint()
	for _, ink := range inks {
		var b bytes.Buffer
		if err := drawing.WriteDXF(&b, p.file(ink)); err != nil {
			return fmt.Errorf("%s: %w", ink, err)
		}
		if err := os.WriteFile(filepath.Join(folder, ink+".dxf"), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
