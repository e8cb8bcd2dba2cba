// Fused finds multiplications that the compiler melts into an addition on
// processors that can. A melted product is not rounded, so its sum differs
// in the last bit from that of other processors, and the bytes of an output
// may differ with it. Products with a power of two are exact and may melt.
//
//	go run ./.ci/fused PACKAGE...
//
// It reads the compiler's listing for arm64 and ends with 1 if it finds any.
// The cure is to convert: float64(a*b) + c.
package main

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

var (
	place = regexp.MustCompile(`\(([^()\s]+\.go:\d+)\)\s+(\S+)\s*(.*)$`)
	// FMADDD m, a, n, d is d = a + n*m, and so on for its kin.
	melted   = regexp.MustCompile(`^FN?M(ADD|SUB)[DS]$`)
	pooled   = regexp.MustCompile(`^\$f64\.([0-9a-f]{16})\(SB\)$`)
	constant = regexp.MustCompile(`^\$\(?([-+0-9.eE]+)\)?$`)
)

func main() {
	found := 0
	for _, pkg := range os.Args[1:] {
		cmd := exec.Command("go", "build", "-gcflags=-S", pkg)
		cmd.Env = append(os.Environ(), "GOARCH=arm64", "GOOS=linux", "CGO_ENABLED=0")
		listing, err := cmd.CombinedOutput()
		if err != nil {
			fmt.Fprintf(os.Stderr, "%s: %v\n%s\n", pkg, err, listing[max(0, len(listing)-2000):])
			os.Exit(2)
		}
		for _, at := range read(listing) {
			fmt.Println(at)
			found++
		}
	}
	if found > 0 {
		fmt.Printf("%d products melt into an addition; write float64(a*b) + c\n", found)
		os.Exit(1)
	}
	fmt.Printf("%d packages: no product melts into an addition\n", len(os.Args)-1)
}

// powerOfTwo says whether an operand is a constant and a power of two.
func powerOfTwo(operand string) bool {
	var v float64
	if m := constant.FindStringSubmatch(operand); m != nil {
		v, _ = strconv.ParseFloat(m[1], 64)
	} else if m := pooled.FindStringSubmatch(operand); m != nil {
		bits, _ := strconv.ParseUint(m[1], 16, 64)
		v = math.Float64frombits(bits)
	}
	frac, _ := math.Frexp(v)
	return math.Abs(frac) == 0.5
}

// read gives the places of products that melt, each once.
func read(listing []byte) []string {
	var out []string
	exact := map[string]bool{} // registers that hold a power of two
	here, _ := filepath.Abs(".")
	scan := bufio.NewScanner(bytes.NewReader(listing))
	scan.Buffer(nil, 1<<20)
	for scan.Scan() {
		line := scan.Text()
		if strings.Contains(line, " STEXT ") {
			clear(exact)
		}
		m := place.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		args := strings.Split(m[3], ",")
		for i := range args {
			args[i] = strings.TrimSpace(args[i])
		}
		target := args[len(args)-1]
		switch {
		case melted.MatchString(m[2]) && len(args) == 4:
			if !exact[args[0]] && !exact[args[2]] {
				at := strings.TrimPrefix(m[1], here+string(filepath.Separator))
				if !slices.Contains(out, at) {
					out = append(out, at)
				}
			}
			delete(exact, target)
		case m[2] == "FMOVD" && len(args) == 2:
			exact[target] = powerOfTwo(args[0])
		case strings.HasPrefix(target, "F"):
			delete(exact, target)
		}
	}
	return out
}
