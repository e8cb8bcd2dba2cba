package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"mahlstick/runner/scan/scene"
)

// scanned FILE WIDTHxHEIGHT DPI FAULT PROGRAM... paints programs on a sheet of a size in mm and scans
// it as a PNG. The fault is none, mirrored, dark or smeared.
func scanned(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 4 {
		ts.Fatalf("usage: scanned FILE WIDTHxHEIGHT DPI FAULT PROGRAM...")
	}
	var width, height float64
	_, err := fmt.Sscanf(args[1], "%fx%f", &width, &height)
	ts.Check(err)
	dpi, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	scanner := scene.Scanner{DPI: dpi, Turn: 1, ErrorX: 0.003, Blur: 0.8, Noise: 0.01, Falloff: 0.1, Lid: 0.8, Border: 3, Seed: 1}
	brush := scene.Brush{Width: scene.Cone(0.25, 13, 0)}
	var layers []scene.Layer
	for _, name := range args[4:] {
		layers = append(layers, scene.Layer{Program: ts.ReadFile(name), Brush: brush, Ink: scene.Indigo})
	}
	switch args[3] {
	case "none":
	case "mirrored":
		scanner.Mirrored = true
	case "dark":
		scanner.Paper = scene.Ink{0.06, 0.06, 0.06}
	case "smeared":
		for i := range layers {
			// The first stroke on the paper that is wide; what is missing was never painted.
			layers[i].Mishaps = []scene.Mishap{{Stroke: 20, Smear: 3}, {Stroke: 22, Missing: true}}
		}
	default:
		ts.Fatalf("unknown fault %q", strings.Join(args[3:4], ""))
	}
	sheet, err := scene.Paint(width, height, layers...)
	ts.Check(err)
	data, err := scanner.PNG(sheet)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o644))
}
