package notebook

import (
	"errors"
	"io/fs"
	"net/url"
	"path"
	"regexp"
	"strings"
	"syscall"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

var driveLetter = regexp.MustCompile(`^[A-Za-z]:[\\/]`)

// Target is the path below the studio's root to which a link of a notebook
// leads. If it leads to none, the list says why.
func Target(root fs.FS, from *source.File, link section.Link) (name string, list problem.List) {
	refuse := func(why string) (string, problem.List) {
		list.Errorf(problem.LinkRefused, link.TargetPlace, problem.Advise("keep a copy in the studio and link to that, as in ../brushes/fine-sable.md"),
			"\"%s\" %s: a notebook reads only files of its studio", link.Target, why)
		return "", list
	}
	address, _ := url.Parse(link.Target)
	switch {
	case link.Target == "":
		list.Errorf(problem.LinkRefused, link.TargetPlace, problem.Advise("write the path of a file between the round brackets"), "the link names no file")
		return "", list
	case strings.ContainsAny(link.Target, "\x00\r\n"):
		return refuse("is not a path")
	case strings.HasPrefix(link.Target, `\`) || driveLetter.MatchString(link.Target):
		return refuse("is an absolute path")
	case strings.Contains(link.Target, `\`):
		list.Errorf(problem.LinkRefused, link.TargetPlace, problem.Write(strings.ReplaceAll(link.Target, `\`, "/")),
			"\"%s\" separates folders by \\; a link needs /", link.Target)
		return "", list
	case address != nil && (address.Scheme != "" || address.Host != ""):
		return refuse("is an address, not a file of the studio")
	case path.IsAbs(link.Target):
		return refuse("is an absolute path")
	}
	name = path.Join(path.Dir(from.Name), link.Target)
	if name == ".." || strings.HasPrefix(name, "../") {
		if _, err := fs.Stat(root, StudioFile); err != nil {
			list.Errorf(problem.LinkRefused, link.TargetPlace, problem.Advise("put a file studio.md into the folder that holds both; that makes the folder a studio"),
				"\"%s\" is outside the recipe's folder, and no folder above it holds a studio.md", link.Target)
			return "", list
		}
		return refuse("is outside the studio")
	}
	if !fs.ValidPath(name) {
		return refuse("is not a path")
	}
	return name, nil
}

// CheckFile reports why a file cannot be read; the list is empty if it can. at
// is the place that needs the file.
func CheckFile(root fs.FS, name string, at source.Place) problem.List {
	info, err := fs.Stat(root, name)
	var list problem.List
	switch {
	case err != nil:
		list.Add(unreadable(root, name, at, err))
	case !info.Mode().IsRegular():
		list.Errorf(problem.NotAFile, at, problem.Advise("link to a file"), "%s is not a file", name)
	}
	return list
}

// unreadable is the problem for a file that is missing or cannot be read.
func unreadable(root fs.FS, name string, at source.Place, err error) problem.Problem {
	if link, how := badLink(root, name); link != "" {
		return problem.Problem{Code: problem.LinkRefused, Place: at, Fix: problem.Advise("put the file itself in the studio"),
			Message: link + " is a symbolic link that " + how + ": a notebook reads only files of its studio"}
	}
	if !errors.Is(err, fs.ErrNotExist) {
		reason := err
		var pathError *fs.PathError
		if errors.As(err, &pathError) {
			reason = pathError.Err
		}
		return problem.Problem{Code: problem.Unreadable, Place: at, Fix: problem.Advise("check the file and its permissions"), Message: name + " cannot be read: " + reason.Error()}
	}
	fix := problem.Advise("put the file there, or correct the link")
	switch strings.ToLower(path.Ext(name)) {
	case ".dxf", ".svg":
		fix = problem.Advise("put the drawing there (mahlstick template writes one to draw on), or correct the link")
	}
	var siblings []string
	if entries, err := fs.ReadDir(root, path.Dir(name)); err == nil {
		for _, e := range entries {
			if strings.EqualFold(path.Ext(e.Name()), path.Ext(name)) {
				siblings = append(siblings, e.Name())
			}
		}
	}
	if near, ok := problem.Nearest(path.Base(name), siblings); ok && at.Known() && strings.HasSuffix(at.Text(), path.Base(name)) {
		fix = problem.Write(strings.TrimSuffix(at.Text(), path.Base(name)) + near)
	}
	return problem.Problem{Code: problem.MissingFile, Place: at, Fix: fix, Message: "there is no file " + name + " in the studio"}
}

// badLink finds a symbolic link in a path that cannot be followed inside the
// studio, and what is wrong with it; both are "" if there is none.
func badLink(root fs.FS, name string) (link, how string) {
	links, ok := root.(fs.ReadLinkFS)
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
		switch _, err := fs.Stat(root, part); {
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

// checkRecipe reports why a path given by the user cannot be a recipe. The
// file's content is checked later.
func checkRecipe(root fs.FS, name string, at source.Place) problem.List {
	fix := problem.Advise("write the path of a recipe, such as heron/heron.md")
	if near := nearRecipe(root, name); near != "" {
		fix = problem.Advise("did you mean " + near + "?")
	}
	var list problem.List
	info, err := fs.Stat(root, name)
	switch {
	case err != nil:
		if link, _ := badLink(root, name); link == "" { // reading it reports a bad link
			list.Errorf(problem.MissingFile, at, fix, "the studio has no recipe %s, counted from its folder", name)
		}
	case info.IsDir():
		list.Errorf(problem.NotAFile, at, fix, "%s is a folder, not a recipe", name)
	case strings.EqualFold(path.Base(name), ".md"):
		list.Errorf(problem.WrongName, at, problem.Advise("rename it, for example to "+path.Join(path.Dir(name), "pond.md")), "%s has no name before .md: the job takes its name from there", name)
	case !strings.EqualFold(path.Ext(name), ".md"):
		list.Errorf(problem.NotANotebook, at, fix, "%s is not a recipe: a recipe is a text file whose name ends in .md", name)
	}
	return list
}
