(title: First stroke)
(job: guide/01-first-stroke)
(layer 0 of 1: margin walk)
(brush: school round)
(ink: none)
(hash: fb2ab6e41d8a2f7be2e1460ec52d5729736b474c67e1497a3312918a2e32df8e)
(margin walk: travels round everything that will be painted, at Z6.000, about)
(- 8.7 s)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(waits at X0.000 Y125.000 Z6.000 at the end)
(mount the first brush, dry, and touch it off. Then run this and watch that)
(- brush and holder clear clamps and tape.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z6.000
M0
G0 Z6.000
G1 X0.000 Y125.000 F3000
X15.350 Y33.351
X54.398 Y22.471
X54.797
X80.370 Y28.800
X103.863 Y38.436
X124.426 Y53.729
X137.752 Y70.168
Y70.567
X130.250 Y78.250
X114.690 Y85.328
X0.000 Y125.000
M2
