package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// What happens to a job that is interrupted, at most.
const (
	mostSlip     = 10.0              // mm along each axis
	mostSlipTurn = 3 * math.Pi / 180 // rad
	mostGrowth   = 0.01
	mostNewZero  = 30.0 // mm, where a lost zero is set again
	scattered    = 0.05 // mm, standard uncertainty of readings by eye
	exactly      = 0.001
	within       = 0.05 // mm, of the plan, and the stated doubt
	aDrawing     = 20   // interruptions of one drawing
)

// kind is how a job is interrupted and goes on.
type kind int

const (
	stopped    kind = iota // within a stroke; the sheet stays
	slipped                // between two strokes
	slippedIn              // within a stroke
	slippedTwo             // between strokes, twice
	kinds
)

// interruption is one, and what became of it.
type interruption struct {
	kind         kind
	from, second int // strokes
	share        int // of stroke from that is painted, in thousandths
	lost, exact  bool
	on           [2]bench      // how the sheet lies after each slip
	zero         [2][2]float64 // of the machine, on the bed
	grain        bool          // the growths differ, and four marks are read

	refused          string
	bare, spilt, lap float64 // mm, the worst of all strokes
	doubt            float64 // stated, of the worst place
}

// off is the farthest from the plan.
func (i *interruption) off() float64 { return math.Max(i.bare, i.spilt) }

// uninterrupted is a drawing and its program as painted in one go.
type uninterrupted struct {
	dir     string
	kit     kit
	files   map[string]string
	strokes [][]disc // by their numbers, from 0
	first   int      // of the picture, after the register marks
	text    string   // of the program
}

var strokeName = regexp.MustCompile(`^stroke (\d+)`)

// strokesOf paints a program stroke by stroke; zero is where its zero is on the bed.
func (k kit) strokesOf(file string, on bench, zero [2]float64) (map[int][]disc, error) {
	path, err := interpret(file)
	if err != nil {
		return nil, err
	}
	out := map[int][]disc{}
	for begin := 0; begin < len(path); {
		end := begin + 1
		for end < len(path) && path[end].name == path[begin].name {
			end++
		}
		if m := strokeName.FindStringSubmatch(path[begin].name); m != nil {
			own := append([]station(nil), path[begin:end]...)
			for i := range own {
				own[i].x, own[i].y = own[i].x+zero[0], own[i].y+zero[1]
			}
			n, _ := strconv.Atoi(m[1])
			on.width, on.height, on.deep = sheetWidth, sheetHeight, k.brush.play // touched off at the first speck
			out[n] = k.brush.paint(own, on)
			for i := range out[n] { // on a sheet that has grown, a mark is smaller than it was drawn
				out[n][i].r /= math.Sqrt((1 + on.growX) * (1 + on.growY))
			}
		}
		begin = end
	}
	return out, nil
}

// startJob lays out a job with random strokes, and runs it.
func startJob(binary, dir string, seed uint64) (*uninterrupted, error) {
	r := rand.New(rand.NewPCG(seed, 15))
	k := kits[seed%2]
	k.brush.tipX, k.brush.tipY = 6*r.Float64()-3, 6*r.Float64()-3
	var table strings.Builder
	for p := 0.5; p <= k.brush.full; p += 0.5 {
		fmt.Fprintf(&table, "| %.2f mm | %.3f mm | %.3f mm |\n", p, k.brush.width(p), k.brush.lag(p))
	}
	tips := fmt.Sprintf("| tip offset x | %.3f mm |\n| tip offset y | %.3f mm |\n| play | %g mm |\n", k.brush.tipX, k.brush.tipY, 2*k.brush.play)
	all := gestures(r, k.thin, k.thick, sheetWidth, sheetHeight)
	j := &uninterrupted{dir: dir, kit: k, first: 4*len(wholeMarks) + 1, files: map[string]string{
		"studio.md": "# Workshop\n\nA simulated one.\n", "machines/bench.md": benchNotebook,
		"brushes/brush.md": fmt.Sprintf(brushNotebook, k.brush.width(k.brush.full), k.brush.full, k.brush.touch) + tips + "\n## Swatch: brush\n\n| press | width | lag |\n|---|---|---|\n" + table.String(),
		"job/shapes.svg":   drawing(all, sheetWidth, sheetHeight), "job/job.md": interruptedRecipe("grain"),
	}}
	if err := layOut(dir, j.files); err != nil {
		return nil, err
	}
	if err := run(binary, dir, "job/job.md"); err != nil {
		return nil, err
	}
	text, err := os.ReadFile(filepath.Join(dir, program))
	if err != nil {
		return nil, err
	}
	j.text = string(text)
	strokes, err := k.strokesOf(filepath.Join(dir, program), bench{}, [2]float64{})
	for n := 1; n <= len(strokes); n++ {
		j.strokes = append(j.strokes, strokes[n])
	}
	return j, err
}

