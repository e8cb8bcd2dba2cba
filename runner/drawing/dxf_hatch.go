package drawing

func (d *dxf) hatch(what string) { d.passOver(what) }
