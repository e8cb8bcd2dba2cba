(title: Heron at first light)
(job: heron)
(layer 2 of 4: bird)
(brush: Fine sable)
(ink: indigo #1d1b1a)
(hash: ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad)
(about 5 min 9 s, 4 strokes and 3 check marks, 1.25 m of marks)
(timed with travel 3000, z 600, acceleration 100, corner 0.05)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(travels at Z5.0000, deepest Z-4.9000)
(waits at X280.0000 Y-10.2500 Z20.5000 at each pause and at the end)
(touch off Z only: lower the wet brush in smaller and smaller steps until the)
(- faintest speck of ink shows, and set Z zero there. Leave X and Y alone while)
(- this sheet is on the bed.)
(check strip: at the pause, measure a 0.75 mm, b 1.41 mm, c 2.18 mm. Resume)
(- only if they agree.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z5.0000
(stroke 1, check mark a)
G0 X3.7000 Y8.1200
G1 Z-1.3364 F300
Y20.1200 F900
Z5.0000 F300
(stroke 2, check mark b)
G0 X3.7000 Y24.1200
G1 Z-2.7429 F300
Y36.1200 F900
Z5.0000 F300
(stroke 3, check mark c)
G0 X3.7000 Y40.1200
G1 Z-4.4850 F300
Y52.1200 F900
Z5.0000 F300
(check strip done: measure it, then resume)
G0 X280.0000 Y-10.2500
Z20.5000
M0
G0 Z5.0000
(stroke 4)
G0 X246.7000 Y40.1200
G1 Z0.0000 F300
X241.7000 Y60.1200 Z-3.0000 F900
X246.7000 Y80.1200 Z0.0000
Z5.0000 F300
(stroke 5)
G0 X236.7000 Y90.1200
G1 Z-0.5000 F300
Y92.1200 Z-4.9000 F659
X216.7000 Y120.1200 Z-1.0000 F900
Z5.0000 F300
(stroke 6)
G0 X216.7000 Y120.1200
G1 Z-1.0000 F300
X216.3000 Y120.5200 Z0.0000 F689
Z5.0000 F300
(stroke 7)
G0 X96.7000 Y100.1200
G1 Z-1.2500 F300
Z5.0000
(end)
G0 X280.0000 Y-10.2500
Z20.5000
M0
M2