// draw makes up an interruption.
func (j *uninterrupted) draw(r *rand.Rand) *interruption {
	of := func(most float64) float64 { return most * (2*r.Float64() - 1) }
	i := &interruption{kind: kind(r.IntN(int(kinds))), exact: r.IntN(2) == 0, grain: r.IntN(2) == 0, lost: r.IntN(4) == 0}
	i.from = j.first + r.IntN(len(j.strokes)-j.first+1)
	if i.kind == slippedTwo && i.from == len(j.strokes) {
		i.kind = slipped
	}
	if i.kind == slippedTwo {
		i.second = i.from + 1 + r.IntN(len(j.strokes)-i.from)
	}
	if i.kind == stopped || i.kind == slippedIn {
		i.share = 1 + r.IntN(999)
	}
	for n := range i.on {
		b := bench{turn: of(mostSlipTurn), shiftX: of(mostSlip), shiftY: of(mostSlip), growX: of(mostGrowth), growY: of(mostGrowth)}
		if !i.grain {
			b.growY = b.growX
		}
		if i.lost {
			i.zero[n] = [2]float64{of(mostNewZero), of(mostNewZero)}
		}
		i.on[n] = b
	}
	return i
}

// rows are the rows of Seating after a slip.
func (j *uninterrupted) rows(i *interruption, n, from int, r *rand.Rand) string {
	marks, u := wholeMarks, scattered
	if !i.grain {
		marks = marks[:2]
	}
	if i.exact {
		u = exactly
	}
	zero := "kept"
	if i.lost {
		zero = "lost"
	}
	var b strings.Builder
	first := fmt.Sprintf("strokes | %d", from)
	for _, m := range marks {
		x, y := i.on[n].onBed(m.x, m.y)
		x, y = x-j.kit.brush.tipX-i.zero[n][0]+u*r.NormFloat64(), y-j.kit.brush.tipY-i.zero[n][1]+u*r.NormFloat64()
		fmt.Fprintf(&b, "| %s | %s | %.3f ± %.3f mm | %.3f ± %.3f mm | %s |\n", first, m.name, x, u, y, u, zero)
		first = " |"
	}
	return b.String()
}

