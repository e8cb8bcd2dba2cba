package proof

// Modal groups of table 4. G words of group 0 apply to their own line only.
const (
	once       = 0
	motions    = 1
	planes     = 2
	distances  = 3
	feedModes  = 5
	units      = 6
	radii      = 7
	lengths    = 8
	retracts   = 10
	systems    = 12
	pathModes  = 13
	gGroups    = 14
	stops      = 4
	toolChange = 6
	spindles   = 7
	coolants   = 8
	overrides  = 9
	mGroups    = 10
)

// gGroup is the modal group of a G word (in tenths: 382 is G38.2), -1 if there
// is no such word.
func gGroup(tenths int) int {
	switch tenths {
	case 0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890:
		return motions
	case 170, 180, 190:
		return planes
	case 900, 910:
		return distances
	case 930, 940:
		return feedModes
	case 200, 210:
		return units
	case 400, 410, 420:
		return radii
	case 430, 490:
		return lengths
	case 980, 990:
		return retracts
	case 540, 550, 560, 570, 580, 590, 591, 592, 593:
		return systems
	case 610, 611, 640:
		return pathModes
	case 40, 100, 280, 300, 530, 920, 921, 922, 923:
		return once
	}
	return -1
}

// mGroup is the modal group of an M word, -1 if there is no such word.
func mGroup(number int) int {
	switch number {
	case 0, 1, 2, 30, 60:
		return stops
	case 6:
		return toolChange
	case 3, 4, 5:
		return spindles
	case 7, 8, 9:
		return coolants
	case 48, 49:
		return overrides
	}
	return -1
}

// machineState returns why the effect of a G word (in tenths) depends on what
// is stored in the machine, and what to write instead; "" if it does not.
func machineState(tenths int) (why, fix string) {
	switch tenths {
	case 100:
		return "G10 moves the zero of a coordinate system stored in the machine", "set the zero at the machine, not in the program"
	case 280, 300:
		return "where " + gName(tenths) + " goes is stored in the machine", "write the place with G0 X Y Z"
	case 530:
		return "G53 counts from the machine's own zero, which the program does not know", "write the place in the coordinates of the sheet"
	case 550, 560, 570, 580, 590, 591, 592, 593:
		return "where the zero of " + gName(tenths) + " lies is stored in the machine", "write G54, and set that zero at the machine"
	case 382:
		return "G38.2 stops where a probe touches", "take it away: a program for a brush does not probe"
	case 410, 420:
		return gName(tenths) + " shifts the path by a radius stored in the machine", "write G40, and the path itself"
	case 430:
		return "G43 shifts Z by a length stored in the machine", "write G49, and touch off each brush"
	case 810, 820, 830, 840, 850, 860, 870, 880, 890:
		return gName(tenths) + " is a drilling cycle, which is not followed here", "write its moves with G0 and G1"
	}
	return "", ""
}

// gName is a G word given in tenths as text.
func gName(tenths int) string { return "G" + plain(float64(tenths)/10) }

// gWord reads a G word into its modal group.
func (p *parser) gWord(start, end int, value float64) bool {
	b := &p.block
	tenths := -1
	if value >= 0 && value < 100 {
		tenths = int(float64(value*10) + 0.5)
		if off := float64(value*10) - float64(tenths); off > 0.001 || off < -0.001 {
			tenths = -1
		}
	}
	group := gGroup(tenths)
	if group < 0 {
		p.fault(start, end-start, "unknown-word", "take it away, or write the right G word", "there is no G%s in this language", plain(value))
		return false
	}
	if why, fix := machineState(tenths); why != "" {
		p.fault(start, end-start, "kept-in-machine", fix, "%s", why)
		return false
	}
	if b.g[group] != 0 {
		p.fault(start, end-start, "twice", "keep one of the two",
			"%s and %s are of one group and cannot be on one line", gName(int(b.g[group])-1), gName(tenths))
		return false
	}
	b.g[group], b.gAt[group] = int16(tenths+1), int16(start)
	return true
}

// mWord reads an M word into its modal group.
func (p *parser) mWord(start, end int, value float64) bool {
	b := &p.block
	number := -1
	if value >= 0 && value < 100 {
		number = int(value + 0.5)
		if off := value - float64(number); off > 0.0001 || off < -0.0001 {
			number = -1
		}
	}
	group := mGroup(number)
	if group < 0 {
		p.fault(start, end-start, "unknown-word", "take it away, or write the right M word", "there is no M%s in this language", plain(value))
		return false
	}
	if b.m[group] != 0 {
		p.fault(start, end-start, "twice", "keep one of the two",
			"M%d and M%d are of one group and cannot be on one line", b.m[group]-1, number)
		return false
	}
	if b.ms++; b.ms > 4 {
		p.fault(start, end-start, "twice", "put some of them on the next line", "there are more than four M words on one line")
		return false
	}
	b.m[group], b.mAt[group] = int16(number+1), int16(start)
	return true
}
