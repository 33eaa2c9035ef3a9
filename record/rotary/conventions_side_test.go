package rotary

// sideView draws a two-rotor engine cut along its shaft, the front at the left.
type sideView struct {
	*canvas
	station0 float64 // where the middle of rotor 1 is
	axis     float64 // where the shaft's axis is
	scale    float64 // per mm
}

// x is where an axial place in mm is, rearward positive from rotor 1.
func (v sideView) x(station float64) float64 { return v.station0 + v.scale*station }

// y is where a height above the shaft's axis in mm is.
func (v sideView) y(height float64) float64 { return v.axis - v.scale*height }

func (v sideView) at(station, height float64) spot { return spot{v.x(station), v.y(height)} }

// block is a rectangle between two axial places and two heights.
func (v sideView) block(class string, from, to, low, high float64) {
	v.box(class, v.x(from), v.y(high), v.x(to), v.y(low))
}

// The axial sizes of the engine drawn, in mm: housings 78 wide, rotors 128
// apart, counterweights in the planes -118 and 250.
const (
	halfWidth  = 39.0
	pitch      = 128.0
	outside    = 142.0 // half the height of the stack
	mainRadius = 21.0
	lobeRadius = 37.0
	eccentric  = 14.0
	frontPlane = -118.0
	rearPlane  = 250.0
)

func (v sideView) draw() {
	v.stack()
	v.shaft()
	v.names()
	v.faces()
	v.stations()
	v.text("start", spot{20, v.y(0) - 250}, large, "FRONT: accessory or pulley end")
	v.text("end", spot{620, v.y(0) - 250}, large, "REAR: flywheel or output end")
}

// stack draws plates, housings, rotors and a tension bolt.
func (v sideView) stack() {
	for plate := range 3 {
		rear := -halfWidth + float64(plate)*pitch
		v.block("dark", rear-pitch+2*halfWidth, rear, -outside, outside)
	}
	for rotor := range 2 {
		middle, up := float64(rotor)*pitch, eccentric*float64(1-2*rotor)
		v.block("part", middle-halfWidth, middle+halfWidth, -outside, outside)
		v.block("paper", middle-halfWidth+1, middle+halfWidth-1, -114, 114)
		v.block("part", middle-halfWidth+2, middle+halfWidth-2, up-84, up+84)
		v.text("middle", v.at(middle, up+58), usual, []string{"rotor/1", "rotor/2"}[rotor])
		for _, side := range []float64{-1, 1} {
			for _, height := range []float64{-122, -130} {
				v.block("solid", middle+side*halfWidth-2, middle+side*halfWidth+2, height-2, height+2)
			}
		}
	}
	v.path("dash", false, v.at(-halfWidth-58, outside-6), v.at(pitch+halfWidth+58, outside-6))
}

// shaft draws the eccentric shaft and what turns with it.
func (v sideView) shaft() {
	v.block("part", -172, 304, -mainRadius, mainRadius)
	for rotor := range 2 {
		middle, up := float64(rotor)*pitch, eccentric*float64(1-2*rotor)
		v.block("part", middle-32, middle+32, up-lobeRadius, up+lobeRadius)
		v.text("middle", v.at(middle, up-3), small, []string{"lobe/1", "lobe/2"}[rotor])
	}
	v.path("dash", false, v.at(-182, 0), v.at(314, 0))
	v.block("dark", frontPlane-9, frontPlane+9, -95, -mainRadius)
	v.block("dark", rearPlane-9, rearPlane+9, -mainRadius, 95)
	v.block("dark", -168, -150, -55, 55)
	v.block("dark", 278, 296, -115, 115)
	v.block("dark", -halfWidth-10, -halfWidth, mainRadius, 32)
	v.block("dark", pitch+halfWidth, pitch+halfWidth+10, mainRadius, 32)
}

// names writes what stands above and below the engine.
func (v sideView) names() {
	above := func(station, from, row float64, words string) {
		v.path("thin", false, spot{v.x(station), v.y(from)}, spot{v.x(station), row + 6})
		v.text("middle", spot{v.x(station), row}, usual, words)
	}
	first, second := v.y(outside)-16, v.y(outside)-40
	for i, words := range []string{"plate/1", "housing/1", "plate/2", "housing/2", "plate/3"} {
		above(-64+64*float64(i), outside, first, words)
	}
	above(frontPlane, -30, second, "counterweight/front")
	above(rearPlane, 95, second, "counterweight/rear")
	below := func(station, from, row float64, anchor string, lines ...string) {
		at := spot{v.x(station), v.y(-outside) + row}
		v.path("thin", false, v.at(station, from), at.plus(0, -13))
		for i, words := range lines {
			v.text(anchor, at.plus(map[string]float64{"end": 22, "start": -22}[anchor], float64(15*i)), small, words)
		}
	}
	below(-159, -55, 20, "middle", "pulley")
	below(287, -115, 20, "middle", "flywheel")
	below(-72, -mainRadius, 46, "end", "shaft/main/front", "bearing/main/front")
	below(pitch+72, -mainRadius, 46, "start", "shaft/main/rear", "bearing/main/rear")
	below(-halfWidth-5, 26, 82, "middle", "gear/front")
	below(pitch+halfWidth+5, 26, 82, "middle", "gear/rear")
	v.text("middle", v.at(0, outside-17), small, "bolt/1 ...")
}

// faces names the faces of a plate and a joint.
func (v sideView) faces() {
	row := v.y(-outside) + 20
	for _, f := range []struct {
		station float64
		anchor  string
		words   string
	}{{halfWidth, "end", "plate/2/front"}, {pitch - halfWidth, "start", "plate/2/rear"}} {
		v.path("thin", false, v.at(f.station, -outside), spot{v.x(f.station), row + 4})
		v.text(f.anchor, spot{v.x(f.station) + map[string]float64{"end": -5, "start": 5}[f.anchor], row}, small, f.words)
	}
	joint := pitch + halfWidth
	v.path("thin", false, v.at(joint, -126), spot{v.x(joint), row + 26})
	v.text("end", spot{v.x(joint) - 4, row + 24}, small, "joint/housing-2/rear/inner")
}

// stations draws the scale of axial places.
func (v sideView) stations() {
	line := v.y(-outside) + 128
	v.arrow(spot{v.x(-170), line}, spot{v.x(304), line})
	v.text("end", spot{v.x(304), line + 58}, small, "axial places in mm from the middle of rotor 1, rearward positive")
	for _, s := range []struct {
		station float64
		words   []string
	}{
		{frontPlane, []string{"−118", "balance.front_plane"}}, {0, []string{"0", "station of rotor 1"}},
		{pitch, []string{"128", "station of rotor 2"}}, {rearPlane, []string{"250", "balance.rear_plane"}},
	} {
		v.path("thin", false, spot{v.x(s.station), line - 7}, spot{v.x(s.station), line + 7})
		v.text("middle", spot{v.x(s.station), line + 21}, small, s.words[0])
		v.text("middle", spot{v.x(s.station), line + 36}, small, s.words[1])
	}
}
