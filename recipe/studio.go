package recipe

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
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
	if errors.Is(err, fs.ErrNotExist) {
		return nil, "", noFolder(recipe, dir)
	}
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

// noFolder is the error for a recipe in a folder that does not exist.
func noFolder(recipe, dir string) error {
	parent, missing := filepath.Dir(dir), filepath.Base(dir)
	for filepath.Dir(parent) != parent {
		if _, err := os.Stat(parent); err == nil {
			break
		}
		parent, missing = filepath.Dir(parent), filepath.Base(parent)
	}
	near := "paths are counted from the folder that you are in"
	var folders []string
	if entries, err := os.ReadDir(parent); err == nil {
		for _, e := range entries {
			if e.IsDir() {
				folders = append(folders, e.Name())
			}
		}
	}
	if name, ok := problem.Nearest(missing, folders); ok {
		near = "did you mean " + name + "? " + strings.ToUpper(near[:1]) + near[1:]
	}
	return fmt.Errorf("there is no recipe %s, because there is no folder %s in %s: %s", recipe, missing, parent, near)
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
