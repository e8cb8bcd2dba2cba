// Command draw draws the pictures of the guide, always the same bytes:
//
//	go run ./notebooks/guide/draw
//
// Most strokes are written as what a drawing of brush strokes usually holds:
// their outline, here a closed polyline of arcs.
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
	to := flag.String("to", "notebooks/guide", "the `folder` to write the drawings into")
	flag.Parse()
	if err := write(*to); err != nil {
		fmt.Fprintln(os.Stderr, "draw:", err)
		os.Exit(1)
	}
}

func write(folder string) error {
	for _, p := range pictures() {
		var b bytes.Buffer
		if err := drawing.WriteDXF(&b, p.out); err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		if err := os.WriteFile(filepath.Join(folder, p.name+".dxf"), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