// interrupt interrupts the job in a folder, goes on as the program says, and compares
// each stroke with what one program would have painted.
func (j *uninterrupted) interrupt(binary, dir string, i *interruption, r *rand.Rand) error {
	if i.kind == stopped {
		if said, err := command(binary, j.dir, "resume", "job/job.md", "--layer", "strokes", "--from", fmt.Sprint(i.from), "--at", i.percent()+"%"); err != nil {
			return fmt.Errorf("%w\n%s", err, said)
		}
		return j.compare(i, []piece{{1, i.from, j.file(program), bench{}, [2]float64{}}, {i.from, len(j.strokes), j.file(i.resumedFile()), bench{}, [2]float64{}}})
	}
	defer os.RemoveAll(dir)
	files := map[string]string{}
	for name, text := range j.files {
		files[name] = text
	}
	growth := "even"
	if i.grain {
		growth = "grain"
	}
	seating := "\n## Seating\n\n| layer | from | mark | x | y | zero |\n|---|---|---|---|---|---|\n" + j.rows(i, 0, i.from, r)
	if i.kind == slippedTwo {
		seating += j.rows(i, 1, i.second, r)
	}
	files["job/job.md"] = interruptedRecipe(growth) + seating
	if err := layOut(dir, files); err != nil {
		return err
	}
	c := exec.Command(binary, "run", "job/job.md")
	c.Dir = dir
	if said, err := c.CombinedOutput(); err != nil {
		if i.refused = string(said); !strings.Contains(i.refused, "[out-of-reach]") || !j.outOfReach(i) {
			return fmt.Errorf("%v: refused, although the machine reaches all of it:\n%s", i, said)
		}
		return nil
	}
	if err := i.readDoubt(filepath.Join(dir, "logbook/job/index.html")); err != nil {
		return err
	}
	at := func(name string) string { return filepath.Join(dir, name) }
	rest := "logbook/job/1-strokes-from-" + strconv.Itoa(i.from)
	parts := []piece{{1, i.from - 1, at(program), bench{}, [2]float64{}}}
	switch i.kind {
	case slipped:
		parts = append(parts, piece{i.from, len(j.strokes), at(rest + ".nc"), i.on[0], i.zero[0]})
	case slippedTwo:
		parts = append(parts, piece{i.from, i.second - 1, at(rest + "-to-" + strconv.Itoa(i.second-1) + ".nc"), i.on[0], i.zero[0]},
			piece{i.second, len(j.strokes), at("logbook/job/1-strokes-from-" + strconv.Itoa(i.second) + ".nc"), i.on[1], i.zero[1]})
	case slippedIn:
		if said, err := command(binary, dir, "resume", "job/job.md", "--layer", "strokes", "--from", fmt.Sprint(i.from), "--at", i.percent()+"%"); err != nil {
			return fmt.Errorf("%w\n%s", err, said)
		}
		// The stroke that stopped was begun by the program that ran then.
		parts = append(parts, piece{i.from, i.from, j.file(program), bench{}, [2]float64{}}, piece{i.from, len(j.strokes), at(i.resumedFile()), i.on[0], i.zero[0]})
	}
	return j.compare(i, parts)
}

func (j *uninterrupted) file(name string) string { return filepath.Join(j.dir, name) }

// percent is the share as the command takes it.
func (i *interruption) percent() string {
	return strconv.FormatFloat(float64(i.share)/10, 'f', -1, 64)
}

func (i *interruption) resumedFile() string {
	return fmt.Sprintf("logbook/job/1-strokes-from-%d-at-%s.nc", i.from, i.percent())
}

var worstPlace = regexp.MustCompile(`worst place of the picture</td><td class="n">[^<]*</td><td class="n">[^<]*</td><td class="n">([0-9.]+)`)

// readDoubt reads from the page how far the worst place may be off.
func (i *interruption) readDoubt(page string) error {
	text, err := os.ReadFile(page)
	if err != nil {
		return err
	}
	found := worstPlace.FindAllStringSubmatch(string(text), -1)
	if len(found) == 0 {
		return fmt.Errorf("%s does not state the doubt of the picture", page)
	}
	for _, m := range found {
		i.doubt = math.Max(i.doubt, value(m[1]))
	}
	return nil
}

// outOfReach reports whether the axis would have to leave the reach for what is left.
func (j *uninterrupted) outOfReach(i *interruption) bool {
	if i.lost {
		return true // where the reach is then, is not known exactly
	}
	const almost = 0.2 // mm, by which readings are off
	path, _ := interpret(j.file(program))
	for _, s := range path {
		for _, on := range i.on {
			x, y := on.onBed(s.x+j.kit.brush.tipX, s.y+j.kit.brush.tipY)
			x, y = x-j.kit.brush.tipX, y-j.kit.brush.tipY
			if s.z < 2 && (x < almost || y < almost || x > 300-almost || y > 400-almost) {
				return true
			}
		}
	}
	return false
}

