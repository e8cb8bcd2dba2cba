package notebook

import (
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/problem"
)

// nearRecipe is the notebook of a studio that somebody probably meant who asked
// for a path that is no recipe, "" where none is near: by the name of a job, or
// by a path with a typing mistake. A folder's own notebook has its name.
func nearRecipe(studio fs.FS, name string) string {
	isFile := func(name string) bool {
		info, err := fs.Stat(studio, name)
		return err == nil && info.Mode().IsRegular()
	}
	base := strings.TrimSuffix(path.Base(name), ".md")
	for _, near := range []string{name + ".md", path.Join(path.Dir(name), base, base+".md")} {
		if isFile(near) {
			return near
		}
	}
	found := map[string]string{} // by what somebody may have typed
	for _, dir := range []string{".", path.Dir(name)} {
		entries, _ := fs.ReadDir(studio, dir) // a folder that cannot be read has none
		for _, e := range entries {
			near := path.Join(dir, e.Name())
			job := strings.TrimSuffix(near, ".md")
			if e.IsDir() {
				near = path.Join(near, e.Name()+".md")
			}
			if strings.EqualFold(path.Ext(near), ".md") && path.Base(near) != StudioFile && isFile(near) {
				found[near], found[job] = near, near
			}
		}
	}
	near, _ := problem.Nearest(name, slices.Collect(maps.Keys(found)))
	return found[near]
}
