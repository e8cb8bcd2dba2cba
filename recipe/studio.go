package recipe

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"mahlstick/recipe/notebook"
)

// StudioFile is the notebook that makes a folder a studio.
const StudioFile = notebook.StudioFile

// Studio is a folder of notebooks. Nothing outside it is read.
type Studio struct {
	// Dir is the studio's folder on the disk, absolute.
	Dir string
	// FS reads below it. Symbolic links that lead out of it are refused.
	FS   fs.FS
	root *os.Root
}

// Open finds the studio of a recipe: the nearest folder upwards that holds a
// studio.md, or else the recipe's own folder. name is the recipe's path below
// it, with forward slashes. The caller closes the studio.
func Open(recipe string) (studio *Studio, name string, err error) {
	absolute, err := filepath.Abs(recipe)
	if err != nil {
		return nil, "", fmt.Errorf("opening the recipe: %w", err)
	}
	dir := filepath.Dir(absolute)
	for up := dir; ; up = filepath.Dir(up) {
		if info, err := os.Stat(filepath.Join(up, StudioFile)); err == nil && info.Mode().IsRegular() {
			dir = up
			break
		}
		if filepath.Dir(up) == up {
			break
		}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, "", fmt.Errorf("opening the studio: %w", err)
	}
	below, err := filepath.Rel(dir, absolute)
	if err != nil {
		_ = root.Close()
		return nil, "", fmt.Errorf("opening the studio: %w", err)
	}
	return &Studio{Dir: dir, FS: root.FS(), root: root}, filepath.ToSlash(below), nil
}

// Close closes the studio's folder.
func (s *Studio) Close() error { return s.root.Close() }

// JobName is the name of the job of a recipe: its path below the studio
// without ".md"; "heron/heron" is "heron".
func JobName(recipe string) string {
	name := strings.TrimSuffix(path.Clean(recipe), ".md")
	if dir, base := path.Split(name); path.Base(dir) == base {
		return path.Clean(dir)
	}
	return name
}
