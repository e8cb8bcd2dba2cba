// Package notebooks holds the example studio as it stands in this folder: a
// recipe with its drawings, the guide, and the brushes, inks, machine and paper
// that they share.
package notebooks

import "embed"

// Files are the studio's files by their path below its root. What runs leave
// behind and the program that draws the drawings are not among them.
//
//go:embed studio.md heron/*.md heron/*.dxf guide/*.md guide/*.dxf guide/*.svg swatches/*.md swatches/*.csv inks/*.md brushes/*.md machines/*.md papers/*.md
var Files embed.FS
