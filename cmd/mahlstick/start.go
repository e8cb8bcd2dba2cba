package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"mahlstick/notebooks"
	"mahlstick/recipe/format"
)

func startCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "start DIR",
		Short: "Make a studio with a picture, eighteen lessons and their notebooks",
		Long: `Start writes a studio into a folder: studio.md, the heron in four layers, the
guide, and the notebooks for brushes, inks, paper and machine that they share.
Every recipe in it runs as it is.

Nothing is ever overwritten. If a file is there already with other contents, it
is listed and nothing is written. Keep the logbook under version control, too:
there is no file that excludes it.

` + exitCodes,
		Example: `  mahlstick start studio
  mahlstick start .`,
		Args: takes(1, 1, "one folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			out, errs := cmd.OutOrStdout(), cmd.ErrOrStderr()
			wrote, err := layOut(args[0], notebooks.Files)
			if err != nil {
				fmt.Fprintf(errs, "mahlstick: %v\n", err)
				return exitWith(exitDisk)
			}
			welcome(out, args[0], wrote)
			return nil
		},
	}
}

// inTheWay are files and folders that keep a studio from being laid out.
type inTheWay []string

func (names inTheWay) Error() string {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s in the way; nothing was written:", either(len(names), "this file is", "these files are"))
	for _, n := range names {
		fmt.Fprintf(&b, "\n  %s", n)
	}
	b.WriteString("\nMove or rename what is in the way, or start in another folder.")
	return b.String()
}

func either(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// layOut writes the files that a folder does not have yet; wrote is their names,
// sorted. If a file cannot be written, or is there with other contents, the
// folder stays as it was.
func layOut(dir string, files fs.FS) (wrote []string, err error) {
	undo := &undoing{}
	defer func() {
		if err != nil {
			undo.all()
			wrote = nil
		}
	}()
	if err := undo.mkdirAll(dir); err != nil {
		return nil, fmt.Errorf("the folder %s cannot be made: %w", dir, cause(err))
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("the folder %s cannot be used: %w", dir, cause(err))
	}
	defer root.Close()
	missing, blocked, err := compare(root, files)
	switch {
	case err != nil:
		return nil, err
	case len(blocked) > 0:
		for i, n := range blocked {
			blocked[i] = filepath.Join(dir, filepath.FromSlash(n))
		}
		return nil, inTheWay(blocked)
	}
	for _, name := range missing {
		if err := undo.write(root, dir, name, files); err != nil {
			return nil, fmt.Errorf("%s cannot be written, and nothing else was: %w", filepath.Join(dir, filepath.FromSlash(name)), cause(err))
		}
	}
	return missing, nil
}

// compare lists the files that a folder lacks, and what prevents writing them:
// files with other contents, files in the place of folders, folders in the
// place of files, and links that lead out.
func compare(root *os.Root, files fs.FS) (missing, blocked []string, err error) {
	err = fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || name == "." {
			return err
		}
		info, err := root.Stat(filepath.FromSlash(name))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			if link, lerr := root.Lstat(filepath.FromSlash(name)); lerr == nil && link.Mode()&fs.ModeSymlink != 0 {
				return skip(&blocked, name, d) // a link to nothing
			}
			if !d.IsDir() {
				missing = append(missing, name)
			}
			return nil
		case err != nil, d.IsDir() != info.IsDir(), !d.IsDir() && !info.Mode().IsRegular():
			return skip(&blocked, name, d)
		case d.IsDir():
			return nil
		}
		want, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		if info.Size() == int64(len(want)) {
			if got, err := root.ReadFile(filepath.FromSlash(name)); err == nil && bytes.Equal(got, want) {
				return nil
			}
		}
		return skip(&blocked, name, d)
	})
	return missing, blocked, err
}

// skip notes what is in the way, without looking into it.
func skip(blocked *[]string, name string, d fs.DirEntry) error {
	*blocked = append(*blocked, name)
	if d.IsDir() {
		return fs.SkipDir
	}
	return nil
}

// undoing remembers what was made, so that it can be removed again.
type undoing struct{ made []string }

// all removes what was made, the last first. A folder stays if somebody else put
// something into it meanwhile.
func (u *undoing) all() {
	for _, name := range slices.Backward(u.made) {
		os.Remove(name)
	}
}

func (u *undoing) mkdirAll(dir string) error {
	if info, err := os.Stat(dir); err == nil {
		if !info.IsDir() {
			return errors.New("there is a file of that name")
		}
		return nil
	}
	if parent := filepath.Dir(dir); parent != dir {
		if err := u.mkdirAll(parent); err != nil {
			return err
		}
	}
	err := os.Mkdir(dir, 0o755)
	if err == nil {
		u.made = append(u.made, dir)
	}
	return err
}

// write makes one file with the folders that it needs. It never replaces one.
func (u *undoing) write(root *os.Root, dir, name string, files fs.FS) error {
	data, err := fs.ReadFile(files, name)
	if err != nil {
		return err
	}
	local := filepath.FromSlash(name)
	if sub := filepath.FromSlash(path.Dir(name)); sub != "." {
		if _, err := root.Stat(sub); err != nil {
			if err := u.mkdirAll(filepath.Join(dir, sub)); err != nil {
				return err
			}
		}
	}
	f, err := root.OpenFile(local, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	u.made = append(u.made, filepath.Join(dir, local))
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// cause is the error without the operation and the path, which are in the
// message already.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// welcome prints what was written and what to do next.
func welcome(out io.Writer, dir string, wrote []string) {
	if len(wrote) == 0 {
		fmt.Fprintf(out, "The studio in %s is complete; nothing was written.\n", dir)
	} else {
		fmt.Fprintf(out, "Wrote %s into %s:\n", format.Count(len(wrote), "file"), dir)
		for _, part := range parts {
			if slices.ContainsFunc(wrote, func(name string) bool { return topOf(name) == part.name }) {
				fmt.Fprintf(out, "  %-11s %s\n", part.name, part.what)
			}
		}
	}
	at := func(name string) string { return filepath.Join(dir, filepath.FromSlash(name)) }
	fmt.Fprintf(out, `Next, run the first lesson, then the heron, and open the logbook in a browser:
  mahlstick run %s
  mahlstick run %s
  %s
A recipe is a text file: change it in any editor and run it again.
`, at("guide/01-first-stroke.md"), at("heron/heron.md"), at("logbook/index.html"))
}

// parts are the parts of a studio, the most interesting first.
var parts = []struct{ name, what string }{
	{"studio.md", "the studio's name, house rules and machine"},
	{"guide/", "eighteen lessons, from the first stroke to a painting that corrects its brush, and a page of all words"},
	{"heron/", "a picture in four layers"},
	{"brushes/", "measured brushes"},
	{"swatches/", "the sheet by which a brush was measured, and its readings"},
	{"inks/", "inks"},
	{"machines/", "the machine and its reach"},
	{"papers/", "the paper"},
}

// topOf is the first part of a path, with a slash behind a folder.
func topOf(name string) string {
	for i, c := range name {
		if c == '/' {
			return name[:i+1]
		}
	}
	return name
}
