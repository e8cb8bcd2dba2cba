package main

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// realDrawings paints the files, as many at a time as there are workers, and
// prints the medians and the worst ten; false if the medians are off, or more than
// one layer in fifty without naming the cause.
func realDrawings(binary, work string, files []string, workers int, verbose bool) bool {
	results := make([][]shown, len(files))
	var group sync.WaitGroup
	next := make(chan int)
	for range workers {
		group.Go(func() {
			for i := range next {
				dir := filepath.Join(work, fmt.Sprintf("%d-%s", i, filepath.Base(files[i])))
				found, err := paintReal(binary, dir, files[i])
				if err != nil {
					found = []shown{{file: files[i], warned: "NOT COMPARED: " + err.Error()}}
				}
				results[i] = found
				if verbose {
					for _, s := range found {
						fmt.Fprintf(os.Stderr, "%s %s%s: %.1f mm², covered %.4f, outside %.4f, %v %s\n", filepath.Base(s.file), s.on(), s.ink, s.area, s.covered, s.spilt, s.good() || s.explained, s.warned)
					}
				}
			}
		})
	}
	for i := range files {
		next <- i
	}
	close(next)
	group.Wait()
	var all []shown
	for _, r := range results {
		all = append(all, r...)
	}
	return report(len(files), all)
}

func report(files int, all []shown) bool {
	var covered, spilt []float64
	var silentCovered, silentSpilt []float64 // without what differs and says why
	wrong, explained := 0, 0
	why := map[string]int{}
	for _, s := range all {
		if strings.HasPrefix(s.warned, "NOT COMPARED") {
			fmt.Printf("  %s: %s\n", s.file, s.warned)
			wrong++
			continue
		}
		covered, spilt = append(covered, s.covered), append(spilt, s.spilt)
		if !s.good() && s.explained {
			explained++
			why[strings.Join(s.causes, " and ")]++
			continue
		}
		silentCovered, silentSpilt = append(silentCovered, s.covered), append(silentSpilt, s.spilt)
		if !s.good() {
			wrong++
		}
	}
	if len(covered) == 0 {
		fmt.Println("no layer was compared")
		return false
	}
	fmt.Printf("%d drawings, %d layers: covered %.4f, outside %.4f (medians); %d differ and say why, %d do not\n", files, len(covered), median(covered), median(spilt), explained, wrong)
	for _, k := range slices.Sorted(maps.Keys(why)) {
		fmt.Printf("  %d by %s\n", why[k], k)
	}
	slices.SortStableFunc(all, func(a, b shown) int {
		return cmp.Compare(math.Max(1-b.covered, b.spilt), math.Max(1-a.covered, a.spilt))
	})
	for _, silent := range []bool{true, false} {
		n := 0
		for _, s := range all {
			if !s.good() && !s.explained == silent && n < 10 && !strings.HasPrefix(s.warned, "NOT COMPARED") {
				fmt.Printf("  %s %s%s: %.0f mm², covered %.4f, outside %.4f. %s\n", filepath.Base(s.file), s.on(), s.ink, s.area, s.covered, s.spilt, s.warned)
				n++
			}
		}
	}
	if len(silentCovered) == 0 {
		return true
	}
	return wrong <= max(1, len(covered)/50) && median(silentCovered) >= coverWant && median(silentSpilt) <= spillMost
}