// interruptions interrupts so many jobs at random, and prints how well they go on;
// false if one does not.
func interruptions(binary, work string, count, begin, workers int, verbose bool) bool {
	var done []*interruption
	var mutex sync.Mutex
	var failed error
	drawings := make(chan uint64)
	var pool sync.WaitGroup
	for range max(1, workers) {
		pool.Add(1)
		go func() {
			defer pool.Done()
			for seed := range drawings {
				own, err := interruptDrawing(binary, filepath.Join(work, fmt.Sprintf("interrupted-%d", seed)), seed, min(aDrawing, count))
				mutex.Lock()
				done = append(done, own...)
				if err != nil && failed == nil {
					failed = err
				}
				mutex.Unlock()
			}
		}()
	}
	for n := range (count + aDrawing - 1) / aDrawing {
		drawings <- uint64(begin + n)
	}
	close(drawings)
	pool.Wait()
	if failed != nil {
		fmt.Fprintln(os.Stderr, failed)
		return false
	}
	return reportInterruptions(done, verbose)
}

func interruptDrawing(binary, dir string, seed uint64, count int) (done []*interruption, err error) {
	defer os.RemoveAll(dir)
	j, err := startJob(binary, filepath.Join(dir, "whole"), seed)
	if err != nil {
		return nil, err
	}
	r := rand.New(rand.NewPCG(seed, 1000))
	for n := range count {
		i := j.draw(r)
		if err := j.interrupt(binary, filepath.Join(dir, fmt.Sprint(n)), i, r); err != nil {
			return done, fmt.Errorf("drawing %d, interruption %d: %w", seed, n, err)
		}
		done = append(done, i)
	}
	return done, nil
}

// reportInterruptions prints the worst of each kind; false where a stroke is off by
// more than is allowed. One in twenty may be beyond twice the stated doubt, none
// beyond four times.
func reportInterruptions(done []*interruption, verbose bool) bool {
	good, beyond, scatter, refused := true, 0, 0, 0
	for at, name := range []string{"stopped within a stroke, on the sheet as it lay", "slipped between strokes", "slipped within a stroke", "slipped twice"} {
		n, exact, by, lap := 0, 0.0, 0.0, 0.0
		for _, i := range done {
			if int(i.kind) != at {
				continue
			}
			if i.refused != "" {
				refused++
				continue
			}
			n++
			lap = math.Max(lap, i.lap)
			const rounded = 0.005 // of the doubt on the page
			limit := within
			if i.exact || i.kind == stopped {
				exact = math.Max(exact, i.off())
			} else {
				scatter++
				by = math.Max(by, i.off())
				if i.off() > within+2*(i.doubt+rounded) {
					beyond++
				}
				limit += 4 * (i.doubt + rounded)
			}
			good = good && i.off() <= limit && i.lap <= limit
			if verbose {
				fmt.Printf("  %s: %.3f mm bare, %.3f mm outside, doubt %.2f mm, %.3f mm before the lap\n", name, i.bare, i.spilt, i.doubt, i.lap)
			}
		}
		fmt.Printf("%s: %d; at most %.3f mm from the plan, with marks read by eye %.3f mm; %.3f mm before a lap of one width\n", name, n, exact, by, lap)
	}
	fmt.Printf("%d of %d with marks read by eye are farther than %.2f mm and twice the stated doubt; %d of %d refused, out of reach\n", beyond, scatter, within, refused, len(done))
	return good && float64(beyond) <= math.Max(1, 0.05*float64(scatter))
}

func interruptedRecipe(growth string) string {
	text := strings.NewReplacer("%s", "| growth | "+growth+" |\n| misfit | 0.5 mm |\n", "| ground", "| strokes").Replace(wholeRecipe[:strings.Index(wholeRecipe, "## Layers")])
	return strings.ReplaceAll(text, "9 mm | ground", "9 mm | strokes") + `## Layers

| layer   | drawing              | brush                         | ink   | feed       |
|---------|----------------------|-------------------------------|-------|------------|
| strokes | [shapes](shapes.svg) | [brush](../brushes/brush.md)  | black | 750 mm/min |
`
}
