package notebook

import (
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/problem"
)

// nearRecipe guesses which recipe was meant by a path that is not one: the user
// may have typed a job's name (heron for heron/heron.md), or made a typing
// mistake. It returns "" if no recipe is similar.
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
	found := map[string]string{} // recipes, by what the user may have typed
	for _, dir := range []string{".", path.Dir(name)} {
		entries, _ := fs.ReadDir(studio, dir) // a folder that cannot be read counts as empty
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
