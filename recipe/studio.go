package recipe

import (
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// StudioFile is the notebook that makes a folder a studio.
const StudioFile = "studio.md"

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

// Close lets go of the folder.
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

var driveLetter = regexp.MustCompile(`^[A-Za-z]:[\\/]`)

// target turns a link of a notebook into a path below the studio. It reports
// links that leave it.
func (r *reader) target(from *source.File, link section.Link) (string, bool) {
	refuse := func(why string) (string, bool) {
		r.problems.Errorf(problem.LinkRefused, link.TargetPlace, problem.Advise("keep a copy in the studio and link to that, as in ../brushes/fine-sable.md"),
			"%s %s: a notebook reads only what lies in its studio", quote(link.Target), why)
		return "", false
	}
	address, _ := url.Parse(link.Target)
	switch {
	case link.Target == "":
		r.problems.Errorf(problem.LinkRefused, link.TargetPlace, problem.Advise("write the path of a file between the round brackets"), "the link leads nowhere")
		return "", false
	case strings.ContainsAny(link.Target, "\x00\r\n"):
		return refuse("is no path")
	case strings.HasPrefix(link.Target, `\`) || driveLetter.MatchString(link.Target):
		return refuse("is an absolute path")
	case strings.Contains(link.Target, `\`):
		r.problems.Errorf(problem.LinkRefused, link.TargetPlace, problem.Write(strings.ReplaceAll(link.Target, `\`, "/")),
			"%s: folders are parted by / in a link", quote(link.Target))
		return "", false
	case address != nil && (address.Scheme != "" || address.Host != ""):
		return refuse("is an address, not a file of the studio")
	case path.IsAbs(link.Target):
		return refuse("is an absolute path")
	}
	name := path.Join(path.Dir(from.Name), link.Target)
	if name == ".." || strings.HasPrefix(name, "../") {
		if _, err := fs.Stat(r.root, StudioFile); err != nil {
			r.problems.Errorf(problem.LinkRefused, link.TargetPlace, problem.Advise("put a file studio.md into the folder that holds both; that folder is the studio then"),
				"%q lies outside the folder of the recipe, and no studio.md above says that it belongs to a studio", link.Target)
			return "", false
		}
		return refuse("lies outside the studio")
	}
	if !fs.ValidPath(name) {
		return refuse("is no path")
	}
	return name, true
}

// exists checks that a file can be read and reports it otherwise.
func (r *reader) exists(name string, at source.Place) bool {
	info, err := fs.Stat(r.root, name)
	switch {
	case err == nil && info.Mode().IsRegular():
		return true
	case err == nil:
		r.problems.Errorf(problem.NotAFile, at, problem.Advise("link to a file"), "%s is not a file", name)
	default:
		r.unreadable(name, at, err)
	}
	return false
}

// unreadable reports a file that is missing or cannot be read.
func (r *reader) unreadable(name string, at source.Place, err error) {
	if link, how := r.badLink(name); link != "" {
		r.problems.Errorf(problem.LinkRefused, at, problem.Advise("put the file itself in the studio"),
			"%s is a symbolic link that %s: a notebook reads only what lies in its studio", link, how)
		return
	}
	if !errors.Is(err, fs.ErrNotExist) {
		reason := err
		var pathError *fs.PathError
		if errors.As(err, &pathError) {
			reason = pathError.Err
		}
		r.problems.Errorf(problem.Unreadable, at, problem.Advise("see that the file can be read"), "%s cannot be read: %v", name, reason)
		return
	}
	fix := problem.Advise("put the file there, or correct the link")
	switch strings.ToLower(path.Ext(name)) {
	case ".dxf", ".svg":
		fix = problem.Advise("put the drawing there (mahlstick template writes one to draw on), or correct the link")
	}
	var siblings []string
	if entries, err := fs.ReadDir(r.root, path.Dir(name)); err == nil {
		for _, e := range entries {
			if strings.EqualFold(path.Ext(e.Name()), path.Ext(name)) {
				siblings = append(siblings, e.Name())
			}
		}
	}
	if near, ok := problem.Nearest(path.Base(name), siblings); ok && at.Known() && strings.HasSuffix(at.Text(), path.Base(name)) {
		fix = problem.Write(strings.TrimSuffix(at.Text(), path.Base(name)) + near)
	}
	r.problems.Errorf(problem.MissingFile, at, fix, "there is no file %s in the studio", name)
}

// badLink finds the symbolic link of a path that cannot be followed inside the
// studio, and says why; "" where there is none.
func (r *reader) badLink(name string) (link, how string) {
	links, ok := r.root.(fs.ReadLinkFS)
	if !ok {
		return "", ""
	}
	parts := strings.Split(name, "/")
	for i := range parts {
		part := strings.Join(parts[:i+1], "/")
		info, err := links.Lstat(part)
		if err != nil {
			return "", ""
		}
		if info.Mode()&fs.ModeSymlink == 0 {
			continue
		}
		switch _, err := fs.Stat(r.root, part); {
		case err == nil:
		case errors.Is(err, fs.ErrNotExist):
			return part, "leads nowhere"
		case errors.Is(err, syscall.ELOOP):
			return part, "leads back to itself"
		default:
			return part, "leads out of the studio"
		}
	}
	return "", ""
}
