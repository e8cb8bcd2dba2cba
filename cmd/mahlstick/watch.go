package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/fsnotify/fsnotify"
	"github.com/spf13/cobra"

	"mahlstick/recipe"
	"mahlstick/recipe/format"
	"mahlstick/runner"
)

func watchCommand() *cobra.Command {
	flags := jobFlags{problems: "text"}
	var wait time.Duration
	cmd := &cobra.Command{
		Use:   "watch RECIPE",
		Short: "Run again on each save of the recipe, a linked notebook or a drawing",
		Long: `Watch runs the recipe as run does. Whenever the recipe, a notebook or a drawing
that it links is saved, it runs the recipe again; many saves at once make one
run. If there is an error, watch lists the problems, keeps the last result in the
logbook, and goes on. Reload the page in the browser to see what changed.

Ctrl-C ends it, with exit code 0.

` + exitCodes,
		Example: `  mahlstick watch heron/heron.md`,
		Args:    takes(1, 1, "one recipe"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := flags.check(); err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			context.AfterFunc(ctx, stop) // a second interrupt ends it at once
			w := &watch{
				out: cmd.OutOrStdout(), errs: cmd.ErrOrStderr(), recipe: args[0], flags: flags, write: intoLogbook(wait),
				quiet: 100 * time.Millisecond, longest: 2 * time.Second,
			}
			return exitWith(w.run(ctx))
		},
	}
	cmd.Flags().IntVar(&flags.workers, "workers", runtime.NumCPU(), "number of processor cores to use; the result does not depend on it")
	addWait(cmd, &wait)
	return cmd
}

// watch is a recipe that is run again and again.
type watch struct {
	out, errs io.Writer
	recipe    string
	flags     jobFlags
	write     writeResult
	// A save may come as many events. A run begins when nothing has happened
	// for so long, and at the latest so long after the first of them.
	quiet, longest time.Duration

	seen    *seen
	folders []string // those that are watched
}

// run runs the recipe and runs it again after each change, until ctx ends.
func (w *watch) run(ctx context.Context) int {
	watcher, err := fsnotify.NewWatcher()
	if err != nil {
		fmt.Fprintf(w.errs, "mahlstick: the folders cannot be watched: %v\n", err)
		return exitDisk
	}
	defer watcher.Close()
	for {
		begin := time.Now()
		if code, ok := w.once(ctx); !ok {
			return code
		}
		took := time.Since(begin)
		if err := w.follow(watcher); err != nil {
			fmt.Fprintf(w.errs, "mahlstick: the folders cannot be watched: %v\n", err)
			return exitDisk
		}
		fmt.Fprintf(w.out, "Took %.2f s. Watching %s; Ctrl-C ends it.\n", took.Seconds(), format.Count(w.seen.files(), "file"))
		changed := w.wait(ctx, watcher.Events, watcher.Errors)
		if changed == nil {
			return exitDone
		}
		const most = 3
		text := strings.Join(changed[:min(len(changed), most)], ", ")
		if more := len(changed) - most; more > 0 {
			text += fmt.Sprintf(" and %d more", more)
		}
		fmt.Fprintf(w.out, "\n%s changed.\n", text)
	}
}

// once runs the recipe. It answers false where the watch ends with that code.
func (w *watch) once(ctx context.Context) (code int, ok bool) {
	studio, name, err := recipe.Open(w.recipe)
	if err != nil {
		fmt.Fprintf(w.errs, "mahlstick: %v\n", err)
		if w.seen == nil {
			return exitDisk, false // there is nothing to watch
		}
		w.seen.renew()
		return exitDone, true
	}
	defer studio.Close()
	now := see(studio)
	show := progressOn(w.errs)
	came := make(chan evaluated, 1)
	go func() {
		var e evaluated
		e.result, e.problems, e.err = runner.RunIn(&recipe.Studio{Dir: studio.Dir, FS: now}, name, runner.Options{Workers: w.flags.workers, Progress: show.line})
		came <- e
	}()
	select {
	case <-ctx.Done():
		if show.on {
			fmt.Fprintln(w.errs)
		}
		return exitDone, false // nothing is being written while it is worked out
	case e := <-came:
		show.clear()
		w.seen = now
		finish(w.out, w.errs, w.recipe, w.flags, e, w.write) // the watch itself goes on
	}
	return exitDone, true
}

// follow watches the folders of all files that were looked for. Editors put a
// new file in the place of the old one, so that watching the file itself
// would miss the second save.
func (w *watch) follow(watcher *fsnotify.Watcher) error {
	folders := w.seen.folders()
	for _, dir := range w.folders {
		if !slices.Contains(folders, dir) {
			_ = watcher.Remove(dir) // it may be gone
		}
	}
	var failed error
	w.folders = w.folders[:0]
	for _, dir := range folders {
		if err := watcher.Add(dir); err != nil {
			failed = err
			continue
		}
		w.folders = append(w.folders, dir)
	}
	if len(w.folders) == 0 {
		return failed
	}
	return nil
}

// wait waits until something changed that the job was made from, and until
// that is over. It answers nil where ctx ends first.
func (w *watch) wait(ctx context.Context, events <-chan fsnotify.Event, errs <-chan error) []string {
	var over <-chan time.Time
	var latest time.Time
	if len(w.seen.changed()) > 0 {
		// It was saved after it was read and before its folder was watched.
		over, latest = time.After(w.quiet), time.Now().Add(w.longest)
	}
	for {
		select {
		case <-ctx.Done():
			return nil
		case e, ok := <-events:
			if !ok {
				return nil
			}
			if !w.seen.concerns(e) {
				continue
			}
			now := time.Now()
			if over == nil {
				latest = now.Add(w.longest)
			}
			over = time.After(min(w.quiet, latest.Sub(now)))
		case err := <-errs:
			// Events were lost, or a folder is: look at everything again.
			fmt.Fprintf(w.errs, "mahlstick: watching: %v\n", err)
			return []string{filepath.Base(w.recipe)}
		case <-over:
			// Events that tell of what was read already change nothing.
			if changed := w.seen.changed(); len(changed) > 0 {
				return changed
			}
			over = nil
		}
	}
}
