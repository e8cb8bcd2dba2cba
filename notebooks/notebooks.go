// Package notebooks holds the example studio: its recipe, its drawings, its
// brushes, machine and paper, as they stand in this folder.
package notebooks

import "embed"

// Files are the studio's files by their path below its root. What runs leave
// behind and the program that draws the drawings are not among them.
//
//go:embed studio.md heron/*.md heron/*.dxf brushes/*.md machines/*.md papers/*.md
var Files embed.FS
