(title: Heron at first light)
(job: heron)
(layer 2 of 4: bird)
(brush: Fine sable)
(ink: indigo #1d1b1a)
(hash: ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad)
(about 5 min 9 s, 4 strokes and 3 check marks, 1.25 m of marks)
(timed with travel 3000, z 600, acceleration 100, corner 0.05)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(travels at Z5.000, between near strokes at Z2.500, where lowering begins,)
(- deepest Z-4.900)
(waits at X0.000 Y317.000 Z5.000 at each pause and at the end)
(touch off Z only: lower the wet brush in smaller and smaller steps until the)
(- faintest speck of ink shows, and set Z zero there. Leave X and Y alone while)
(- this sheet is on the bed.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z5.000
(stroke 1)
G0 X39.700 Y50.120
Z2.500
G1 Z0.000 F300
X59.700 Y55.120 Z-3.000 F900
X79.700 Y50.120 Z0.000
Z2.500 F300
(stroke 2)
G0 X89.700 Y60.120
G1 Z-0.500 F300
X91.700 Z-4.900 F659
X119.700 Y80.120 Z-1.000 F900
Z2.500 F300
(stroke 3)
G0 X119.700 Y80.120
G1 Z-1.000 F300
X120.100 Y80.520 Z0.000 F689
Z2.500 F300
(stroke 4)
G0 Z5.000
G0 X99.700 Y200.120
Z2.500
G1 Z-1.250 F300
Z2.500
(end)
G0 Z5.000
X0.000 Y317.000
M0
M2
