(title: Heron at first light)
(job: heron)
(brush: Fine sable)
(hash: ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad)
(margin walk: travels round everything that will be painted, at Z5.000, about 5)
(- min 9 s)
(timed with travel 3000, z 600, acceleration 100, corner 0.05)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(waits at X0.000 Y317.000 Z5.000 at the end)
(mount the first brush, dry, and touch it off. Then run this and watch that)
(- brush and holder clear clamps and tape.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z5.000
M0
G0 Z5.000
G1 X0.000 Y317.000 F3000
X39.600 Y50.020
X79.800
X92.879 Y58.941
X120.000 Y79.820
X120.200 Y80.420
Y80.620
X100.055 Y200.475
X0.000 Y317.000
M2
